"""The Checks tab of the Shell page: logging what was found, leaving out, correcting, undoing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from uuid import UUID

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QComboBox, QPushButton, QTableView
from pytestqt.qtbot import QtBot
from small_shop import NOW, SetClock, an_id
from wall_made import a_wall

from shellcoat.book import open_book
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog
from shellcoat.desk.dialogs.shell_check_dialog import ShellCheckDialog
from shellcoat.desk.dialogs.shell_check_forms import CaliperForm, InfraredForm, WeighingForm
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.theme import Theme
from shellcoat.forecast.wall_answers import WallAnswer
from shellcoat.operations.checks import log_check
from shellcoat.operations.learned_wording import write_taught
from shellcoat.operations.open_shop import ForecastInput, OpenShop
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import (
    AirReading,
    CaliperReading,
    Core,
    DryCheck,
    DryFinding,
    InfraredReading,
    Opening,
    Shell,
    ShellCheck,
    WallPlace,
    Weighing,
)
from shellcoat.shop.entry import Withdrawal

BODY = Core(
    id=an_id("body"),
    name="Body of the heron",
    area_m2=0.03,
    openings=(Opening(width_m=0.012, height_m=0.012),),
)


@pytest.fixture(autouse=True)
def round_wall(monkeypatch: pytest.MonkeyPatch) -> None:
    """A wall of round figures in place of the forecast's own."""

    def wall(opened: OpenShop, given: ForecastInput) -> WallAnswer:
        (case,) = given.cases
        return a_wall(case.shell.id, opened.ledger.checks().get(case.shell.id, ()))

    monkeypatch.setattr(OpenShop, "wall", wall)


@pytest.fixture
def cored(opened: OpenShop, heron: Shell, read: AirReading) -> Shell:
    """The heron with one core."""
    return edit_shell(opened, replace(heron, cores=(BODY,)), NOW, "measured")


def shell_page(qtbot: QtBot, session: DeskSession, theme: Theme, shell: Shell) -> ShellPage:
    session.forecast_now()
    page = ShellPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1266, 700)
    page.show()
    qtbot.waitExposed(page)
    page.show_shell(shell.id)
    page.plots.setCurrentWidget(page.checks)
    settle(qtbot, session)
    return page


def settle(qtbot: QtBot, session: DeskSession) -> None:
    """Wait for all that is worked out in the background."""
    qtbot.waitUntil(lambda: not session.runner.busy)


@pytest.fixture
def page(qtbot: QtBot, session: DeskSession, theme: Theme, cored: Shell) -> Iterator[ShellPage]:
    """The shell page with its Checks tab in front and all work done."""
    yield shell_page(qtbot, session, theme, cored)
    settle(qtbot, session)


def checks(session: DeskSession) -> list[ShellCheck]:
    return [check for one in session.opened.ledger.checks().values() for check in one]


def only(session: DeskSession) -> ShellCheck:
    (check,) = checks(session)
    return check


def asked(page: ShellPage) -> ShellCheckDialog:
    dialog = page.checks.dialog
    assert isinstance(dialog, ShellCheckDialog)
    assert dialog.isVisible()
    return dialog


def why(page: ShellPage) -> ReasonDialog:
    dialog = page.checks.deeds.dialog
    assert isinstance(dialog, ReasonDialog)
    assert dialog.isVisible()
    return dialog


def cells(page: ShellPage, row: int = 0) -> list[str]:
    model = page.checks.model
    return [str(model.index(row, column).data()) for column in range(model.columnCount())]


def a_touch(shell: Shell, hours_ago: float, **about: object) -> DryCheck:
    usual = DryCheck(
        id=an_id(("touch", hours_ago)),
        shell_id=shell.id,
        at=NOW - timedelta(hours=hours_ago),
        finding=DryFinding.DRY,
    )
    return replace(usual, **about)  # type: ignore[arg-type]


def test_an_empty_list_says_what_to_do_and_has_nothing_to_do_it_with(page: ShellPage) -> None:
    tab = page.checks
    assert tab.empty.isVisible()
    assert "Touch the shell" in tab.empty.text()
    deeds = (
        tab.deeds.leave_out_button,
        tab.deeds.take_in_button,
        tab.deeds.correct_button,
        tab.deeds.take_back_button,
    )
    assert not any(button.isEnabled() for button in deeds)


@pytest.mark.parametrize("finding", list(DryFinding))
def test_one_press_of_the_mouse_keeps_what_was_found(
    qtbot: QtBot, page: ShellPage, session: DeskSession, finding: DryFinding
) -> None:
    tab = page.checks
    button = tab.buttons.dry if finding is DryFinding.DRY else tab.buttons.wet
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    kept = only(session)
    assert isinstance(kept, DryCheck)
    assert (kept.finding, kept.core_id, kept.at) == (finding, None, NOW)
    assert cells(page)[:4] == ["14:00", "3", "Touched, face", finding.value]


def test_the_keyboard_keeps_it_as_well(qtbot: QtBot, page: ShellPage, session: DeskSession) -> None:
    page.checks.buttons.wet.setFocus()
    qtbot.keyClick(page.checks.buttons.wet, Qt.Key.Key_Space)
    kept = only(session)
    assert isinstance(kept, DryCheck)
    assert kept.finding is DryFinding.STILL_WET


def test_a_core_is_touched_where_one_is_chosen(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    tab = page.checks
    assert [tab.buttons.where.itemText(row) for row in range(tab.buttons.where.count())] == [
        "the face",
        "core Body of the heron",
    ]
    qtbot.keyClick(tab.buttons.where, Qt.Key.Key_Down)
    tab.buttons.dry.click()
    kept = only(session)
    assert isinstance(kept, DryCheck)
    assert kept.core_id == BODY.id
    assert cells(page)[2] == "Touched, core Body of the heron"


def test_the_choice_of_where_outlives_a_new_forecast(page: ShellPage, session: DeskSession) -> None:
    page.checks.buttons.where.setCurrentIndex(1)
    session.forecast_now()
    assert page.checks.buttons.where.currentData() == BODY.id


def test_pressed_twice_it_is_kept_once(
    qtbot: QtBot, page: ShellPage, session: DeskSession, clock: SetClock
) -> None:
    qtbot.mouseDClick(page.checks.buttons.dry, Qt.MouseButton.LeftButton)
    page.checks.buttons.dry.click()
    assert len(checks(session)) == 1
    clock.forward(minutes=30)
    page.checks.buttons.dry.click()
    assert len(checks(session)) == 2


def test_something_else_found_at_once_is_another_check(
    page: ShellPage, session: DeskSession
) -> None:
    page.checks.buttons.dry.click()
    page.checks.buttons.where.setCurrentIndex(1)
    page.checks.buttons.dry.click()
    page.checks.buttons.wet.click()
    assert len(checks(session)) == 3


def test_what_was_just_kept_is_taken_back_without_a_question(
    page: ShellPage, session: DeskSession
) -> None:
    tab = page.checks
    tab.buttons.dry.click()
    check = only(session)
    assert tab.chosen == check
    assert not tab.deeds.take_back_button.text().endswith("…")
    tab.deeds.take_back_button.click()
    assert checks(session) == []
    last = session.opened.ledger.history(check.id)[-1]
    assert isinstance(last.record, Withdrawal)
    assert last.reason
    tab.buttons.dry.click()  # straight after, it is a new check and no second press
    assert len(checks(session)) == 1


def test_an_hour_later_it_is_no_slip_of_the_finger_any_more(
    page: ShellPage, session: DeskSession, clock: SetClock
) -> None:
    page.checks.buttons.dry.click()
    clock.forward(hours=1)
    session.forecast_now()
    assert page.checks.deeds.take_back_button.text().endswith("…")
    page.checks.deeds.take_back_button.click()
    assert why(page).isVisible()
    assert len(checks(session)) == 1


def test_an_older_check_is_taken_back_with_a_reason(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    check = log_check(session.opened, a_touch(cored, 2.0), NOW)
    page.checks.deeds.take_back_button.click()
    dialog = why(page)
    dialog.confirm_button.click()
    assert checks(session) == [check]
    assert "Say in a few words why" in dialog.reason.message
    qtbot.keyClicks(dialog.reason.line, "it was another shell")
    dialog.confirm_button.click()
    assert checks(session) == []
    assert session.opened.ledger.history(check.id)[-1].reason == "it was another shell"


def test_leaving_out_needs_a_reason_and_shows_it(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    tab = page.checks
    check = log_check(session.opened, a_touch(cored, 2.0), NOW)
    tab.deeds.leave_out_button.click()
    dialog = why(page)
    dialog.reason.line.setText("   ")
    qtbot.keyClick(dialog.reason.line, Qt.Key.Key_Return)
    assert dialog.isVisible()
    assert only(session) == check
    dialog.reason.line.setText("touched in the sun")
    qtbot.keyClick(dialog.reason.line, Qt.Key.Key_Return)
    assert only(session).left_out == "touched in the sun"
    assert cells(page)[4] == "left out: touched in the sun"
    assert not tab.deeds.leave_out_button.isEnabled()
    settle(qtbot, session)
    tab.deeds.take_in_button.click()
    assert only(session).left_out == ""
    assert not tab.deeds.take_in_button.isEnabled()


def test_an_infrared_reading_is_kept_in_the_shops_scale(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    page.checks.buttons.infrared.click()
    dialog = asked(page)
    form = dialog.form
    assert isinstance(form, InfraredForm)
    qtbot.keyClicks(form.surface.line, "64.4 F")
    qtbot.keyClicks(form.air.line, "21")
    dialog.save_button.click()
    kept = only(session)
    assert isinstance(kept, InfraredReading)
    assert kept.surface_temp_c == pytest.approx(18.0)  # (64.4 - 32) / 1.8
    assert kept.air_temp_c == pytest.approx(21.0)
    assert "3.0\u00a0K below" in cells(page)[3]


def test_a_weighing_is_kept(qtbot: QtBot, page: ShellPage, session: DeskSession) -> None:
    page.checks.buttons.weigh.click()
    dialog = asked(page)
    assert isinstance(dialog.form, WeighingForm)
    qtbot.keyClicks(dialog.form.mass.line, "7 lb 8 oz")
    qtbot.keyClick(dialog.form.mass.line, Qt.Key.Key_Return)
    kept = only(session)
    assert isinstance(kept, Weighing)
    assert kept.mass_kg == pytest.approx(7.5 * 0.45359237)  # the pound of 1959, exact


def test_a_measured_wall_is_kept_with_its_place(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    page.checks.buttons.measure.click()
    dialog = asked(page)
    form = dialog.form
    assert isinstance(form, CaliperForm)
    qtbot.keyClicks(form.thickness.line, "5.4")
    form.place.set_value(WallPlace.EDGE)
    qtbot.keyClicks(form.where.line, "back of the head")
    dialog.save_button.click()
    kept = only(session)
    assert isinstance(kept, CaliperReading)
    assert kept.thickness_m == pytest.approx(0.0054)
    assert (kept.place, kept.where) == (WallPlace.EDGE, "back of the head")
    settle(qtbot, session)
    assert cells(page)[4] == "wall 6.1\u00a0mm → 5.5\u00a0mm"


def test_a_unit_of_something_else_is_refused_in_words(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    page.checks.buttons.measure.click()
    dialog = asked(page)
    assert isinstance(dialog.form, CaliperForm)
    qtbot.keyClicks(dialog.form.thickness.line, "5 kg")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert "is a mass, not a length" in dialog.form.thickness.line.accessibleDescription()
    assert checks(session) == []


def test_a_wall_thicker_than_any_shell_is_refused(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    page.checks.buttons.measure.click()
    dialog = asked(page)
    assert isinstance(dialog.form, CaliperForm)
    qtbot.keyClicks(dialog.form.thickness.line, "54 cm")
    dialog.save_button.click()
    assert "to 100" in dialog.form.thickness.line.accessibleDescription()
    assert checks(session) == []


def test_a_check_that_has_not_been_made_yet_is_refused_at_its_time(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    page.checks.buttons.weigh.click()
    dialog = asked(page)
    assert isinstance(dialog.form, WeighingForm)
    qtbot.keyClicks(dialog.form.mass.line, "3.4")
    dialog.time.set_value(NOW + timedelta(hours=2))
    dialog.save_button.click()
    assert "16:00 has not come yet" in dialog.time.message
    assert checks(session) == []


def test_saved_twice_it_is_kept_once(qtbot: QtBot, page: ShellPage, session: DeskSession) -> None:
    page.checks.buttons.weigh.click()
    dialog = asked(page)
    assert isinstance(dialog.form, WeighingForm)
    qtbot.keyClicks(dialog.form.mass.line, "3.4")
    dialog.save()
    dialog.save()
    assert len(checks(session)) == 1


def test_a_note_of_200_characters_is_shown_whole_and_leaves_the_page_as_wide(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    log_check(session.opened, a_touch(cored, 2.0, note="N" * 200), NOW)
    settle(qtbot, session)
    assert "N" * 200 in page.checks.detail.text().replace("\u200b", "")
    assert cells(page)[5] == "N" * 200
    assert page.width() == 1266
    assert page.checks.minimumSizeHint().width() < 620


def test_correcting_keeps_what_was_written_before(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    first = log_check(session.opened, a_touch(cored, 2.0, note="left flank"), NOW)
    page.checks.deeds.correct_button.click()
    dialog = asked(page)
    dialog.note.set_value("right flank")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert "Say in a few words why" in dialog.reason.message
    qtbot.keyClicks(dialog.reason.line, "mixed up")
    dialog.save_button.click()
    assert only(session) == replace(first, note="right flank")
    history = session.opened.ledger.history(first.id)
    assert [entry.record for entry in history] == [first, only(session)]
    assert history[-1].reason == "mixed up"


def test_a_correction_keeps_a_check_left_out(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    log_check(session.opened, a_touch(cored, 2.0, left_out="in the sun"), NOW)
    page.checks.deeds.correct_button.click()
    dialog = asked(page)
    dialog.note.set_value("flank")
    qtbot.keyClicks(dialog.reason.line, "added")
    dialog.save_button.click()
    assert only(session).left_out == "in the sun"
    assert only(session).note == "flank"


def test_the_newest_stands_first_with_the_coat_that_was_on_then(
    page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    # Coats went on 47, 22 and 3 hours ago.
    for hours in (47.5, 30.0, 1.0):
        log_check(session.opened, a_touch(cored, hours), NOW)
    assert [cells(page, row)[1] for row in range(3)] == ["3", "1", "–"]


def test_a_touch_tells_what_the_forecast_learned_from_it(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    touch = a_touch(cored, 0.5, finding=DryFinding.STILL_WET)
    log_check(session.opened, touch, NOW)
    settle(qtbot, session)
    (lesson,) = session.opened.learned(session.opened.forecast_input(NOW)).lessons
    assert lesson.silence is None
    assert cells(page)[4] == write_taught(lesson, touch)


def test_a_touch_of_bare_wax_says_that_it_taught_nothing(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    log_check(session.opened, a_touch(cored, 47.5), NOW)
    settle(qtbot, session)
    assert cells(page)[4] == "nothing: no coat was on"


def test_the_chosen_check_stays_chosen_when_another_comes(
    page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    old = log_check(session.opened, a_touch(cored, 5.0), NOW)
    page.checks.table.selectRow(0)
    log_check(session.opened, a_touch(cored, 1.0), NOW)
    assert page.checks.chosen == old


def test_every_control_has_a_name_for_code_and_one_for_people(page: ShellPage) -> None:
    kinds = (QPushButton, QComboBox, QTableView)
    found = [
        widget
        for kind in kinds
        for widget in page.checks.findChildren(kind)
        if widget.window() is page.window() and not widget.objectName().startswith("qt_")
    ]
    assert len(found) >= 11
    for widget in found:
        assert widget.objectName(), widget
        spoken = QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)
        assert spoken.strip(), widget.objectName()


def test_no_two_keys_of_the_tab_and_the_page_are_the_same(page: ShellPage) -> None:
    texts = [button.text() for button in page.checks.findChildren(QPushButton)]
    texts += [page.plots.tabText(index) for index in range(page.plots.count())]
    keys = [text[text.index("&") + 1].casefold() for text in texts if "&" in text]
    assert len(keys) == len(set(keys)) >= 14


def test_the_targets_are_large_enough_for_gloves(page: ShellPage) -> None:
    tab = page.checks
    large = (tab.buttons.dry, tab.buttons.wet, tab.buttons.infrared, tab.buttons.weigh)
    for button in (*large, tab.buttons.measure):
        assert button.height() / 96 * 25.4 >= 15.0, button.text()  # at 96 dots an inch


def test_a_book_to_read_only_disables_every_deed(
    qtbot: QtBot, opened: OpenShop, cored: Shell, theme: Theme
) -> None:
    log_check(opened, a_touch(cored, 2.0), NOW)
    read_only = open_book(opened.book.path, read_only=True)
    session = DeskSession(OpenShop(read_only, who="Ana", station="bench"), now=lambda: NOW)
    page = shell_page(qtbot, session, theme, cored)
    assert page.checks.model.rowCount() == 1
    buttons = page.checks.findChildren(QPushButton)
    assert len(buttons) == 9
    assert not any(button.isEnabled() for button in buttons)
    session.close()


def test_another_shell_has_a_list_of_its_own(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    other = replace(cored, id=an_id("otter"), name="Otter", label="015", cores=())
    session.opened.record(other, NOW)
    log_check(session.opened, a_touch(cored, 2.0), NOW)
    page.show_shell(other.id)
    assert page.checks.model.rowCount() == 0
    assert page.checks.buttons.where.count() == 1
    page.checks.buttons.dry.click()
    assert {check.shell_id for check in checks(session)} == {cored.id, other.id}
    assert page.checks.model.rowCount() == 1


def test_the_wall_of_another_shell_is_not_taken_for_this_ones(
    qtbot: QtBot, page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    shown: list[UUID] = []
    page.wall_gatherer.answered.connect(lambda answer: shown.append(answer.shell_id))
    other = replace(cored, id=an_id("otter"), name="Otter", label="015", cores=())
    session.opened.record(other, NOW)
    page.show_shell(cored.id)
    page.show_shell(other.id)  # while the first is still being worked out
    settle(qtbot, session)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.MetaCall)
    assert shown[-1:] == [other.id]
    assert page.wall_gatherer.answer is not None
    assert page.wall_gatherer.answer.shell_id == other.id
