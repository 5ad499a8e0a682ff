"""The Learned page: what changed, whose it is, check by check, leaving out and taking in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from PySide6.QtCore import QAbstractItemModel, QRectF, Qt
from PySide6.QtGui import QAccessible, QColor, QImage, QPainter
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QLineEdit, QWidget
from pytestqt.qtbot import QtBot
from small_shop import NOW, SetClock, an_id
from taught import BODY, USUAL, check_heron, factors, heron_account

from shellcoat.book import open_book
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog
from shellcoat.desk.learned.factor_bar import FactorScale, paint_factor
from shellcoat.desk.learned.factor_model import FactorColumn, FactorModel
from shellcoat.desk.learned.lesson_model import LessonColumn, LessonModel, lesson_rows
from shellcoat.desk.learned.page import LearnedPage
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import DARK, LIGHT, Theme
from shellcoat.errors import MendableError
from shellcoat.forecast.learned import Learned, Lesson
from shellcoat.operations.checks import log_check, take_back_check
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import AirReading, Band, DryCheck, DryFinding, Shell, ShellCheck, ShellState

Account = dict[str, Any]


@pytest.fixture
def account(monkeypatch: pytest.MonkeyPatch, heron: Shell) -> Account:
    """What the worker answers, and how often it was asked."""
    told: Account = {"learned": heron_account(heron), "asked": 0, "fails": False}

    def learned(_opened: OpenShop, _given: object) -> Learned:
        told["asked"] += 1
        if told["fails"]:
            raise MendableError("The air of the first coat is missing.")
        answer: Learned = told["learned"]
        return answer

    monkeypatch.setattr(OpenShop, "learned", learned)
    return told


@pytest.fixture
def checks(opened: OpenShop, heron: Shell) -> list[ShellCheck]:
    """One check of each kind, newest first."""
    return check_heron(opened, heron)


@pytest.fixture
def page(
    qtbot: QtBot, session: DeskSession, theme: Theme, account: Account, checks: list[ShellCheck]
) -> LearnedPage:
    """The page with its answer shown."""
    return shown(qtbot, LearnedPage(session, theme))


def shown(qtbot: QtBot, page: LearnedPage) -> LearnedPage:
    qtbot.addWidget(page)
    page.resize(1266, 700)
    page.show()
    qtbot.waitExposed(page)
    settle(qtbot, page)
    return page


def settle(qtbot: QtBot, page: LearnedPage) -> None:
    qtbot.waitUntil(lambda: not page.session.runner.busy, timeout=20_000)


def drawn(model: QAbstractItemModel) -> list[list[str]]:
    """The rows as they are read aloud."""
    role = Qt.ItemDataRole.AccessibleTextRole
    return [
        [str(model.index(row, column).data(role)) for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def standing(session: DeskSession, check: ShellCheck) -> ShellCheck:
    found = session.opened.ledger.checks()[check.shell_id]
    return next(each for each in found if each.id == check.id)


def the_dialog(page: LearnedPage) -> ReasonDialog:
    dialog = page.findChild(ReasonDialog)
    assert dialog is not None
    return dialog


# What it tells.


def test_head_tells_what_the_checks_have_changed(page: LearnedPage) -> None:
    assert page.counted.text() == "5 checks count. 1 does not."
    lines = page.usual.text().replace("\u00a0", " ").splitlines()
    assert len(lines) == 2
    assert any("after 5 h 10 min, not 7 h 20 min" in line for line in lines)
    assert all("in usual air" in line for line in lines)
    assert "22" in page.usual_air.text()


def test_only_the_three_most_used_coats_are_told(
    qtbot: QtBot, page: LearnedPage, account: Account
) -> None:
    many = tuple(replace(USUAL[0], slurry=f"slurry {number}") for number in range(7))
    page.show_learned(replace(account["learned"], usual_coats=many))
    assert len(page.usual.text().splitlines()) == 3


def test_factors_are_rows_of_words(page: LearnedPage) -> None:
    rows = drawn(page.factors.rows)
    assert [row[FactorColumn.NAME] for row in rows] == [
        "Air at the walls of this shop, how fast it carries the water off",
        "Crust of zircon prime, with zircon sand",
        "Crust of fused silica backup, without stucco",
        "Openings of the core “Body of the heron”, 014 Standing heron",
    ]
    assert rows[0][FactorColumn.WORDS] == (
        "holds back about 20 % more than the tables say, 5 to 40 %; 4 checks bear on it"
    )
    assert "70–143\u00a0% of the tables' time, now 105–140\u00a0%" in rows[0][FactorColumn.BAND]


def test_lessons_are_rows_of_words_newest_first(page: LearnedPage) -> None:
    rows = drawn(page.lessons.model)
    assert [row[LessonColumn.WHEN] for row in rows[:4]] == [
        "When: 13:30",
        "When: 13:00",
        "When: 09:00",
        "When: Wed 18:00",
    ]
    assert rows[0] == [
        "When: 13:30",
        "Shell: 014, Standing heron",
        "Coat: 3",
        "Found: Touched, face: dry.",
        "Expected: with a chance of 72 %",
        "What it did: safe times 8 % sooner",
    ]
    assert rows[1][LessonColumn.FOUND].endswith("still wet., cool to the lip")
    assert rows[1][LessonColumn.TAUGHT].endswith("hardly anything, looks like a stray: 92 %")
    assert "Body of the heron" in rows[2][LessonColumn.FOUND]
    assert rows[3][LessonColumn.EXPECTED].startswith("Expected: 0.8–1.6")
    assert rows[5][LessonColumn.TAUGHT].endswith("it says how thick the wall is, not how it dries")


def test_the_models_are_sound(
    session: DeskSession, theme: Theme, heron: Shell, checks: list[ShellCheck], account: Account
) -> None:
    mode = QAbstractItemModelTester.FailureReportingMode.Fatal
    lessons, bands = LessonModel(session), FactorModel(session)
    testers = [QAbstractItemModelTester(model, mode) for model in (lessons, bands)]
    for learned in (account["learned"], Learned(), account["learned"], account["learned"]):
        lessons.set_rows(lesson_rows(learned, session.opened.ledger))
        bands.set_rows(learned.factors)
    assert len(testers) == 2
    assert (lessons.rowCount(), bands.rowCount()) == (6, 4)


def test_a_check_before_any_coat_says_so(page: LearnedPage, account: Account) -> None:
    learned: Learned = account["learned"]
    first = replace(learned.lessons[0], coat_number=0)
    page.show_learned(replace(learned, lessons=(first,)))
    assert drawn(page.lessons.model)[0][LessonColumn.COAT] == "Coat: before any"


def test_a_check_taken_back_is_gone_at_once(
    qtbot: QtBot, page: LearnedPage, checks: list[ShellCheck]
) -> None:
    take_back_check(page.session.opened, checks[0].id, NOW, "another shell")
    assert page.lessons.model.row_of(checks[0].id) is None
    assert page.lessons.model.rowCount() == 5
    settle(qtbot, page)


def test_what_an_empty_book_says_to_do_first(
    qtbot: QtBot, session: DeskSession, theme: Theme, account: Account
) -> None:
    page = shown(qtbot, LearnedPage(session, theme))
    assert page.empty.isVisible()
    for words in ("Shell page", "Checks", "“It is dry”", "“Still wet”"):
        assert words in page.empty.text()
    assert page.accessibleDescription() == page.empty.text()
    assert not page.lessons.table.isVisible()
    assert account["asked"] == 0


def test_the_first_check_fills_the_page(
    qtbot: QtBot, session: DeskSession, theme: Theme, account: Account, heron: Shell
) -> None:
    page = shown(qtbot, LearnedPage(session, theme))
    check_heron(session.opened, heron)
    settle(qtbot, page)
    assert not page.empty.isVisible()
    assert page.lessons.model.rowCount() == 6


def test_a_page_that_had_the_keyboard_hands_it_to_the_list(
    qtbot: QtBot, session: DeskSession, theme: Theme, account: Account, heron: Shell
) -> None:
    page = shown(qtbot, LearnedPage(session, theme))
    page.activateWindow()
    page.setFocus()
    check_heron(session.opened, heron)
    settle(qtbot, page)
    assert page.lessons.table.hasFocus()


def test_an_account_that_fails_is_told_and_tried_again_with_the_next_entry(
    qtbot: QtBot, session: DeskSession, theme: Theme, account: Account, checks: list[ShellCheck]
) -> None:
    account["fails"] = True
    faults: list[str] = []
    session.failed.connect(faults.append)
    page = shown(qtbot, LearnedPage(session, theme))
    assert faults == ["The air of the first coat is missing."]
    assert "could not be worked out" in page.empty.text()
    account["fails"] = False
    take_back_check(session.opened, checks[-1].id, NOW, "another shell")
    settle(qtbot, page)
    assert page.lessons.model.rowCount() == 5


def test_the_same_book_is_worked_out_once(
    qtbot: QtBot, page: LearnedPage, account: Account, checks: list[ShellCheck]
) -> None:
    """A forecast a minute changes nothing that was learned; what is written does."""
    assert account["asked"] == 1
    page.session.forecasts_changed.emit()
    settle(qtbot, page)
    assert account["asked"] == 1
    take_back_check(page.session.opened, checks[0].id, NOW, "another shell")
    take_back_check(page.session.opened, checks[1].id, NOW, "another shell")
    assert page.state.text().startswith("Working out")
    settle(qtbot, page)
    assert account["asked"] == 3
    assert page.state.text() == ""


def test_a_real_touch_is_told_with_its_own_account(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell, read: AirReading
) -> None:
    """Through the forecast itself: one touch, one lesson, and the factors it bears on."""
    touch = DryCheck(
        id=an_id("touch"),
        shell_id=heron.id,
        at=NOW - timedelta(hours=1),
        finding=DryFinding.STILL_WET,
    )
    log_check(session.opened, touch, NOW)
    page = shown(qtbot, LearnedPage(session, theme))
    (row,) = drawn(page.lessons.model)
    assert row[LessonColumn.COAT] == "Coat: 3"
    assert row[LessonColumn.EXPECTED].startswith("Expected: with a chance of")
    assert page.counted.text() == "1 check counts."
    assert page.factors.rows.rowCount() == 2
    assert "in usual air" in page.usual.text()


# The drawing.


def test_the_scale_is_as_wide_for_half_as_for_twice() -> None:
    scale, field = FactorScale(), QRectF(10.0, 0.0, 400.0, 40.0)
    assert scale.place(1.0, field) == pytest.approx(210.0)
    assert scale.place(2.0, field) - 210.0 == pytest.approx(210.0 - scale.place(0.5, field))
    assert scale.marks() == [0.5, 1.0, 2.0]


def test_the_scale_holds_every_band(heron: Shell) -> None:
    wide = replace(factors(heron)[0], now=Band(0.9, 3.0, 9.0))
    scale, field = FactorScale.around([*factors(heron), wide]), QRectF(0.0, 0.0, 400.0, 40.0)
    assert 200.0 < scale.place(9.0, field) < 400.0
    assert scale.marks()[-1] == 8.0


@pytest.mark.parametrize("worn", [LIGHT, DARK], ids=["light", "dark"])
def test_the_band_now_is_drawn_where_it_belongs(worn: Theme, heron: Shell, theme: Theme) -> None:
    """Filled from its low to its high end; hatched, never filled, where only the tables reach."""
    scale, field = FactorScale(), QRectF(0.0, 0.0, 400.0, 44.0)
    factor = factors(heron)[0]
    image = QImage(400, 44, QImage.Format.Format_RGB32)
    image.fill(QColor(worn.panel))
    painter = QPainter(image)
    paint_factor(painter, field, factor, scale, worn)
    painter.end()
    filled = [x for x in range(400) if image.pixelColor(x, 20) == QColor(worn.accent)]
    assert filled[0] == pytest.approx(scale.place(factor.now.low, field), abs=2.0)
    assert filled[-1] == pytest.approx(scale.place(factor.now.high, field), abs=2.0)
    only_tables = round(0.5 * (scale.place(0.7, field) + scale.place(1.0, field)))
    column = {image.pixelColor(only_tables, y).name() for y in range(11, 33)}
    assert QColor(worn.accent).name() not in column
    assert len(column) > 1


def test_what_is_left_out_is_struck_through(qtbot: QtBot, page: LearnedPage) -> None:
    """A stroke in the text's colour runs across the words of the time."""
    page.lessons.table.selectRow(5)

    def dark_run() -> int:
        index = page.lessons.model.index(0, LessonColumn.WHEN)
        area = page.lessons.table.visualRect(index)
        image = page.lessons.table.viewport().grab(area).toImage().convertToFormat(_GREY)
        return max(_longest_run(image, y) for y in range(image.height() - 2))

    before = dark_run()
    leave_first_out(qtbot, page)
    page.lessons.table.selectRow(5)
    assert dark_run() > before + 10


_GREY = QImage.Format.Format_Grayscale8


def _longest_run(image: QImage, y: int) -> int:
    longest = run = 0
    for x in range(image.width()):
        run = run + 1 if image.pixelColor(x, y).lightness() < 110 else 0
        longest = max(longest, run)
    return longest


# Leaving out and taking in.


def leave_first_out(qtbot: QtBot, page: LearnedPage, reason: str = "a drip") -> None:
    page.lessons.table.selectRow(0)
    qtbot.mouseClick(page.lessons.leave_out_button, Qt.MouseButton.LeftButton)
    dialog = the_dialog(page)
    qtbot.keyClicks(dialog.reason.line, reason)
    qtbot.mouseClick(dialog.confirm_button, Qt.MouseButton.LeftButton)
    settle(qtbot, page)


def test_left_out_and_taken_in_by_mouse(
    qtbot: QtBot, page: LearnedPage, checks: list[ShellCheck]
) -> None:
    leave_first_out(qtbot, page)
    assert standing(page.session, checks[0]).left_out == "a drip"
    row = drawn(page.lessons.model)[0]
    assert row[LessonColumn.TAUGHT] == "What it did: left out: a drip"
    assert row[LessonColumn.FOUND] == "Found: Touched, face: dry."
    assert not page.lessons.leave_out_button.isEnabled()
    qtbot.mouseClick(page.lessons.take_in_button, Qt.MouseButton.LeftButton)
    settle(qtbot, page)
    assert standing(page.session, checks[0]).left_out == ""
    assert not page.lessons.take_in_button.isEnabled()


def test_left_out_and_taken_in_by_keyboard(
    qtbot: QtBot, page: LearnedPage, checks: list[ShellCheck]
) -> None:
    page.activateWindow()
    table = page.lessons.table
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Down)
    qtbot.keyClick(table, Qt.Key.Key_Delete)
    dialog = the_dialog(page)
    qtbot.keyClicks(dialog.reason.line, "wet glove")
    qtbot.keyClick(dialog.reason.line, Qt.Key.Key_Return)
    settle(qtbot, page)
    assert standing(page.session, checks[1]).left_out == "wet glove"
    chosen = page.lessons.chosen()
    assert chosen is not None
    assert chosen.check.id == checks[1].id
    page.activateWindow()
    qtbot.waitUntil(table.hasFocus)
    qtbot.keyClick(table, Qt.Key.Key_Tab)
    assert page.lessons.take_in_button.hasFocus()
    qtbot.keyClick(page.lessons.take_in_button, Qt.Key.Key_Space)
    settle(qtbot, page)
    assert standing(page.session, checks[1]).left_out == ""


def test_nothing_is_left_out_without_a_reason(
    qtbot: QtBot, page: LearnedPage, checks: list[ShellCheck]
) -> None:
    page.lessons.table.selectRow(0)
    page.lessons.leave_out_button.click()
    dialog = the_dialog(page)
    assert "Touched, face: dry." in dialog.what.text()
    qtbot.keyClick(dialog.reason.line, Qt.Key.Key_Return)
    assert dialog.isVisible()
    dialog.reject()
    assert standing(page.session, checks[0]).left_out == ""


def test_a_shell_is_asked_for_by_button_and_by_enter(
    qtbot: QtBot, page: LearnedPage, heron: Shell
) -> None:
    page.lessons.table.selectRow(0)
    with qtbot.waitSignal(page.shell_requested) as asked:
        page.lessons.shell_button.click()
    assert asked.args == [heron.id]
    page.activateWindow()
    page.lessons.table.setFocus()
    with qtbot.waitSignal(page.shell_requested) as asked:
        qtbot.keyClick(page.lessons.table, Qt.Key.Key_Return)
    assert asked.args == [heron.id]


def test_turned_to_a_shell_the_newest_check_of_it_is_chosen(
    page: LearnedPage, heron: Shell, checks: list[ShellCheck]
) -> None:
    page.lessons.table.selectRow(4)
    page.show_shell(an_id("a shell never checked"))
    row = page.lessons.chosen()
    assert row is not None
    assert row.check.id == checks[4].id
    page.show_shell(heron.id)
    row = page.lessons.chosen()
    assert row is not None
    assert row.check.id == checks[0].id


def test_a_shell_that_was_scrapped_meanwhile(
    qtbot: QtBot, page: LearnedPage, heron: Shell, checks: list[ShellCheck]
) -> None:
    gone = replace(heron, cores=(BODY,), state=ShellState.SCRAPPED)
    edit_shell(page.session.opened, gone, NOW, "dropped")
    settle(qtbot, page)
    row = drawn(page.lessons.model)[0]
    assert row[LessonColumn.SHELL] == "Shell: 014 (scrapped), Standing heron"
    leave_first_out(qtbot, page)
    assert standing(page.session, checks[0]).left_out == "a drip"
    assert page.lessons.shell_button.isEnabled()


def test_a_shell_that_was_taken_back_meanwhile(
    page: LearnedPage, heron: Shell, account: Account
) -> None:
    ledger = page.session.opened.ledger
    entry = ledger.live.pop(heron.id)
    page.show_learned(account["learned"])
    ledger.live[heron.id] = entry
    row = page.lessons.model.lesson(0)
    assert row.shell is None
    assert not page.lessons.shell_button.isEnabled()
    assert "no longer in the book" in drawn(page.lessons.model)[0][LessonColumn.SHELL]


@pytest.fixture
def locked(
    qtbot: QtBot, opened: OpenShop, theme: Theme, account: Account, checks: list[ShellCheck]
) -> Iterator[LearnedPage]:
    """The page on the same book, opened to read only."""
    book = open_book(opened.book.path, read_only=True)
    session = DeskSession(OpenShop(book, who="Ana", station="bench"), now=SetClock())
    page = shown(qtbot, LearnedPage(session, theme))
    yield page
    page.close()
    session.close()


def test_a_book_to_read_only_lets_nothing_be_left_out(qtbot: QtBot, locked: LearnedPage) -> None:
    assert locked.locked.isVisible()
    assert locked.lessons.model.rowCount() == 6
    assert not locked.lessons.leave_out_button.isEnabled()
    locked.activateWindow()
    locked.lessons.table.setFocus()
    qtbot.keyClick(locked.lessons.table, Qt.Key.Key_Delete)
    assert locked.findChild(ReasonDialog) is None
    assert locked.lessons.shell_button.isEnabled()


# Reach, names, size.


def test_every_control_has_a_name_of_its_own(page: LearnedPage) -> None:
    controls = (QAbstractButton, QAbstractItemView, QLineEdit)
    for widget in page.findChildren(QWidget):
        reached = widget.isVisible() and widget.focusPolicy() is not Qt.FocusPolicy.NoFocus
        if isinstance(widget, controls) and reached:
            interface = QAccessible.queryAccessibleInterface(widget)
            assert interface.text(QAccessible.Text.Name), widget
    for widget in (page.lessons.leave_out_button, page.lessons.table, page.factors, page.legend):
        assert widget.objectName()
        assert widget.accessibleName() or isinstance(widget, QAbstractButton)


def test_tab_leads_through_the_page(qtbot: QtBot, page: LearnedPage) -> None:
    page.activateWindow()
    page.factors.setFocus()
    reached = []
    for _ in range(3):
        reached.append(_focused(page).objectName())
        qtbot.keyClick(_focused(page), Qt.Key.Key_Tab)
    reached.append(_focused(page).objectName())
    assert reached == ["learned_factors", "learned_table", "learned_leave_out", "learned_go"]


def _focused(page: LearnedPage) -> QWidget:
    focused = page.focusWidget()
    assert focused is not None
    return focused


def test_a_long_list_makes_words_only_for_what_is_seen(
    qtbot: QtBot,
    session: DeskSession,
    theme: Theme,
    account: Account,
    heron: Shell,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """However many checks there are, a screenful of them is written, and so after a scroll."""
    made = _many(session.opened, heron, 500)
    account["learned"] = Learned(factors=factors(heron), lessons=made)
    written: set[object] = set()
    _count_rows(monkeypatch, written)
    page = shown(qtbot, LearnedPage(session, theme))
    table = page.lessons.table
    assert page.lessons.model.rowCount() == 500
    on_screen = table.viewport().height() // table.rowHeight(0) + 2
    table.viewport().grab()
    assert 0 < len(written) <= on_screen
    written.clear()
    table.scrollToBottom()
    table.viewport().grab()
    assert 0 < len(written) <= 2 * on_screen


def _many(opened: OpenShop, shell: Shell, count: int) -> tuple[Lesson, ...]:
    found = [
        DryCheck(
            id=an_id(("many", number)),
            shell_id=shell.id,
            at=NOW - timedelta(minutes=number),
            finding=DryFinding.DRY,
        )
        for number in range(count)
    ]
    opened.book.append([opened.entry(check, NOW) for check in found])
    return tuple(
        Lesson(check_id=each.id, shell_id=shell.id, at=each.at, coat_number=3, chance=0.5)
        for each in found
    )


def _count_rows(monkeypatch: pytest.MonkeyPatch, written: set[object]) -> None:
    from shellcoat.desk.learned import words

    write: Callable[..., tuple[str, str]] = words.found_lines

    def counted(check: ShellCheck, *rest: Any) -> tuple[str, str]:
        written.add(check.id)
        return write(check, *rest)

    monkeypatch.setattr(words, "found_lines", counted)


def test_names_of_two_hundred_letters_leave_the_page_as_wide(
    qtbot: QtBot, page: LearnedPage, heron: Shell, account: Account
) -> None:
    long = "N" * 200
    named = replace(heron, name=long, label=long, cores=(replace(BODY, name=long),))
    edit_shell(page.session.opened, named, NOW, "renamed")
    learned: Learned = account["learned"]
    account["learned"] = replace(
        learned,
        factors=tuple(replace(each, slurry=long, stucco=long) for each in learned.factors),
        usual_coats=tuple(replace(each, slurry=long, stucco=long) for each in USUAL),
    )
    page.show_learned(account["learned"])
    settle(qtbot, page)
    assert page.width() == 1266
    assert page.minimumSizeHint().width() < 900
    assert page.usual.height() < 120
    leave_first_out(qtbot, page, "R" * 300)
    assert page.width() == 1266
    tip = page.lessons.model.index(0, LessonColumn.SHELL).data(Qt.ItemDataRole.ToolTipRole)
    assert tip.replace("\u200b", "").count("N") == 400


def test_other_colours_reach_every_part(qtbot: QtBot, page: LearnedPage) -> None:
    before = page.grab().toImage()
    page.set_theme(DARK)
    settle(qtbot, page)
    assert page.grab().toImage() != before
    assert page.factors.theme is DARK
