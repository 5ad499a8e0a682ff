"""The Review page: evidence, answers, defects, signing, paper, and every control by name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QFileDialog,
    QLineEdit,
    QPlainTextEdit,
    QWidget,
)
from pytestqt.qtbot import QtBot
from small_shop import NOW, SetClock
from through import put_through

from shellcoat.book import open_book
from shellcoat.desk.main_window import PAGES, MainWindow
from shellcoat.desk.review.batch import SUMMARY, pdf_name
from shellcoat.desk.review.check_rows import QUESTIONS, CheckRow
from shellcoat.desk.review.defect_dialog import DefectDialog
from shellcoat.desk.review.page import ReviewPage
from shellcoat.desk.review.records_dialog import RecordsDialog
from shellcoat.desk.review.sign_dialog import SignDialog
from shellcoat.desk.review.summary_dialog import SummaryDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import DARK, Theme
from shellcoat.operations.checks import log_check
from shellcoat.operations.dips import undo_coat
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.review_answers import log_defect, newest_answers
from shellcoat.operations.shells import set_state
from shellcoat.review.finding import Verdict
from shellcoat.shop import (
    Decision,
    Defect,
    DefectKind,
    LookAnswer,
    ReviewQuestion,
    Shell,
    ShellState,
    Weighing,
)


@pytest.fixture
def egret(opened: OpenShop) -> Shell:
    """A shell with all its coats on for two days."""
    return put_through(opened)


@pytest.fixture
def page(qtbot: QtBot, session: DeskSession, theme: Theme, egret: Shell) -> ReviewPage:
    return shown(qtbot, ReviewPage(session, theme))


def shown(qtbot: QtBot, page: ReviewPage) -> ReviewPage:
    qtbot.addWidget(page)
    page.resize(1266, 690)
    page.show()
    qtbot.waitExposed(page)
    settle(qtbot, page)
    return page


def settle(qtbot: QtBot, page: ReviewPage) -> None:
    """Wait for the evidence, and for rows laid out anew."""
    qtbot.waitUntil(lambda: not page.gatherer.busy and not page.session.runner.busy, timeout=20_000)


def row_of(page: ReviewPage, kind: str) -> CheckRow:
    return next(row for row in page.rows.rows if row.line.kind == kind)


def press(qtbot: QtBot, button: QWidget) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def dialog_of(page: ReviewPage, kind: type) -> QWidget:
    found = page.findChild(kind)
    assert found is not None
    return found


# What it shows.


def test_shells_that_are_through_come_first(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell, egret: Shell
) -> None:
    page = shown(qtbot, ReviewPage(session, theme))
    assert [page.chooser.itemData(i) for i in range(2)] == [egret.id, heron.id]
    assert page.shell == egret


def test_every_check_is_a_row_with_mark_and_words(page: ReviewPage) -> None:
    kinds = [row.line.kind for row in page.rows.rows]
    assert {"coats", "intervals", "hold", "metal", "firing"} <= set(kinds)
    for row in page.rows.rows:
        assert row.said.text() in ("fine", "look", "stop")
        assert not row.mark.pixmap().isNull()
        assert row.seen.text()
        assert row.change.isVisible() is (row.line.verdict is not Verdict.FINE)


def test_the_head_counts_and_names_what_stops(qtbot: QtBot, page: ReviewPage, egret: Shell) -> None:
    crack = Defect(id=uuid4(), shell_id=egret.id, kind=DefectKind.CRACK, where="neck", at=NOW)
    log_defect(page.session.opened, crack, NOW)
    settle(qtbot, page)
    assert page.head.text().startswith("1\u00a0stop")
    assert "Cracks, drips and patches" in page.head.text()


def test_an_empty_shop_says_what_to_do_first(
    qtbot: QtBot, session: DeskSession, theme: Theme
) -> None:
    page = ReviewPage(session, theme)
    shown(qtbot, page)
    assert page.empty.isVisible()
    assert "New shell" in page.empty.text()


def test_turning_to_another_shell_shows_its_own_evidence(
    qtbot: QtBot, page: ReviewPage, heron: Shell
) -> None:
    page.show_shell(heron.id)
    settle(qtbot, page)
    assert row_of(page, "coats").line.verdict is Verdict.STOP
    assert "3 of 9" in row_of(page, "coats").seen.text()


def test_nothing_on_the_page_says_that_it_is_safe(page: ReviewPage) -> None:
    words = " ".join(
        text.casefold()
        for row in page.rows.rows
        for text in (row.said.text(), row.title.text(), row.seen.text(), row.change.text())
    )
    assert "safe to" not in words
    assert "a person decides" in page.nothing_says.text()
    assert "molten metal" in page.cautions.toPlainText()


# Answers.


def test_an_answer_is_one_press_and_stays_in_its_place(
    qtbot: QtBot, page: ReviewPage, egret: Shell
) -> None:
    row = row_of(page, "drains")
    assert row.answers is not None
    press(qtbot, row.answers.buttons[LookAnswer.YES])
    settle(qtbot, page)
    again = row_of(page, "drains")
    assert again is row
    assert again.line.verdict is Verdict.FINE
    assert "says Ana" in again.seen.text()
    assert row.answers.buttons[LookAnswer.YES].isChecked()
    given = newest_answers(page.session.opened.ledger, egret.id)
    assert given[ReviewQuestion.DRAINS].answer is LookAnswer.YES


def test_an_answer_by_keyboard_keeps_the_keyboard(qtbot: QtBot, page: ReviewPage) -> None:
    button = row_of(page, "vents").answers.buttons[LookAnswer.NO]
    page.activateWindow()
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    settle(qtbot, page)
    assert button.hasFocus()
    assert row_of(page, "vents").line.verdict is Verdict.LOOK
    assert "Open vents" in row_of(page, "vents").change.text()


def test_every_question_has_its_three_buttons(page: ReviewPage) -> None:
    asked = [row for row in page.rows.rows if row.answers is not None]
    assert {QUESTIONS[row.line.kind] for row in asked} == set(ReviewQuestion)
    assert all(len(row.answers.buttons) == 3 for row in asked if row.answers)


# Defects and metal.


def test_a_crack_is_logged_and_mended_from_the_page(
    qtbot: QtBot, page: ReviewPage, egret: Shell, clock: SetClock
) -> None:
    press(qtbot, page.defects.add_button)
    dialog = dialog_of(page, DefectDialog)
    press(qtbot, dialog.save_button)
    assert dialog.isVisible()  # it does not say where
    assert "empty" in dialog.where.message
    qtbot.keyClicks(dialog.where.line, "neck, left")
    qtbot.keyClick(dialog.where.line, Qt.Key.Key_Return)
    settle(qtbot, page)
    (crack,) = page.session.opened.ledger.defects(egret.id)
    assert (crack.kind, crack.where) == (DefectKind.CRACK, "neck, left")
    assert row_of(page, "surface").line.verdict is Verdict.STOP
    clock.forward(hours=1)
    press(qtbot, page.defects.mend_button)
    settle(qtbot, page)
    (crack,) = page.session.opened.ledger.defects(egret.id)
    assert crack.mended_at == NOW + timedelta(hours=1)
    assert not page.defects.mend_button.isEnabled()


def test_the_furnace_is_typed_in_any_unit_and_kept(
    qtbot: QtBot, page: ReviewPage, egret: Shell
) -> None:
    page.melt.capacity.line.setText("8 kg")
    page.melt.extra.line.setText("20 %")
    qtbot.keyClick(page.melt.extra.line, Qt.Key.Key_Return)
    settle(qtbot, page)
    (plan,) = page.session.opened.ledger.melt_plans
    assert (plan.shell_id, plan.capacity_kg) == (egret.id, 8.0)
    assert plan.extra_share == pytest.approx(0.2)
    assert row_of(page, "metal").line.verdict is Verdict.STOP  # 1.2 kg of wax is 12 kg of bronze


@pytest.mark.parametrize("text", ["a bucket", "-3 kg", "5 m"])
def test_a_furnace_that_makes_no_sense_is_told_at_its_field(
    qtbot: QtBot, page: ReviewPage, text: str
) -> None:
    page.melt.capacity.line.setText(text)
    press(qtbot, page.melt.keep_button)
    assert page.melt.capacity.line.accessibleDescription()
    assert page.session.opened.ledger.melt_plans == []


# Records.


def test_the_records_are_one_press_away_and_lead_to_the_shell(
    qtbot: QtBot, page: ReviewPage, egret: Shell
) -> None:
    press(qtbot, row_of(page, "coats").records)
    dialog = dialog_of(page, RecordsDialog)
    lines = [dialog.list.item(i).text() for i in range(dialog.list.count())]
    assert len(lines) == 3
    assert lines[0].startswith("Coat 1, ")
    assert "Logged by Ana" in lines[0]
    with qtbot.waitSignal(page.shell_requested) as asked:
        press(qtbot, dialog.open_button)
    assert asked.args == [egret.id]


def test_a_record_taken_back_meanwhile_says_so(
    qtbot: QtBot, page: ReviewPage, egret: Shell
) -> None:
    line = row_of(page, "coats").line
    undo_coat(page.session.opened, line.records[0], NOW)
    settle(qtbot, page)
    page._on_records(line)
    dialog = dialog_of(page, RecordsDialog)
    assert dialog.list.item(0).text().startswith("Taken back since")


# Signing.


def sign(qtbot: QtBot, page: ReviewPage, decision: Decision = Decision.BURN_OUT) -> None:
    press(qtbot, page.decision.buttons[decision])
    dialog = dialog_of(page, SignDialog)
    qtbot.keyClicks(dialog.name.line, "R. Vale")
    qtbot.keyClicks(dialog.note.editor, "looked twice")
    press(qtbot, dialog.sign_button)
    settle(qtbot, page)


def test_signing_asks_for_a_name_and_keeps_everything(
    qtbot: QtBot, page: ReviewPage, egret: Shell
) -> None:
    press(qtbot, page.decision.buttons[Decision.BURN_OUT])
    dialog = dialog_of(page, SignDialog)
    assert "LOOK: " in dialog.seen.text()
    press(qtbot, dialog.sign_button)
    assert dialog.isVisible()
    assert "empty" in dialog.name.message
    qtbot.keyClicks(dialog.name.line, "R. Vale")
    qtbot.keyClick(dialog.name.line, Qt.Key.Key_Return)
    settle(qtbot, page)
    (review,) = page.session.opened.ledger.reviews(egret.id)
    assert (review.name, review.decision) == ("R. Vale", Decision.BURN_OUT)
    assert "burn out – signed by R. Vale" in page.signature.text()
    assert "Nothing about this shell was entered since." in page.signature.text()
    assert page.moment.currentData() == review.id


def test_waiting_proposes_when_and_keeps_it(qtbot: QtBot, page: ReviewPage, egret: Shell) -> None:
    sign(qtbot, page, Decision.WAIT_UNTIL)
    (review,) = page.session.opened.ledger.reviews(egret.id)
    assert review.wait_until == NOW + timedelta(days=1)
    assert "wait until Fri 6 Mar 2026 14:00" in page.signature.text()


def test_a_signed_review_shows_what_was_signed_and_takes_no_answer(
    qtbot: QtBot, page: ReviewPage
) -> None:
    sign(qtbot, page)
    for row in page.rows.rows:
        assert row.answers is None or not row.answers.isVisible()
    assert not any(button.isEnabled() for button in page.decision.buttons.values())
    page.moment.setCurrentIndex(0)
    page.moment.activated.emit(0)
    assert all(button.isEnabled() for button in page.decision.buttons.values())
    assert row_of(page, "vents").answers.isVisible()


def test_a_weighing_later_marks_it_out_of_date(
    qtbot: QtBot, page: ReviewPage, egret: Shell
) -> None:
    sign(qtbot, page)
    weighed = Weighing(id=uuid4(), shell_id=egret.id, at=NOW, mass_kg=3.0)
    log_check(page.session.opened, weighed, NOW)
    settle(qtbot, page)
    assert "Out of date: a weighing was logged by Ana" in page.signature.text()
    assert "Not weighed" in row_of(page, "constant_mass").seen.text()  # as it was signed


def test_evidence_that_went_stale_under_the_dialog_is_not_signed(
    qtbot: QtBot, page: ReviewPage, egret: Shell
) -> None:
    press(qtbot, page.decision.buttons[Decision.BURN_OUT])
    dialog = dialog_of(page, SignDialog)
    weighed = Weighing(id=uuid4(), shell_id=egret.id, at=NOW, mass_kg=3.0)
    log_check(page.session.opened, weighed, NOW)
    settle(qtbot, page)
    qtbot.keyClicks(dialog.name.line, "R. Vale")
    press(qtbot, dialog.sign_button)
    assert "The book has changed" in dialog.fault.text()
    assert page.session.opened.ledger.reviews(egret.id) == ()


def test_a_book_to_read_only_takes_nothing(
    qtbot: QtBot, opened: OpenShop, egret: Shell, theme: Theme
) -> None:
    with open_book(opened.book.path, read_only=True) as book:
        session = DeskSession(OpenShop(book, who="Ben"), now=lambda: NOW)
        page = shown(qtbot, ReviewPage(session, theme))
        assert not any(button.isEnabled() for button in page.decision.buttons.values())
        assert not page.defects.add_button.isEnabled()
        assert not page.melt.keep_button.isEnabled()
        assert page.paper.pdf_button.isEnabled()
        assert not row_of(page, "vents").answers.isVisible()
        session.close()


# Paper.


def test_the_pdf_goes_where_it_was_asked_for(
    qtbot: QtBot, page: ReviewPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "kept.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_a: (str(target), ""))
    with qtbot.waitSignal(page.said) as told:
        press(qtbot, page.paper.pdf_button)
    assert target.read_bytes().startswith(b"%PDF-")
    assert str(target) in told.args[0]


def test_a_pdf_that_cannot_be_written_is_told(
    qtbot: QtBot, page: ReviewPage, tmp_path: Path
) -> None:
    with qtbot.waitSignal(page.session.failed) as told:
        page.paper.save(tmp_path / "nowhere" / "kept.pdf")
    assert "Choose another place" in told.args[0]


def test_all_due_are_printed_with_one_line_each(
    qtbot: QtBot, page: ReviewPage, heron: Shell, egret: Shell, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    opened = page.session.opened
    crane = put_through(opened, "Crane / landing", "022")
    gone = put_through(opened, "Sold", "023")
    set_state(opened, gone.id, ShellState.FINISHED, NOW)
    settle(qtbot, page)
    page.show_shell(egret.id)
    settle(qtbot, page)
    sign(qtbot, page)
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_a: str(tmp_path))
    with qtbot.waitSignal(page.paper.batch.finished, timeout=30_000):
        press(qtbot, page.paper.batch_button)
    written = sorted(path.name for path in tmp_path.glob("*.pdf"))
    assert written == ["021 Egret.pdf", "022 Crane _ landing.pdf"]
    lines = (tmp_path / SUMMARY).read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("021 Egret: ")
    assert lines[0].endswith("burn out, R. Vale")
    assert lines[1].startswith(f"022 {crane.name}: ")
    assert lines[1].endswith("not signed")
    dialog = dialog_of(page, SummaryDialog)
    assert dialog.list.count() == 2


def test_a_batch_can_be_stopped(
    qtbot: QtBot, page: ReviewPage, egret: Shell, tmp_path: Path
) -> None:
    others = [put_through(page.session.opened, f"Crane {n}", f"03{n}") for n in range(3)]
    settle(qtbot, page)
    with qtbot.waitSignal(page.paper.batch.finished, timeout=30_000):
        page.paper.print_all([egret, *others], tmp_path)
        assert page.paper.stop_button.isVisible()
        press(qtbot, page.paper.stop_button)
    assert len(list(tmp_path.glob("*.pdf"))) == 1
    assert not page.paper.stop_button.isVisible()
    assert page.paper.batch_button.isEnabled()


def test_two_names_that_make_the_same_file_make_two(
    qtbot: QtBot, page: ReviewPage, tmp_path: Path
) -> None:
    opened = page.session.opened
    pair = [put_through(opened, "A/B", "05"), replace(put_through(opened, "A|B", "06"), label="05")]
    settle(qtbot, page)
    assert pdf_name(pair[0]) == pdf_name(pair[1])
    with qtbot.waitSignal(page.paper.batch.finished, timeout=30_000):
        page.paper.print_all(pair, tmp_path)
    assert len(list(tmp_path.glob("*.pdf"))) == 2


def test_without_a_shell_that_is_due_there_is_nothing_to_print(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    page = shown(qtbot, ReviewPage(session, theme))
    with qtbot.waitSignal(page.said) as told:
        press(qtbot, page.paper.batch_button)
    assert "No shell on the rack has all its coats on yet." in told.args[0]


# For everybody.

CONTROLS = (QAbstractButton, QAbstractItemView, QComboBox, QLineEdit, QPlainTextEdit)


def controls(page: ReviewPage) -> Iterator[QWidget]:
    for widget in page.findChildren(QWidget):
        inner = "PrivateContainer" in type(widget.parentWidget()).__name__
        if isinstance(widget, CONTROLS) and widget.window() is page and not inner:
            yield widget


def test_every_control_has_a_name_for_code_and_one_for_people(page: ReviewPage) -> None:
    found = list(controls(page))
    assert len(found) > 40
    for widget in found:
        assert widget.objectName(), widget
        spoken = QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)
        assert spoken.strip(), widget.objectName()
        assert "_" not in spoken, widget.objectName()
    names = [widget.objectName() for widget in found]
    assert len(names) == len(set(names))


def test_every_control_can_be_reached_by_tab(page: ReviewPage) -> None:
    reached, widget = set(), page.nextInFocusChain()
    while widget is not page and widget not in reached:
        reached.add(widget)
        widget = widget.nextInFocusChain()
    for control in controls(page):
        if control.isVisible() and control.isEnabled():
            assert control in reached, control.objectName()
            assert control.focusPolicy() & Qt.FocusPolicy.TabFocus, control.objectName()


def test_a_row_is_read_out_whole(page: ReviewPage) -> None:
    row = row_of(page, "coats")
    assert row.accessibleName() == "fine: Coats against the sequence"
    assert "3 of 3 planned coats are on." in row.accessibleDescription()


def test_other_colours_change_the_marks_and_no_words(qtbot: QtBot, page: ReviewPage) -> None:
    before = [(row.said.text(), row.seen.text()) for row in page.rows.rows]
    light = row_of(page, "hold").mark.pixmap().toImage()
    page.set_theme(DARK)
    settle(qtbot, page)
    assert [(row.said.text(), row.seen.text()) for row in page.rows.rows] == before
    assert row_of(page, "hold").mark.pixmap().toImage().size() == light.size()


def test_the_page_fits_a_laptop(qtbot: QtBot, page: ReviewPage) -> None:
    """Beside the rail of 96 pixels and under title bar and menus of a screen of 1366 x 768."""
    assert page.minimumSizeHint().width() <= 1366 - 104
    assert page.minimumSizeHint().height() <= 768 - 110


def test_the_window_has_the_page_after_the_learned_one(
    qtbot: QtBot, session: DeskSession, theme: Theme, egret: Shell
) -> None:
    window = MainWindow(session, theme, "light")
    qtbot.addWidget(window, before_close_func=lambda _w: window.hide())
    assert PAGES[PAGES.index("learned") + 1] == "review"
    page = window.show_page("review")
    assert isinstance(page, ReviewPage)
