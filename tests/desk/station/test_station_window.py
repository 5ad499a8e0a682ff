"""The station: two presses log a dip, one takes it back, and every other way to press."""

from __future__ import annotations

from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractButton
from pytestqt.qtbot import QtBot
from small_shop import SetClock
from station_hands import EVENING

from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.find_sheet import FindSheet
from shellcoat.desk.station.ruler import Ruler, is_measured, ruler_for
from shellcoat.desk.station.timer_keeper import TimerKeeper
from shellcoat.desk.station.window import StationWindow
from shellcoat.desk.station.work import AFTER_CHOICE_MS, Mode, StationWork
from shellcoat.operations.station import LineKind
from shellcoat.shop import Coat, Shell


def coats(station: StationWindow, shell: Shell) -> tuple[Coat, ...]:
    return station.session.opened.ledger.coats(shell.id)


def press(qtbot: QtBot, station: StationWindow, name: str) -> None:
    qtbot.mouseClick(station.buttons[name], Qt.MouseButton.LeftButton)


def line(station: StationWindow, kind: LineKind) -> str:
    return station.board.lines[kind].text()


def choice(station: StationWindow, words: str) -> QAbstractButton:
    """The button of the open sheet that says so."""
    assert station.sheet is not None
    return next(
        button
        for button in station.sheet.findChildren(QAbstractButton)
        if button.isVisible() and words in button.text()
    )


def choose(qtbot: QtBot, station: StationWindow, words: str) -> None:
    qtbot.mouseClick(choice(station, words), Qt.MouseButton.LeftButton)


def test_idle_shows_the_first_due_shell_with_its_next_coat(
    station: StationWindow, heron: Shell
) -> None:
    step = heron.sequence.steps[3]
    assert station.board.name.text() == "014  Standing heron"
    assert line(station, LineKind.COAT) == "COAT 4 OF 9"
    assert step.slurry.upper() in line(station, LineKind.SLURRY)
    assert line(station, LineKind.STUCCO) == step.stucco.upper()
    assert line(station, LineKind.STATE).startswith("DRY SINCE")
    assert step.watch in station.board.notes.text()


def test_two_presses_from_idle_log_the_dip(
    qtbot: QtBot, station: StationWindow, heron: Shell
) -> None:
    press(qtbot, station, "next")
    qtbot.waitUntil(lambda: not station.work.resting)
    press(qtbot, station, "next")
    assert len(coats(station, heron)) == 4
    coat = coats(station, heron)[-1]
    assert coat.dipped_at == EVENING
    assert coat.step == heron.sequence.steps[3]
    assert line(station, LineKind.COAT) == "COAT 4 ON"
    qtbot.waitUntil(lambda: "LIKELY DRY" in line(station, LineKind.DRY))
    assert line(station, LineKind.STATE).startswith("SAFE ")


def test_a_bouncing_finger_only_takes_the_shell_up(
    qtbot: QtBot, station: StationWindow, heron: Shell
) -> None:
    for _ in range(3):
        press(qtbot, station, "next")
    assert station.work.mode is Mode.CHOSEN
    assert len(coats(station, heron)) == 3


def test_pressing_on_and_on_logs_one_coat(
    qtbot: QtBot, station: StationWindow, heron: Shell, bells: list[Shell]
) -> None:
    press(qtbot, station, "next")
    qtbot.waitUntil(lambda: not station.work.resting, timeout=5 * AFTER_CHOICE_MS)
    for _ in range(4):
        press(qtbot, station, "next")
    assert len(coats(station, heron)) == 4
    assert [len(coats(station, bell)) for bell in bells] == [0, 0]
    assert station.work.mode is Mode.DIPPED


def test_two_stations_on_one_shell_log_one_coat(
    awake: StationWindow, session: DeskSession, keeper: TimerKeeper, heron: Shell
) -> None:
    other = StationWork(session, keeper, awake)
    other.rest_ms = awake.work.rest_ms
    for work in (awake.work, other):
        work.choose(heron.id)
    awake.work.dip()
    other.dip()
    assert len(coats(awake, heron)) == 4


def test_undo_in_one_press_and_the_book_keeps_both(
    qtbot: QtBot, awake: StationWindow, heron: Shell
) -> None:
    press(qtbot, awake, "next")
    press(qtbot, awake, "next")
    logged = coats(awake, heron)[-1]
    press(qtbot, awake, "undo")
    assert len(coats(awake, heron)) == 3
    assert len(awake.session.opened.ledger.history(logged.id)) == 2
    assert awake.keeper.timers.running == ()
    assert (awake.work.mode, awake.work.chosen) == (Mode.CHOSEN, heron.id)
    assert "taken back" in awake.notice.text()


def test_early_is_warned_of_in_words_and_never_blocked(
    qtbot: QtBot, awake: StationWindow, heron: Shell, clock: SetClock
) -> None:
    clock.to(coats(awake, heron)[-1].dipped_at + timedelta(minutes=30))
    awake.session.forecast_now()
    awake.work.choose(heron.id)
    assert line(awake, LineKind.STATE).startswith("EARLY: LIKELY DRY")
    assert "SAFE" in line(awake, LineKind.STATE)
    assert "Early: likely dry" in awake.board.notes.text()
    press(qtbot, awake, "why")
    choose(qtbot, awake, "burnout is booked")
    press(qtbot, awake, "next")
    assert coats(awake, heron)[-1].reason == "The burnout is booked"


def test_early_needs_no_reason(
    qtbot: QtBot, awake: StationWindow, heron: Shell, clock: SetClock
) -> None:
    clock.to(coats(awake, heron)[-1].dipped_at + timedelta(minutes=30))
    awake.session.forecast_now()
    awake.work.choose(heron.id)
    press(qtbot, awake, "next")
    assert len(coats(awake, heron)) == 4
    assert coats(awake, heron)[-1].reason == ""


@pytest.mark.parametrize("typed", ["table bell 2", "BL-02", "02", "2"])
def test_letters_and_numbers_find_another_shell(
    qtbot: QtBot, awake: StationWindow, bells: list[Shell], typed: str
) -> None:
    for letter in typed:
        if letter == " ":
            awake.find_sheet.type_on(letter)  # the space bar presses the focused button
        else:
            qtbot.keyClick(awake.focusWidget() or awake, letter)
    assert isinstance(awake.sheet, FindSheet)
    qtbot.keyClick(awake.focusWidget(), Qt.Key.Key_Return)
    assert awake.work.chosen == bells[1].id
    assert awake.sheet is None


def test_the_pads_of_the_page_find_another_shell(
    qtbot: QtBot, awake: StationWindow, bells: list[Shell]
) -> None:
    press(qtbot, awake, "other")
    keys = awake.find_sheet.keys
    for key in (keys["0"], keys["1"], awake.find_sheet.rub, keys["2"]):
        qtbot.mouseClick(key, Qt.MouseButton.LeftButton)
    choose(qtbot, awake, "BL-02")
    assert awake.work.chosen == bells[1].id
    press(qtbot, awake, "back")
    press(qtbot, awake, "other")
    choose(qtbot, awake, "ABC")
    for key in ("S", "T"):
        qtbot.mouseClick(keys[key], Qt.MouseButton.LeftButton)
    assert [item.text for item in awake.find_sheet.choices] == ["014 Standing heron"]


def test_what_nothing_begins_with_is_said(qtbot: QtBot, awake: StationWindow) -> None:
    qtbot.keyClick(awake, "q")
    assert awake.find_sheet.title.text() == "NONE BEGINS WITH Q"
    qtbot.keyClick(awake.focusWidget(), Qt.Key.Key_Backspace)
    assert len(awake.find_sheet.choices) == 3


def test_keyboard_alone_logs_and_leaves(qtbot: QtBot, awake: StationWindow, heron: Shell) -> None:
    assert awake.focusWidget() is awake.buttons["next"]
    qtbot.keyClick(awake.focusWidget(), Qt.Key.Key_Return)
    qtbot.keyClick(awake.focusWidget(), Qt.Key.Key_Space)
    assert len(coats(awake, heron)) == 4
    qtbot.keyClick(awake.focusWidget(), Qt.Key.Key_Tab)
    assert awake.focusWidget() is awake.buttons["undo"]
    with qtbot.waitSignal(awake.left):
        qtbot.keyClick(awake.focusWidget(), Qt.Key.Key_Escape)
    assert not awake.isVisible()


@pytest.mark.parametrize(
    ("foot", "key"),
    [
        ("F13", Qt.Key.Key_F13),
        ("Space", Qt.Key.Key_Space),
        ("Enter", Qt.Key.Key_Return),
        ("Page Down", Qt.Key.Key_PageDown),
    ],
)
def test_the_foot_switch_alone_logs_whatever_has_the_focus(
    qtbot: QtBot, awake: StationWindow, heron: Shell, foot: str, key: Qt.Key
) -> None:
    while awake.keeper.settings.foot != foot:
        awake.keeper.settings.next_foot()
    awake.buttons["leave"].setFocus()
    qtbot.keyClick(awake.focusWidget(), key)
    assert awake.work.mode is Mode.CHOSEN
    awake.buttons["back"].setFocus()
    qtbot.keyClick(awake.focusWidget(), key)
    assert len(coats(awake, heron)) == 4


def test_a_foot_that_rests_on_the_switch_presses_nothing(
    qtbot: QtBot, awake: StationWindow, clock: SetClock
) -> None:
    qtbot.keyPress(awake, Qt.Key.Key_F13)
    clock.forward(seconds=3)
    qtbot.keyRelease(awake, Qt.Key.Key_F13)
    assert awake.work.mode is Mode.EXPECTING


def test_a_batch_takes_one_press_a_shell_with_its_own_time(
    qtbot: QtBot, awake: StationWindow, bells: list[Shell], heron: Shell, clock: SetClock
) -> None:
    awake.work.choose(bells[0].id)
    press(qtbot, awake, "batch")
    assert {item.key for item in awake.batch_sheet.choices} == {bell.id for bell in bells}
    choose(qtbot, awake, "START 2")
    order = sorted(bells, key=lambda bell: bell.id != awake.work.chosen)
    press(qtbot, awake, "next")
    clock.forward(minutes=2)
    press(qtbot, awake, "next")
    times = [coats(awake, bell)[-1].dipped_at for bell in order]
    assert times == [EVENING, EVENING + timedelta(minutes=2)]
    assert len(coats(awake, heron)) == 3
    assert awake.work.mode is Mode.DIPPED
    press(qtbot, awake, "undo")
    assert [len(coats(awake, bell)) for bell in order] == [1, 0]
    assert awake.work.chosen == order[1].id
    press(qtbot, awake, "undo")
    assert [len(coats(awake, bell)) for bell in order] == [0, 0]


def test_a_shell_of_a_batch_can_wait(
    qtbot: QtBot, awake: StationWindow, bells: list[Shell]
) -> None:
    awake.work.start_batch([bell.id for bell in bells])
    assert awake.board.name.text().startswith("1 OF 2: BL-01")
    press(qtbot, awake, "skip")
    press(qtbot, awake, "next")
    assert awake.board.name.text().startswith("2 OF 2: BL-01")
    press(qtbot, awake, "back")
    assert awake.work.batch is None
    assert [len(coats(awake, bell)) for bell in bells] == [0, 1]


def test_unticked_shells_stay_out_of_the_batch(
    qtbot: QtBot, awake: StationWindow, bells: list[Shell]
) -> None:
    awake.work.choose(bells[0].id)
    press(qtbot, awake, "batch")
    choose(qtbot, awake, "BL-01")
    choose(qtbot, awake, "START 1")
    assert awake.work.batch is not None
    assert awake.work.batch.waiting == (bells[1].id,)


def test_an_empty_rack_says_so(awake: StationWindow) -> None:
    awake.session.forecasts = {}
    awake.show_all()
    assert line(awake, LineKind.COAT) == "FORECAST ON ITS WAY"


def test_a_fault_is_said_here_too(awake: StationWindow) -> None:
    awake.session.failed.emit("Air temperature: no such thing.")
    assert awake.notice.isVisible()
    awake.next_step()
    assert not awake.notice.isVisible()


def test_every_control_has_a_spoken_name_and_role(qtbot: QtBot, awake: StationWindow) -> None:
    for sheet in (None, *awake.sheets):
        if sheet is not None:
            awake.open_sheet(sheet)
        for button in awake.findChildren(QAbstractButton):
            if button.isVisible():
                spoken = QAccessible.queryAccessibleInterface(button)
                assert spoken.text(QAccessible.Text.Name), button.objectName()
                assert button.focusPolicy() & Qt.FocusPolicy.TabFocus, button.objectName()
    coat = QAccessible.queryAccessibleInterface(awake.board.lines[LineKind.COAT])
    assert coat.role() == QAccessible.Role.StaticText
    assert coat.text(QAccessible.Text.Name) == "COAT 4 OF 9"


def test_the_screen_is_measured_once_with_a_card(qtbot: QtBot, awake: StationWindow) -> None:
    assert not is_measured(awake.screen())
    awake.begin()
    assert awake.sheet is awake.card_sheet
    awake.card_sheet.trial = Ruler(5.0)
    choose(qtbot, awake, "++")
    choose(qtbot, awake, "IT FITS")
    assert awake.sheet is None
    assert ruler_for(awake.screen()).px_per_mm == pytest.approx(5.0 * 1.03)
    awake.begin()
    assert awake.sheet is None
    assert awake.ruler.px_per_mm == pytest.approx(5.0 * 1.03)
