"""Small invented shops for the tests of the book."""

from __future__ import annotations

import hashlib
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import UUID, uuid4, uuid5

import shellcoat
from shellcoat.book import Book, ReadingColumns, create_book, open_book
from shellcoat.shop import (
    AirAtDip,
    AirMovement,
    AirReading,
    Band,
    Coat,
    CoatKind,
    CoatStep,
    DipSequence,
    Entry,
    Record,
    Room,
    Shell,
    Shop,
    Withdrawal,
)

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
MINUTE = 60_000  # [ms]
NOW_MS = int(NOW.timestamp() * 1000)


def an_id(name: object) -> UUID:
    """The same id for the same name."""
    return uuid5(UUID("0c3c2d3e-6f6e-4b3f-9d11-0a4f1a6f1d2b"), str(name))


ROOM, SHELL = an_id("room"), an_id("shell")
STEP = CoatStep(
    kind=CoatKind.BACKUP,
    slurry="Silica backup",
    stucco="Silica 30-50",
    thickness_m=Band(0.0006, 0.0009, 0.0012),
    water_kg_m2=Band(0.2, 0.3, 0.4),
)
SEQUENCE = DipSequence(
    id=an_id("sequence"),
    name="Eight coats",
    steps=(STEP,) * 8,
    target_thickness_m=0.007,
    final_hold_s=86_400.0,
)


def at(hours: float) -> datetime:
    """The time so many hours after the story begins."""
    return NOW + timedelta(hours=hours)


def an_entry(record: Record, hours: float = 0.0, **envelope: object) -> Entry:
    """An entry of a record."""
    return Entry(id=uuid4(), recorded_at=at(hours), who="Ines", record=record, **envelope)


def a_shell(name: object = "shell") -> Shell:
    """A heron on the rack."""
    return Shell(
        id=an_id(name),
        name=f"Heron {name}",
        label=f"H-{name}",
        sequence=SEQUENCE,
        room_id=ROOM,
        started_at=NOW,
    )


def a_coat(hours: float, shell_id: UUID = SHELL, **changes: object) -> Coat:
    """A backup coat."""
    coat = Coat(
        id=uuid4(),
        shell_id=shell_id,
        step=STEP,
        dipped_at=at(hours),
        utc_offset_min=60,
        room_id=ROOM,
        movement=AirMovement.FAN_IN_ROOM,
        air=AirAtDip(temp_c=21.5, rh=0.52, read_at=at(hours - 0.1)),
    )
    return replace(coat, **changes)


def a_reading(hours: float, temp_c: float = 21.0, rh: float = 0.5) -> AirReading:
    """A typed reading."""
    return AirReading(id=uuid4(), room_id=ROOM, read_at=at(hours), temp_c=temp_c, rh=rh)


def a_withdrawal(entry: Entry, hours: float = 0.0) -> Entry:
    """An undo."""
    record = Withdrawal(id=entry.record.id)
    return an_entry(record, hours, replaces=entry.id, reason="Logged on the wrong shell")


def some_columns(count: int = 5, first_ms: int = NOW_MS, step_ms: int = MINUTE) -> ReadingColumns:
    """Readings a minute apart."""
    temps = [20.0 + (index % 7) / 3 for index in range(count)]
    humidities = [0.4 + (index % 11) / 30 for index in range(count)]
    return ReadingColumns.of([first_ms + i * step_ms for i in range(count)], temps, humidities)


def a_batch(
    columns: ReadingColumns, hours: float = 0.0, room_id: UUID = ROOM, **envelope: object
) -> Entry:
    """The entry of a batch of logger readings."""
    head = columns.head(
        batch_id=uuid4(), room_id=room_id, import_id=uuid4(), source_name="logger 1.csv"
    )
    return an_entry(head, hours, **envelope)


def keep_readings(book: Book, entry: Entry, columns: ReadingColumns) -> None:
    """Put a batch in the book."""
    book.add_readings(entry, columns.at_ms, columns.temp_c, columns.rh)


def opening_entries() -> list[Entry]:
    """A shop with one room, one sequence and one shell."""
    shop = Shop(id=an_id("shop"), name="Heron Yard", zone="Europe/Madrid", units={"length": "mm"})
    room = Room(id=ROOM, name="Dipping room", movement=AirMovement.FAN_IN_ROOM)
    return [an_entry(record) for record in (shop, room, SEQUENCE, a_shell())]


def new_book(path: Path) -> Book:
    """A book with the opening entries; the same book each time, copied to save time."""
    path.write_bytes(_bytes_of_a_book(_begin))
    return open_book(path)


def full_book(path: Path) -> Book:
    """A book with something of everything: coats, a correction, an undo, readings."""
    path.write_bytes(_bytes_of_a_book(_begin_and_fill))
    return open_book(path)


@cache
def _bytes_of_a_book(make: Callable[[Path], Book]) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "template.shellbook"
        make(path).close()
        return path.read_bytes()


def _begin(path: Path) -> Book:
    return create_book(path, opening_entries(), now=NOW)


def _begin_and_fill(path: Path) -> Book:
    book = _begin(path)
    first, second = an_entry(a_coat(1), 1), an_entry(a_coat(8), 8)
    book.append([first], slots={first.id: "coat:1"})
    book.append([second], slots={second.id: "coat:2"})
    moved = replace(first.record, dipped_at=at(1.5), note="Zeit falsch — 1½ h später", tank="B")
    book.append([an_entry(moved, 2, replaces=first.id, reason="Wrong time", station="Bench 1")])
    book.append([a_withdrawal(second, 9)])
    book.append([an_entry(a_reading(3), 3)])
    columns = some_columns(50)
    keep_readings(book, a_batch(columns, 10), columns)
    return book


def digest_of(path: Path) -> str:
    """What a file's bytes are known by."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def by_hand(path: Path, *statements: str) -> None:
    """Do with a book's file what another program might do to it."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


def start_python(*arguments: str) -> subprocess.Popen[str]:
    """Start another program on the same machine, as the command line would be."""
    return subprocess.Popen(
        [sys.executable, *arguments],
        stdout=subprocess.PIPE,
        stdin=subprocess.PIPE,
        text=True,
        env={"PYTHONPATH": str(Path(shellcoat.__file__).parents[1])},
    )
