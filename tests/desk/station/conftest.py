"""A station on the small shop: the heron with three coats, two bare bells, settings of its own."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from pytestqt.qtbot import QtBot
from small_shop import NOW, ROOM, SetClock, an_id
from station_hands import EVENING, LAPTOP, Rings, Steady

from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.ruler import Ruler
from shellcoat.desk.station.timer_keeper import TimerKeeper
from shellcoat.desk.station.window import StationWindow
from shellcoat.desk.theme import Theme
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.operations.shells import start_shell
from shellcoat.shop import AirReading, Shell


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path) -> None:
    """Settings that go with the test."""
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))


@pytest.fixture
def bells(opened: OpenShop) -> list[Shell]:
    """Two bare waxes that get the same first coat."""
    nine = next(sequence for sequence in starters() if len(sequence.steps) == 9)
    made = []
    for number, hours in ((1, 20.0), (2, 10.0)):
        started = NOW - timedelta(hours=hours)
        wax = Shell(
            id=an_id(("bell", number)),
            name=f"Table bell {number}",
            label=f"BL-0{number}",
            sequence=nine,
            room_id=ROOM,
            started_at=started,
        )
        made.append(start_shell(opened, wax, started))
    return made


@pytest.fixture
def steady() -> Steady:
    """A clock that nobody sets."""
    return Steady()


@pytest.fixture
def rings() -> Rings:
    """Counts how often the bell rang."""
    return Rings()


@pytest.fixture
def keeper(session: DeskSession, steady: Steady, rings: Rings) -> Iterator[TimerKeeper]:
    """The timers of the book."""
    keeper = TimerKeeper(session, session, steady=steady, ring=rings)
    yield keeper
    keeper.close()


@pytest.fixture
def station(
    qtbot: QtBot,
    session: DeskSession,
    keeper: TimerKeeper,
    theme: Theme,
    heron: Shell,
    bells: list[Shell],
    read: AirReading,
    clock: SetClock,
) -> Iterator[StationWindow]:
    """The station that evening, as large as a laptop's screen, measured."""
    clock.to(EVENING)
    session.forecast_now()
    window = StationWindow(session, keeper, theme)
    window.resize(*LAPTOP)
    window.show()
    qtbot.waitExposed(window)
    window.begin()
    window.close_sheet()
    window.set_ruler(Ruler(96 / 25.4))
    yield window
    window.close()
    window.deleteLater()


@pytest.fixture
def awake(station: StationWindow, clock: SetClock) -> StationWindow:
    """The station with its rests cut short: a test presses no button twice by accident."""
    station.work.rest_ms = dict.fromkeys(station.work.rest_ms, 0)
    return station
