"""Readings from a logger file, a chunk at a time, whole columns at once.

Rows that cannot be read show as gaps in the columns, so a million good rows never meet a line
of Python of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from enum import IntEnum
from pathlib import Path

import numpy as np
import numpy.typing as npt

from shellcoat.feeds.cells import split_carefully
from shellcoat.feeds.quantities import Floats, humidities, temperatures
from shellcoat.feeds.screening import BadRow, ScreenedRows, is_passed_over, screen
from shellcoat.feeds.settled import Settled
from shellcoat.feeds.shape import LoggerShape
from shellcoat.feeds.text_file import (
    LineBlock,
    checked_size,
    detect_encoding,
    read_head,
    read_lines,
)
from shellcoat.feeds.wall_times import MILLISECONDS_PER_DAY, NO_TIME, Milliseconds, TimeReader
from shellcoat.feeds.zone_clock import ZoneClock
from shellcoat.shop.air import COLDEST_C, HOTTEST_C

EARLIEST_MS = int(datetime(1990, 1, 1, tzinfo=UTC).timestamp()) * 1000
LATEST_MS = int(datetime(2199, 12, 30, tzinfo=UTC).timestamp()) * 1000
# Sensors read a little over 100 % in wet air; more than this is a fault. Common practice.
WETTEST_RH = 1.03
CHUNK_ROWS = 20_000


class Fault(IntEnum):
    """Why a row is not taken in; from TOO_OLD on it can be read but not believed."""

    NONE = 0
    NO_TIME = 1
    NO_TEMPERATURE = 2
    NO_HUMIDITY = 3
    SKIPPED_HOUR = 4
    TOO_OLD = 5
    IN_FUTURE = 6
    TEMPERATURE = 7
    HUMIDITY = 8


REASONS = {
    Fault.NO_TIME: "the time cannot be read",
    Fault.NO_TEMPERATURE: "the temperature is not a number",
    Fault.NO_HUMIDITY: "the humidity is not a number",
    Fault.SKIPPED_HOUR: "no clock showed this hour, which was skipped for summer time",
    Fault.TOO_OLD: "the time lies before 1990",
    Fault.IN_FUTURE: "the time lies in the future",
    Fault.TEMPERATURE: f"the temperature is not from {COLDEST_C:g} to {HOTTEST_C:g} °C",
    Fault.HUMIDITY: f"the humidity is not from 0 to {WETTEST_RH:.0%}",
}
Faults = npt.NDArray[np.int8]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingChunk:
    """Readings in file order, and beside them what was not taken.

    `at_ms` [ms since 1970, UTC], `temp_c` [°C], `rh` a fraction from 0 to 1. `bad` rows cannot
    be read; `aside` ones can, but no shop's air is like that; `clamped` counts humidities just
    above 1 that were set to 1.
    """

    at_ms: list[int]
    temp_c: list[float]
    rh: list[float]
    bad: list[BadRow]
    aside: list[BadRow]
    clamped: int
    bytes_read: int

    @property
    def rows(self) -> int:
        """All rows met, taken or not; blank lines and comments are none."""
        return len(self.at_ms) + len(self.bad) + len(self.aside)


def read_chunks(
    path: Path,
    shape: LoggerShape,
    zone: tzinfo,
    *,
    chunk_rows: int = CHUNK_ROWS,
    now: datetime | None = None,
) -> Iterator[ReadingChunk]:
    """Read a file as its shape says; local times follow the clock of `zone`.

    Without `now` no reading counts as one from the future.
    """
    checked_size(path)
    # A file swapped since it was looked at must still be text.
    detect_encoding(path.name, read_head(path))
    reader = _ChunkReader(Settled.of(shape), zone, now)
    blocks = read_lines(path, shape.encoding, max(1, chunk_rows))
    return (reader.read(block) for block in blocks)


class _ChunkReader:
    """Reads blocks of lines one after the other, with what is remembered between them."""

    def __init__(self, settled: Settled, zone: tzinfo, now: datetime | None) -> None:
        shape = settled.shape
        self._settled = settled
        self._times = TimeReader(
            shape.time_kind, settled.date_order, offset_in_rows=shape.offset_in_rows
        )
        self._clock = ZoneClock(
            settled.zone(zone), interval_ms=shape.interval_ms, newest_first=shape.newest_first
        )
        self._latest_ms = LATEST_MS
        if now is not None:
            self._latest_ms = min(LATEST_MS, int(now.timestamp() * 1000) + MILLISECONDS_PER_DAY)

    def read(self, block: LineBlock) -> ReadingChunk:
        """Read the lines of one block."""
        passed = max(0, self._settled.shape.first_line + 1 - block.first)
        rows = screen(
            LineBlock(block.lines[passed:], block.first + passed, block.bytes_read), self._settled
        )
        wall_ms, temp_c, rh = self._columns(rows)
        at_ms, faults = self._judge(wall_ms, temp_c, rh)
        return self._assemble(rows, block.bytes_read, faults, (at_ms, temp_c, rh))

    def _columns(self, rows: ScreenedRows) -> tuple[Milliseconds, Floats, Floats]:
        """Times on the logger's clock, temperatures and humidities of all rows."""
        *times, temps, humids = rows.columns
        mark = self._settled.shape.decimal_mark
        return (
            self._times.read(times),
            temperatures(temps, mark, self._settled.temp_unit),
            humidities(humids, mark, self._settled.humidity_unit),
        )

    def _judge(
        self, wall_ms: Milliseconds, temp_c: Floats, rh: Floats
    ) -> tuple[Milliseconds, Faults]:
        """Times in UTC, and for each row its first fault."""
        faults = np.zeros(len(wall_ms), np.int8)
        _mark(faults, wall_ms == NO_TIME, Fault.NO_TIME)
        _mark(faults, np.isnan(temp_c), Fault.NO_TEMPERATURE)
        _mark(faults, np.isnan(rh), Fault.NO_HUMIDITY)
        # A day of play at both ends, for the zone is not yet taken off.
        _mark(faults, wall_ms < EARLIEST_MS - MILLISECONDS_PER_DAY, Fault.TOO_OLD)
        _mark(faults, wall_ms > self._latest_ms + MILLISECONDS_PER_DAY, Fault.IN_FUTURE)
        at_ms = np.full(len(wall_ms), NO_TIME, np.int64)
        readable = faults == Fault.NONE
        at_ms[readable] = self._clock.to_utc(wall_ms[readable])
        _mark(faults, at_ms == NO_TIME, Fault.SKIPPED_HOUR)
        _mark(faults, at_ms < EARLIEST_MS, Fault.TOO_OLD)
        _mark(faults, at_ms > self._latest_ms, Fault.IN_FUTURE)
        _mark(faults, (temp_c < COLDEST_C) | (temp_c > HOTTEST_C), Fault.TEMPERATURE)
        _mark(faults, (rh < 0.0) | (rh > WETTEST_RH), Fault.HUMIDITY)
        return at_ms, faults

    def _assemble(
        self,
        rows: ScreenedRows,
        bytes_read: int,
        faults: Faults,
        columns: tuple[Milliseconds, Floats, Floats],
    ) -> ReadingChunk:
        bad, aside = list(rows.bad), list[BadRow]()
        for i in np.flatnonzero(faults).tolist():
            fault = Fault(faults[i])
            row = BadRow.at(rows.lines[i], rows.texts[i], REASONS[fault])
            if not self._is_passed_over(rows.texts[i]):
                (aside if fault >= Fault.TOO_OLD else bad).append(row)
        good = faults == Fault.NONE
        at_ms, temp_c, rh = columns[0][good], columns[1][good], columns[2][good]
        return ReadingChunk(
            at_ms=at_ms.tolist(),
            temp_c=temp_c.tolist(),
            rh=np.minimum(rh, 1.0).tolist(),
            bad=sorted(bad, key=lambda row: row.line),
            aside=aside,
            clamped=int(np.count_nonzero(rh > 1.0)),
            bytes_read=bytes_read,
        )

    def _is_passed_over(self, text: str) -> bool:
        row = split_carefully([text], self._settled.shape.delimiter)[0]
        return is_passed_over(row.cells, self._settled)


def _mark(faults: Faults, where: npt.NDArray[np.bool_], fault: Fault) -> None:
    """Note a fault where there is none yet."""
    faults[where & (faults == Fault.NONE)] = fault
