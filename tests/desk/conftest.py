"""A small shop with a clock that stands still, for the tests of the pages."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QLocale
from PySide6.QtWidgets import QApplication
from small_shop import NOW, ROOM, ZONE, SetClock, an_id

from shellcoat.book import create_book
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme, apply_theme
from shellcoat.operations.dips import utc_offset_min
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.operations.shells import start_shell
from shellcoat.shop import AirMovement, AirReading, Coat, Entry, Record, Room, Shell, Shop


def _entry(record: Record) -> Entry:
    return Entry(
        id=an_id(("entry", record.id)),
        recorded_at=NOW - timedelta(days=30),
        who="Ana",
        station="bench",
        record=record,
    )


@pytest.fixture(autouse=True)
def swept() -> Iterator[None]:
    """Let the widgets of a test go with it: without an event loop those deleted later stay."""
    yield
    if QCoreApplication.instance() is not None:
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[OpenShop]:
    """A fresh book: a shop, one room whose air was never read, the starter sequences."""
    records: list[Record] = [
        Shop(id=an_id("shop"), name="Heron Yard", zone=ZONE, altitude_m=650.0),
        Room(id=ROOM, name="Dipping room", movement=AirMovement.FAN_IN_ROOM),
        *starters(),
    ]
    book = create_book(
        tmp_path / "heron-yard.shellbook", [_entry(record) for record in records], now=NOW
    )
    yield OpenShop(book, who="Ana", station="bench")
    book.listeners.clear()
    book.close()


@pytest.fixture
def clock() -> SetClock:
    """The clock of the session."""
    return SetClock()


@pytest.fixture
def session(qapp: QApplication, opened: OpenShop, clock: SetClock) -> Iterator[DeskSession]:
    """The open shop as the pages see it; its `now` is a `SetClock`."""
    session = DeskSession(opened, now=clock)
    yield session
    session.close()
    session.deleteLater()


@pytest.fixture
def theme(qapp: QApplication) -> Theme:
    """The light colours, worn by the application, and the locale that writes decimal points."""
    QLocale.setDefault(QLocale.c())
    return apply_theme(qapp, "light")


@pytest.fixture
def read(opened: OpenShop) -> AirReading:
    """A reading of the room's air, an hour old."""
    reading = AirReading(
        id=an_id("reading"),
        room_id=ROOM,
        read_at=NOW - timedelta(hours=1),
        temp_c=21.5,
        rh=0.48,
    )
    opened.record(reading, reading.read_at)
    return reading


@pytest.fixture
def heron(opened: OpenShop) -> Shell:
    """A shell with three coats, the last one three hours old."""
    nine = next(sequence for sequence in starters() if len(sequence.steps) == 9)
    started = NOW - timedelta(days=2)
    shell = Shell(
        id=an_id("heron"),
        name="Standing heron",
        label="014",
        sequence=nine,
        room_id=ROOM,
        started_at=started,
        rack_place="A2",
        metal="silicon bronze",
        drying_length_m=0.35,
    )
    start_shell(opened, shell, started)
    for number, hours_ago in enumerate((47.0, 22.0, 3.0)):
        dipped_at = NOW - timedelta(hours=hours_ago)
        coat = Coat(
            id=an_id(("coat", number)),
            shell_id=shell.id,
            step=nine.steps[number],
            dipped_at=dipped_at,
            utc_offset_min=utc_offset_min(opened, dipped_at),
            room_id=ROOM,
            movement=AirMovement.FAN_IN_ROOM,
            tank="1",
        )
        opened.record(coat, dipped_at)
    return shell
