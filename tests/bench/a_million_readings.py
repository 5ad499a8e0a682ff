"""A million readings of a logger's file, against the plainest loop that could take them in."""

from __future__ import annotations

import csv
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from itertools import islice
from pathlib import Path
from uuid import uuid4

from shellcoat.book import create_book
from shellcoat.feeds.import_air import import_air
from shellcoat.feeds.logger_shape import inspect_file
from shellcoat.shop import Entry, Room
from tests.bench.big_shop import NOW, ROOM
from tests.bench.machine import Figure, seconds_of

READINGS = 1_000_000
AIM = 0.5
CHUNK = 20_000

TABLE = """
CREATE TABLE air_reading (
    batch_seq INTEGER NOT NULL, at_ms INTEGER NOT NULL, temp_c REAL NOT NULL, rh REAL NOT NULL,
    PRIMARY KEY (batch_seq, at_ms)
) STRICT, WITHOUT ROWID
"""


def run(folder: Path) -> Iterator[Figure]:
    """Take the same file in both ways, the plain one last, with the file in the disk's cache."""
    log = _write_log(folder / "logger.csv")
    ours = seconds_of(lambda: _ours(folder / "import.shellbook", log))
    plain = seconds_of(lambda: _plain(folder / "plain.sqlite", log))
    log.unlink()
    speed = plain / ours
    yield Figure(
        "import of a million / plain loop",
        f"{speed:.2f}",
        f"≥ {AIM}",
        speed >= AIM,
        f"speed against csv.reader and executemany: {ours:.1f} s, plain {plain:.1f} s; "
        f"{READINGS / ours:,.0f} readings a second",
    )


def _write_log(path: Path) -> Path:
    first = datetime(2024, 1, 1, tzinfo=UTC)
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write("Time (UTC),Temperature (°C),Humidity (%)\n")
        for number in range(READINGS):
            moment = first + timedelta(minutes=number)
            temp, humidity = 20 + (number % 97) / 31, 45 + (number % 89) / 13
            file.write(f"{moment:%Y-%m-%d %H:%M:%S},{temp:.2f},{humidity:.1f}\n")
    return path


def _ours(path: Path, log: Path) -> None:
    room = Entry(id=uuid4(), recorded_at=NOW, who="bench", record=Room(id=ROOM, name="Loft"))
    with create_book(path, [room], now=NOW) as book:
        report = import_air(
            book,
            log,
            inspect_file(log),
            ROOM,
            zone=UTC,
            who="bench",
            now=NOW,
            progress=lambda _progress: None,
            stop=lambda: False,
        )
    if report.imported != READINGS:
        raise RuntimeError(f"{report.imported} readings were taken in")


def _plain(path: Path, log: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, log.open(encoding="utf-8") as file:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute(TABLE)
        rows = csv.reader(file)
        next(rows)
        values = (
            (
                1,
                int(datetime.fromisoformat(time).replace(tzinfo=UTC).timestamp() * 1000),
                float(temp),
                float(humidity) / 100.0,
            )
            for time, temp, humidity in rows
        )
        while chunk := list(islice(values, CHUNK)):
            connection.executemany("INSERT INTO air_reading VALUES (?, ?, ?, ?)", chunk)
            connection.commit()
