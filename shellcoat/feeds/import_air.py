"""Take a logger file's readings into the book, chunk by chunk.

Every chunk is kept by itself, so a dip can be logged in between, and a stop or a fault loses
nothing that is in. A reading whose room and time the book knows already is passed over, so
importing again goes on where it ended.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Protocol
from uuid import UUID, uuid4

import numpy as np
from numpy.typing import ArrayLike

from shellcoat.book import ReadingColumns
from shellcoat.feeds.errors import UnknownRoomError
from shellcoat.feeds.import_report import ImportProgress, ImportReport, ImportTally
from shellcoat.feeds.reading_chunks import ReadingChunk, read_chunks
from shellcoat.feeds.shape import LoggerShape
from shellcoat.feeds.text_file import checked_size
from shellcoat.feeds.wall_times import Milliseconds
from shellcoat.shop import Entry, Ledger

__all__ = ["AirBook", "ImportProgress", "ImportReport", "import_air"]


class AirBook(Protocol):
    """What an import needs of a book."""

    @property
    def ledger(self) -> Ledger:
        """What stands in the book."""

    def add_readings(
        self, entry: Entry, at_ms: ArrayLike, temp_c: ArrayLike, rh: ArrayLike
    ) -> None:
        """Keep a batch and its readings, all or none."""

    def reading_times(self, room_id: UUID, first_ms: int, last_ms: int) -> set[int]:
        """Give the times [ms since 1970] at which a room has readings, both ends included."""


def import_air(
    book: AirBook,
    path: Path,
    shape: LoggerShape,
    room_id: UUID,
    *,
    zone: tzinfo,
    who: str,
    now: datetime,
    progress: Callable[[ImportProgress], None],
    stop: Callable[[], bool],
) -> ImportReport:
    """Import the readings of a file into a room; `stop` is asked before every chunk."""
    if room_id not in {room.id for room in book.ledger.rooms}:
        raise UnknownRoomError(path.name)
    size = checked_size(path)
    tally = ImportTally(_storable(path.name), shape.interval_ms)
    desk = _Desk(book, room_id, who, now, tally.source_name)
    for chunk in read_chunks(path, shape, zone, now=now):
        if stop():
            return tally.report(stopped=True)
        readings = _rising(chunk)
        tally.add_times(readings.at_ms)
        tally.add_chunk(chunk, desk.take_in(readings))
        progress(ImportProgress(chunk.bytes_read, size, tally.rows, tally.imported))
    return tally.report(stopped=False)


def _storable(name: str) -> str:
    """A file name without what the book cannot keep."""
    return "".join(char if char.isprintable() else "?" for char in name)


def _rising(chunk: ReadingChunk) -> ReadingColumns:
    """A chunk by rising time, the first reading of each time only."""
    columns = ReadingColumns.of(chunk.at_ms, chunk.temp_c, chunk.rh)
    if np.all(np.diff(columns.at_ms) > 0):
        return columns
    _, order = np.unique(columns.at_ms, return_index=True)
    return ReadingColumns(columns.at_ms[order], columns.temp_c[order], columns.rh[order])


class _Desk:
    """Where readings are entered: one room, one person, one import."""

    def __init__(
        self, book: AirBook, room_id: UUID, who: str, now: datetime, source_name: str
    ) -> None:
        self._book = book
        self._room_id = room_id
        self._who = who
        self._now = now
        self._source_name = source_name
        self._import_id = uuid4()

    def take_in(self, readings: ReadingColumns) -> int:
        """Enter the readings the book does not have yet; says how many."""
        if not len(readings):
            return 0
        new = self._not_known(readings.at_ms)
        fresh = ReadingColumns(readings.at_ms[new], readings.temp_c[new], readings.rh[new])
        if len(fresh):
            self._book.add_readings(self._entry(fresh), fresh.at_ms, fresh.temp_c, fresh.rh)
        return len(fresh)

    def _not_known(self, rising_ms: Milliseconds) -> Milliseconds:
        """Places of the times at which the room has no reading."""
        first, last = int(rising_ms[0]), int(rising_ms[-1])
        known = self._book.reading_times(self._room_id, first, last)
        if not known:
            return np.arange(len(rising_ms))
        return np.flatnonzero(~np.isin(rising_ms, np.array(list(known), np.int64)))

    def _entry(self, readings: ReadingColumns) -> Entry:
        batch = readings.head(
            batch_id=uuid4(),
            room_id=self._room_id,
            import_id=self._import_id,
            source_name=self._source_name,
        )
        return Entry(id=uuid4(), recorded_at=self._now, who=self._who, record=batch)
