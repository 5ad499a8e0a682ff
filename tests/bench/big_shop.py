"""A shop of the size the benches need: hundreds of shells in every stage of the same wall."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid4, uuid5

import numpy as np

from shellcoat.book import ReadingColumns, create_book, open_book
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.shop import AirMovement, Coat, Entry, Record, Room, Shell, Shop

NOW = datetime(2026, 3, 5, 13, 0, tzinfo=UTC)
NAMESPACE = UUID("e2f7a7d4-51c8-4e0f-bb1f-0c6e0b0a6d11")
ROOM = uuid5(NAMESPACE, "room")
LOG_DAYS, LOG_EVERY_MIN = 20, 5
WAIT = timedelta(hours=9)


def big_shop(path: Path, shells: int) -> OpenShop:
    """Make a book of so many shells, two to nine coats on each, and open it."""
    records: list[Record] = [
        Shop(id=uuid5(NAMESPACE, "shop"), name="Heron Yard", zone="Europe/Madrid"),
        Room(id=ROOM, name="Drying room", movement=AirMovement.FAN_IN_ROOM),
        *starters(),
    ]
    for number in range(shells):
        shell = _shell(number)
        records += [shell, *_coats(shell, number)]
    create_book(path, [_entry(record) for record in records], now=NOW).close()
    opened = OpenShop(open_book(path), who="bench", station="bench")
    _log_air(opened)
    return opened


def _entry(record: Record) -> Entry:
    return Entry(id=uuid4(), recorded_at=NOW, who="bench", record=record)


def _shell(number: int) -> Shell:
    nine = next(one for one in starters() if len(one.steps) == 9)
    return Shell(
        id=uuid5(NAMESPACE, f"shell {number}"),
        name=f"Water bird {number}",
        label=f"{number:04d}",
        sequence=nine,
        room_id=ROOM,
        started_at=NOW - timedelta(days=10),
        drying_length_m=0.1 + 0.001 * (number % 300),
    )


def _coats(shell: Shell, number: int) -> list[Coat]:
    """The last coat of each shell went on within the last eight hours, at its own minute."""
    count = 2 + number % 8
    last = NOW - timedelta(minutes=10 + 1.5 * (number % 300))
    return [
        Coat(
            id=uuid4(),
            shell_id=shell.id,
            step=shell.sequence.steps[place],
            dipped_at=last - WAIT * (count - 1 - place),
            utc_offset_min=60,
            room_id=ROOM,
            movement=AirMovement.FAN_IN_ROOM,
            tank="B1",
        )
        for place in range(count)
    ]


def _log_air(opened: OpenShop) -> None:
    count = LOG_DAYS * 24 * 60 // LOG_EVERY_MIN
    first = NOW - timedelta(days=LOG_DAYS)
    hours = np.arange(count) * LOG_EVERY_MIN / 60.0
    day = np.sin(2.0 * math.pi * hours / 24.0)
    columns = ReadingColumns.of(
        np.int64(first.timestamp() * 1000) + (hours * 3_600_000).astype(np.int64),
        21.0 + 1.5 * day,
        0.50 - 0.06 * day,
    )
    head = columns.head(batch_id=uuid4(), room_id=ROOM, import_id=uuid4(), source_name="bench.csv")
    opened.book.add_readings(_entry(head), columns.at_ms, columns.temp_c, columns.rh)
