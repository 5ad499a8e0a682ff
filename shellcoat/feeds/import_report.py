"""What an import did, counted as it goes and said in plain sentences at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import numpy as np

from shellcoat.feeds.reading_chunks import ReadingChunk
from shellcoat.feeds.screening import BadRow
from shellcoat.feeds.wall_times import Milliseconds

MOST_KEPT = 1000
# A hole is worth telling when more than this many usual steps are missing, and some minutes.
# Common practice.
GAP_STEPS = 3
SHORTEST_GAP_MS = 600_000
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class ImportProgress:
    """How far an import has come."""

    bytes_read: int
    bytes_total: int
    rows: int
    imported: int

    @property
    def fraction(self) -> float:
        """The part of the file behind us, from 0 to 1."""
        return min(1.0, self.bytes_read / self.bytes_total) if self.bytes_total else 1.0


@dataclass(frozen=True, slots=True)
class Gap:
    """A span in which the logger gave no readings."""

    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What came of an import.

    `bad`, `aside` and `gaps` hold the first of their kind; the counts hold all. `first_at` and
    `last_at` span the readings understood, those already in the book included.
    """

    source_name: str
    rows: int
    imported: int
    duplicates: int
    bad: tuple[BadRow, ...]
    bad_count: int
    aside: tuple[BadRow, ...]
    aside_count: int
    clamped: int
    first_at: datetime | None
    last_at: datetime | None
    gaps: tuple[Gap, ...]
    gap_count: int
    stopped: bool

    def summary(self) -> list[str]:
        """Say what came in, what did not and why."""
        told = [
            ("Passed over, for the book has a reading of that time", self.duplicates, ""),
            ("Left out, for they cannot be read", self.bad_count, _first_of(self.bad)),
            ("Set aside, for they cannot be true", self.aside_count, _first_of(self.aside)),
            ("Taken as 100 %, for they were a little above", self.clamped, ""),
        ]
        return [
            f"{self.source_name}: {self.rows:,} rows read, {self.imported:,} readings taken in.",
            *(f"{what}: {count:,}{first}." for what, count, first in told if count),
            *self._span_words(),
            *self._stop_words(),
        ]

    def _span_words(self) -> list[str]:
        if self.first_at is None or self.last_at is None:
            return ["No reading was understood."]
        words = [
            f"The readings run from {self.first_at:%Y-%m-%d %H:%M} to "
            f"{self.last_at:%Y-%m-%d %H:%M} UTC."
        ]
        if self.gaps:
            longest = max(self.gaps, key=lambda gap: gap.end - gap.start)
            words.append(
                f"Gaps in them: {self.gap_count:,}, the longest from "
                f"{longest.start:%Y-%m-%d %H:%M} to {longest.end:%Y-%m-%d %H:%M} UTC."
            )
        return words

    def _stop_words(self) -> list[str]:
        if not self.stopped:
            return []
        return [
            "The import was stopped. What came in stays; import the file again to go on from there."
        ]


def _first_of(rows: Sequence[BadRow]) -> str:
    return f" (first on line {rows[0].line}: {rows[0].reason})" if rows else ""


@dataclass(slots=True)
class ImportTally:
    """The counts of an import in the making; `interval_ms` [ms] is the file's usual step."""

    source_name: str
    interval_ms: int
    rows: int = 0
    imported: int = 0
    duplicates: int = 0
    clamped: int = 0
    bad: list[BadRow] = field(default_factory=list)
    bad_count: int = 0
    aside: list[BadRow] = field(default_factory=list)
    aside_count: int = 0
    gaps: list[Gap] = field(default_factory=list)
    gap_count: int = 0
    span_ms: tuple[int, int] | None = None
    _chunk_ms: tuple[int, int] | None = None

    def add_chunk(self, chunk: ReadingChunk, imported: int) -> None:
        """Count a chunk, `imported` readings of which came in."""
        self.rows += chunk.rows
        self.imported += imported
        self.duplicates += len(chunk.at_ms) - imported
        self.clamped += chunk.clamped
        self.bad_count += len(chunk.bad)
        self.bad += chunk.bad[: MOST_KEPT - len(self.bad)]
        self.aside_count += len(chunk.aside)
        self.aside += chunk.aside[: MOST_KEPT - len(self.aside)]

    def add_times(self, rising_ms: Milliseconds) -> None:
        """Stretch the span over the times of a chunk, and note the holes in and before it."""
        if not len(rising_ms):
            return
        longest = max(GAP_STEPS * self.interval_ms, SHORTEST_GAP_MS)
        for at in np.flatnonzero(np.diff(rising_ms) > longest).tolist():
            self._add_gap(int(rising_ms[at]), int(rising_ms[at + 1]))
        first, last = int(rising_ms[0]), int(rising_ms[-1])
        before_first, before_last = self._chunk_ms or (first, last)
        if first - before_last > longest:
            self._add_gap(before_last, first)
        if before_first - last > longest:
            self._add_gap(last, before_first)
        self._chunk_ms = first, last
        lowest, highest = self.span_ms or (first, last)
        self.span_ms = min(lowest, first), max(highest, last)

    def _add_gap(self, start_ms: int, end_ms: int) -> None:
        self.gap_count += 1
        if len(self.gaps) < MOST_KEPT:
            self.gaps.append(Gap(as_moment(start_ms), as_moment(end_ms)))

    def report(self, *, stopped: bool) -> ImportReport:
        """The report on what has been counted."""
        first_ms, last_ms = self.span_ms or (None, None)
        return ImportReport(
            source_name=self.source_name,
            rows=self.rows,
            imported=self.imported,
            duplicates=self.duplicates,
            bad=tuple(self.bad),
            bad_count=self.bad_count,
            aside=tuple(self.aside),
            aside_count=self.aside_count,
            clamped=self.clamped,
            first_at=None if first_ms is None else as_moment(first_ms),
            last_at=None if last_ms is None else as_moment(last_ms),
            gaps=tuple(self.gaps),
            gap_count=self.gap_count,
            stopped=stopped,
        )


def as_moment(at_ms: int) -> datetime:
    """The time in UTC of milliseconds since 1970."""
    return EPOCH + timedelta(milliseconds=at_ms)
