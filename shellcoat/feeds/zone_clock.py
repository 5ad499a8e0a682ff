"""From the clock on the wall to UTC, over the hours that come twice or not at all."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo

import numpy as np

from shellcoat.feeds.wall_times import MILLISECONDS_PER_DAY, NO_TIME, Milliseconds

EPOCH = datetime(1970, 1, 1, tzinfo=UTC).replace(tzinfo=None)
MILLISECOND = timedelta(milliseconds=1)
MINUTE_MS = 60_000


class ZoneClock:
    """Turns local times to UTC, in file order; remembers the last one from call to call.

    When clocks go back an hour comes twice: the readings of the first pass stand before those
    of the second, so a step back in the file marks the second. When they go forward an hour
    never was: times in it come back as NO_TIME.
    """

    def __init__(self, zone: tzinfo, *, interval_ms: int, newest_first: bool) -> None:
        self._zone = zone
        self._interval_ms = interval_ms
        self._onward = -1 if newest_first else 1
        self._last: int | None = None
        self._steady: dict[int, int | None] = {}
        self._offsets: dict[int, tuple[int, int]] = {}

    def to_utc(self, wall_ms: Milliseconds) -> Milliseconds:
        """UTC of some local times; the days on which the clocks change are read row by row."""
        days, day_of_row = np.unique(wall_ms // MILLISECONDS_PER_DAY, return_inverse=True)
        offsets = [self._steady_offset(day) for day in days.tolist()]
        known = np.array([NO_TIME if off is None else off for off in offsets], np.int64)[day_of_row]
        unsteady = np.flatnonzero(known == NO_TIME)
        utc_ms = wall_ms - np.where(known == NO_TIME, 0, known)
        for row in unsteady.tolist():
            if row and utc_ms[row - 1] != NO_TIME:
                self._last = int(utc_ms[row - 1])
            utc_ms[row] = self._resolved(int(wall_ms[row]), self._last)
        if len(utc_ms) and utc_ms[-1] != NO_TIME:
            self._last = int(utc_ms[-1])
        return utc_ms

    def _steady_offset(self, day: int) -> int | None:
        """The one offset [ms] of a day, or None for a day on which it changes."""
        if day not in self._steady:
            start = day * MILLISECONDS_PER_DAY
            seen = {*self._offsets_at(start), *self._offsets_at(start + MILLISECONDS_PER_DAY)}
            self._steady[day] = seen.pop() if len(seen) == 1 else None
        return self._steady[day]

    def _offsets_at(self, wall_ms: int) -> tuple[int, int]:
        """Offsets [ms] of a local time taken as the first and as the second of its kind."""
        minute = wall_ms // MINUTE_MS
        if minute not in self._offsets:
            local = (EPOCH + timedelta(minutes=minute)).replace(tzinfo=self._zone)
            first, second = (local.replace(fold=fold).utcoffset() for fold in (0, 1))
            self._offsets[minute] = (
                (first or timedelta()) // MILLISECOND,
                (second or timedelta()) // MILLISECOND,
            )
        return self._offsets[minute]

    def _resolved(self, wall_ms: int, last: int | None) -> int:
        first, second = self._offsets_at(wall_ms)
        if first < second:
            return NO_TIME
        if first == second:
            return wall_ms - first
        passes = [wall_ms - first, wall_ms - second][:: self._onward]
        return passes[self._is_second(passes, last)]

    def _is_second(self, passes: list[int], last: int | None) -> bool:
        """Whether the pass that stands second in the file fits better behind the last time.

        Stepping back by more than the usual step says so, and where readings are so far apart
        that none steps back, the pass that lies nearer to the usual step.
        """
        if last is None:
            return False
        ahead, far_ahead = ((moment - last) * self._onward for moment in passes)
        if ahead < -self._interval_ms:
            return True
        return abs(far_ahead - self._interval_ms) < abs(ahead - self._interval_ms)
