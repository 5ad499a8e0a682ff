"""Timers on the page: by the step, by buttons, over pages, restarts and clocks that are set."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from small_shop import SetClock
from station_hands import Rings, Steady

from shellcoat.desk.main_window import MainWindow
from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.timer_keeper import TimerKeeper
from shellcoat.desk.station.window import StationWindow
from shellcoat.desk.theme import Theme
from shellcoat.operations.station import LineKind
from shellcoat.operations.station_timers import TimerKind
from shellcoat.shop import CoatKind, Shell


class Time:
    """Both clocks together."""

    def __init__(self, clock: SetClock, steady: Steady) -> None:
        self.clock, self.steady = clock, steady

    def passes(self, seconds: float) -> None:
        self.clock.forward(seconds=seconds)
        self.steady.forward(seconds)

    def is_set(self, seconds: float) -> None:
        """Somebody sets the wall clock."""
        self.clock.forward(seconds=seconds)


@pytest.fixture
def time(clock: SetClock, steady: Steady) -> Time:
    return Time(clock, steady)


def test_the_drain_timer_starts_with_the_dip_and_stands_large(awake: StationWindow) -> None:
    awake.next_step()
    awake.next_step()
    kind = awake.work.coat_kind()
    seconds = awake.keeper.settings.seconds(TimerKind.DRAIN, kind)
    assert awake.board.lines[LineKind.TIMER].text() == f"DRAIN 0:{seconds:02d}"


def test_it_does_not_where_that_is_not_wanted(awake: StationWindow) -> None:
    awake.keeper.settings.turn_drains_with_dip()
    awake.next_step()
    awake.next_step()
    assert awake.keeper.timers.running == ()


def test_one_that_ends_rings_once_and_flashes_with_words(
    awake: StationWindow, keeper: TimerKeeper, time: Time, rings: Rings
) -> None:
    keeper.start(TimerKind.DRAIN, "Heron", 45)
    for _ in range(50):
        time.passes(1)
        keeper.tick()
    assert rings.times == 1
    assert awake.notice.text().startswith("DRAINED: STUCCO NOW: Heron")
    assert awake.notice.flashing
    assert keeper.timers.running == ()


def test_a_silenced_shop_only_flashes(
    awake: StationWindow, keeper: TimerKeeper, time: Time, rings: Rings, session: DeskSession
) -> None:
    from dataclasses import replace

    session.opened.amend(replace(session.opened.shop, sound=False), session.now())
    keeper.start(TimerKind.DRAIN, "Heron", 45)
    time.passes(46)
    keeper.tick()
    assert rings.times == 0
    assert awake.notice.isVisible()


def test_large_buttons_start_set_and_stop(
    qtbot: QtBot, awake: StationWindow, keeper: TimerKeeper, heron: Shell
) -> None:
    qtbot.mouseClick(awake.buttons["timers"], Qt.MouseButton.LeftButton)
    sheet = awake.timers_sheet
    kind = heron.sequence.steps[3].kind
    before = keeper.settings.seconds(TimerKind.STUCCO, kind)
    qtbot.mouseClick(sheet.ways[TimerKind.STUCCO, 1], Qt.MouseButton.LeftButton)
    qtbot.mouseClick(sheet.starts[TimerKind.STUCCO], Qt.MouseButton.LeftButton)
    (timer,) = keeper.timers.running
    assert (timer.ends_at - timer.started_at).total_seconds() == before + 5
    assert timer.about == heron.name
    others = [one for one in CoatKind if one is not kind]
    assert {keeper.settings.seconds(TimerKind.STUCCO, one) for one in others} == {before}
    qtbot.mouseClick(sheet.buttons[0], Qt.MouseButton.LeftButton)
    assert keeper.timers.running == ()


def test_a_timer_is_about_the_shell_on_the_board(
    awake: StationWindow, keeper: TimerKeeper, heron: Shell, bells: list[Shell]
) -> None:
    keeper.settings.turn_drains_with_dip()
    awake.next_step()
    awake.next_step()
    awake.timers_sheet.start(TimerKind.STUCCO)
    awake.work.choose(bells[0].id)
    awake.timers_sheet.start(TimerKind.STUCCO)
    assert {timer.about for timer in keeper.timers.running} == {heron.name, bells[0].name}


def test_timers_go_on_while_the_program_is_closed(
    session: DeskSession, keeper: TimerKeeper, time: Time, rings: Rings, steady: Steady
) -> None:
    keeper.start(TimerKind.BETWEEN, "Heron", 3_600)
    keeper.start(TimerKind.DRAIN, "Heron", 60)
    keeper.close()
    time.clock.forward(minutes=20)
    again = TimerKeeper(session, session, steady=Steady(), ring=rings)
    told: list[object] = []
    again.ended.connect(lambda over: told.extend(timer.kind for timer in over))
    again.begin()
    assert (told, rings.times) == ([TimerKind.DRAIN], 1)
    assert [left for _, left in again.left()] == [2_400]
    again.close()
    third = TimerKeeper(session, session, steady=Steady(), ring=rings)
    third.begin()
    assert rings.times == 1  # told once, whatever is opened again
    third.close()


@pytest.mark.parametrize("step", [3_600.0, -3_600.0])
def test_a_clock_that_is_set_neither_rings_nor_stretches(
    keeper: TimerKeeper, time: Time, rings: Rings, step: float
) -> None:
    keeper.start(TimerKind.DRAIN, "Heron", 60)
    time.passes(20)
    keeper.tick()
    time.is_set(step)
    keeper.tick()
    assert rings.times == 0
    assert [left for _, left in keeper.left()] == [40]
    time.passes(41)
    keeper.tick()
    assert rings.times == 1


def test_sleep_is_time_that_passed(keeper: TimerKeeper, time: Time, rings: Rings) -> None:
    keeper.start(TimerKind.BETWEEN, "Heron", 3_600)
    time.passes(8 * 3_600)
    keeper.tick()
    assert rings.times == 1


def test_a_clock_set_back_while_closed_does_not_stretch(
    session: DeskSession, keeper: TimerKeeper, time: Time, rings: Rings
) -> None:
    keeper.start(TimerKind.BETWEEN, "Heron", 3_600)
    keeper.close()
    time.is_set(-7_200)
    again = TimerKeeper(session, session, steady=Steady(), ring=rings)
    again.begin()
    assert [left for _, left in again.left()] == [3_600]
    again.close()


def test_with_the_station_closed_the_main_window_tells(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell, clock: SetClock
) -> None:
    from dataclasses import replace

    session.opened.amend(replace(session.opened.shop, sound=False), session.now())
    main = MainWindow(session, theme, "light")
    main.show()
    main.station.keeper.start(TimerKind.STUCCO, "Heron", 60)
    clock.forward(seconds=61)
    main.station.keeper._steady = lambda: 1e9
    main.station.keeper.timers = main.station.keeper.settings.read_timers()
    main.station.keeper._steady_at = None
    main.station.keeper.tick()
    assert main.note_banner.isVisible()
    assert "stucco hang" in main.note_banner.text.text()
    main.station.close()
    main.alerts.close()
    main.backups.close()
    main.close()
    main.deleteLater()
