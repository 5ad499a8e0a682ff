"""A dip from the call to the disk, against one bare insert that is just as durable."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

from shellcoat.operations.dips import DipOrder, log_dip
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import AirAtDip, AirMovement
from tests.bench.big_shop import NOW, ROOM, big_shop
from tests.bench.machine import Figure, alternating, median, milliseconds, percentile, seconds_of

SHELLS, DIPS = 300, 600
RATIO = 15.0
WORST_S = 0.050

TABLE = """
CREATE TABLE entry (
    seq INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL,
    record_id TEXT NOT NULL, recorded_at INTEGER NOT NULL, who TEXT NOT NULL, body TEXT NOT NULL,
    slot TEXT UNIQUE, hash TEXT NOT NULL UNIQUE
) STRICT
"""
INSERT = "INSERT INTO entry VALUES (?, ?, 'coat', ?, ?, 'bench', ?, ?, ?)"


def run(folder: Path) -> Iterator[Figure]:
    """Log dips in turn with bare inserts into a file beside the book."""
    opened = big_shop(folder / "dips.shellbook", SHELLS)
    with closing(_bare(folder / "bare.sqlite")) as bare:
        ours, numbers = iter(range(DIPS)), iter(range(DIPS))
        body = json.dumps({"note": "x" * 900})
        try:
            times, anchors = alternating(
                lambda: _timed_dip(opened, next(ours)),
                lambda: seconds_of(lambda: _insert(bare, next(numbers), body)),
                DIPS,
            )
        finally:
            opened.book.close()
    ratio, worst = median(times) / median(anchors), percentile(times, 0.99)
    yield Figure(
        "a dip / bare insert and commit",
        f"{ratio:.1f}",
        f"≤ {RATIO:g}",
        ratio <= RATIO,
        f"median {milliseconds(median(times))} against {milliseconds(median(anchors))}, WAL FULL",
    )
    yield Figure(
        "a dip, 99th of a hundred",
        milliseconds(worst),
        f"≤ {milliseconds(WORST_S)}",
        worst <= WORST_S,
        f"bare {milliseconds(percentile(anchors, 0.99))}; {DIPS} of each in turn, book of "
        f"{SHELLS} shells",
    )


def _timed_dip(opened: OpenShop, number: int) -> float:
    """Log one dip of the next shell; filling in the order is not part of it."""
    shells = opened.ledger.shells
    when = NOW + timedelta(minutes=2 * number)
    order = DipOrder(
        coat_id=uuid4(),
        shell_id=shells[number % SHELLS].id,
        step=shells[number % SHELLS].sequence.steps[2],
        dipped_at=when,
        room_id=ROOM,
        movement=AirMovement.FAN_IN_ROOM,
        tank="B1",
        air=AirAtDip(temp_c=21.0, rh=0.5, read_at=when),
    )
    return seconds_of(lambda: log_dip(opened, order, when))


def _bare(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute(TABLE)
    return connection


def _insert(connection: sqlite3.Connection, number: int, body: str) -> None:
    name = uuid4().hex
    connection.execute("BEGIN IMMEDIATE")
    connection.execute(INSERT, (number, name, name, number, body, name, name * 2))
    connection.execute("COMMIT")
