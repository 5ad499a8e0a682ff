"""The air of each room: typed readings and logger batches read as one run."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from sqlite3 import Connection
from uuid import UUID

import numpy as np

from shellcoat.book.codec import from_milliseconds, to_milliseconds
from shellcoat.book.readings import ReadingColumns, fetch_span
from shellcoat.shop import AirAtDip, AirReading, Ledger, ReadingBatch


@dataclass(slots=True)
class RoomAir:
    """Where one room's readings stand: typed ones, and batches with their place in the book."""

    typed: list[AirReading] = field(default_factory=list)
    batches: list[tuple[int, ReadingBatch]] = field(default_factory=list)

    def readings(self, connection: Connection, first_ms: int, last_ms: int) -> ReadingColumns:
        """Give the readings of a span of time by rising time, both ends included.

        Where several stand at one instant, a typed one counts, else the one entered last.
        """
        rows = [
            row
            for seq in self._overlapping(first_ms, last_ms)
            for row in fetch_span(connection, seq, first_ms, last_ms)
        ]
        rows += self._typed_rows(first_ms, last_ms)
        return _one_per_instant(ReadingColumns.of_rows(rows))

    def last(self, connection: Connection) -> AirAtDip | None:
        """Give the latest reading."""
        ends = [to_milliseconds(batch.last_at) for _, batch in self.batches]
        ends += [to_milliseconds(reading.read_at) for reading in self.typed]
        if not ends:
            return None
        found = self.readings(connection, max(ends), max(ends))
        return AirAtDip(
            temp_c=float(found.temp_c[-1]),
            rh=float(found.rh[-1]),
            read_at=from_milliseconds(int(found.at_ms[-1])),
        )

    def _overlapping(self, first_ms: int, last_ms: int) -> Iterator[int]:
        for seq, batch in self.batches:
            starts, ends = to_milliseconds(batch.first_at), to_milliseconds(batch.last_at)
            if starts <= last_ms and ends >= first_ms:
                yield seq

    def _typed_rows(self, first_ms: int, last_ms: int) -> list[tuple[int, float, float]]:
        rows = [(to_milliseconds(r.read_at), r.temp_c, r.rh) for r in self.typed]
        return [row for row in rows if first_ms <= row[0] <= last_ms]


def _one_per_instant(readings: ReadingColumns) -> ReadingColumns:
    order = np.argsort(readings.at_ms, kind="stable")
    at_ms = readings.at_ms[order]
    last_of_its_instant = np.append(np.diff(at_ms) > 0, np.ones(len(at_ms[:1]), dtype=bool))
    keep = order[last_of_its_instant]
    return ReadingColumns(readings.at_ms[keep], readings.temp_c[keep], readings.rh[keep])


def by_room(ledger: Ledger, places: Mapping[UUID, int]) -> dict[UUID, RoomAir]:
    """Sort what stands by room; `places` gives the number of each batch's entry in the book."""
    rooms: dict[UUID, RoomAir] = defaultdict(RoomAir)
    for entry in list(ledger.live.values()):
        record = entry.record
        if isinstance(record, AirReading):
            rooms[record.room_id].typed.append(record)
        elif isinstance(record, ReadingBatch):
            rooms[record.room_id].batches.append((places[entry.id], record))
    for room in rooms.values():
        room.batches.sort(key=lambda place: place[0])
    return dict(rooms)
