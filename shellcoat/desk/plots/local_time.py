"""Ticks of a time axis that follow the shop's wall clock, also over a clock change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from typing import cast
from zoneinfo import ZoneInfo

import numpy as np
from matplotlib.axes import Axes
from matplotlib.dates import date2num
from matplotlib.ticker import Formatter, Locator
from numpy.typing import NDArray

from shellcoat.desk.moments import weekday_word, write_date, write_offset
from shellcoat.desk.plots.dress import TEXT_PT

_MINUTE_STEPS = (5, 10, 15, 30, 60, 120, 180, 360, 720)
_DAY_STEPS = (1, 2, 7, 14, 28, 56, 112, 364)
_DAY_MIN = 1440
_MOST_TICKS = 60
_LABEL_EM = 5.2
"""Width of a tick's label and the gap to the next, in text heights: "00:00" or "9 Feb"."""


# Places on a time axis are days since matplotlib's epoch. Its own conversions take a tenth of a
# millisecond a time, and an axis asks for hundreds while it is laid out.
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_EPOCH_DAY = float(date2num(_EPOCH))  # type: ignore[no-untyped-call]
_DAY = timedelta(days=1)


def day_number(at: datetime) -> float:
    """Return the moment as a place on a time axis [d]."""
    return _EPOCH_DAY + (at - _EPOCH) / _DAY


def day_numbers(at: Sequence[datetime]) -> NDArray[np.float64]:
    """Return moments as places on a time axis [d]."""
    return np.fromiter((day_number(moment) for moment in at), np.float64, len(at))


def _moment(day: float) -> datetime:
    # To the millisecond, as the day's fraction is a float.
    return _EPOCH + timedelta(seconds=round((day - _EPOCH_DAY) * 86400.0, 3))


def place_ticks(first: datetime, last: datetime, zone: ZoneInfo, most: int) -> list[datetime]:
    """Choose at most about `most` round moments of the wall clock from `first` to `last`."""
    span_min = (last - first).total_seconds() / 60.0
    for step in _MINUTE_STEPS:
        if span_min / step <= most:
            return _between(_clock_ticks(first, last, zone, step), first, last)
    for days in _DAY_STEPS:
        if span_min / (days * _DAY_MIN) <= most:
            break
    return _between(_day_ticks(first, last, zone, days), first, last)


def _between(moments: Iterator[datetime], first: datetime, last: datetime) -> list[datetime]:
    return sorted({moment for moment in moments if first <= moment <= last})


def _days(first: datetime, last: datetime, zone: ZoneInfo) -> Iterator[datetime]:
    """Yield each local midnight, without its zone, from the day of `first` to that of `last`."""
    day = first.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None)
    end = last.astimezone(zone).replace(tzinfo=None)
    while day <= end:
        yield day
        day += timedelta(days=1)


def _day_ticks(
    first: datetime, last: datetime, zone: ZoneInfo, step_days: int
) -> Iterator[datetime]:
    for day in _days(first, last, zone):
        # Day 1 of the proleptic calendar is a Monday, so whole weeks start on one.
        if (day.toordinal() - 1) % step_days == 0:
            yield day.replace(tzinfo=zone).astimezone(UTC)


def _clock_ticks(
    first: datetime, last: datetime, zone: ZoneInfo, step_min: int
) -> Iterator[datetime]:
    for day in _days(first, last, zone):
        for minute in range(0, _DAY_MIN, step_min):
            local = day + timedelta(minutes=minute)
            # An hour that comes twice gets both its ticks only where hours have room for them.
            for fold in (0, 1) if step_min <= 60 else (0,):
                moment = local.replace(tzinfo=zone, fold=fold).astimezone(UTC)
                # A time the spring change leaves out comes back as another one.
                if moment.astimezone(zone).replace(tzinfo=None, fold=0) == local:
                    yield moment


class LocalTimeLocator(Locator):
    """Places ticks on round wall-clock times, as many as their labels have room for."""

    def __init__(self, zone: ZoneInfo) -> None:
        self.zone = zone
        self._asked: tuple[float, float, int] | None = None
        self._ticks: list[float] = []

    def __call__(self) -> list[float]:
        """Return the ticks of the axis as it stands; the last answer is kept."""
        if self.axis is None:
            return []
        low, high = self.axis.get_view_interval()
        asked = (float(low), float(high), self._room())
        if asked != self._asked:
            self._asked, self._ticks = asked, self.tick_values(low, high)
        return self._ticks

    def tick_values(self, vmin: float, vmax: float) -> list[float]:
        """Return the ticks between two date numbers."""
        if not vmin < vmax:
            return []
        first, last = _moment(vmin), _moment(vmax)
        moments = place_ticks(first, last, self.zone, self._room())
        return [day_number(moment) for moment in moments]

    def _room(self) -> int:
        axes = cast("Axes | None", getattr(self.axis, "axes", None))
        if axes is None:
            return 8
        em_px = TEXT_PT * axes.figure.dpi / 72.0
        return min(max(int(axes.bbox.width / (_LABEL_EM * em_px)), 2), _MOST_TICKS)


class LocalTimeFormatter(Formatter):
    """Writes the time of day, and the day under the first tick of each."""

    def __init__(self, zone: ZoneInfo) -> None:
        self.zone = zone

    def __call__(self, x: float, pos: int | None = None) -> str:  # noqa: ARG002 - matplotlib's
        """Write one tick by itself."""
        local = _moment(x).astimezone(self.zone)
        return f"{local:%H:%M}\n{weekday_word(local)} {write_date(local)}"

    def format_ticks(self, values: Sequence[float]) -> list[str]:
        """Write all ticks of the axis together."""
        locals_ = [_moment(value).astimezone(self.zone) for value in values]
        if all((local.hour, local.minute) == (0, 0) for local in locals_) and len(locals_) > 1:
            return [f"{weekday_word(local)}\n{write_date(local)}" for local in locals_]
        return [
            f"{local:%H:%M}\n{self._under(locals_, index)}".rstrip()
            for index, local in enumerate(locals_)
        ]

    @staticmethod
    def _under(locals_: list[datetime], index: int) -> str:
        """Return what stands under a tick: its day, or its offset in an hour that comes twice."""
        local = locals_[index]
        if index == 0:
            # The first tick says its day unless the next day's name would run into it.
            shown = all(other.date() == local.date() for other in locals_[1:3])
        else:
            shown = local.date() != locals_[index - 1].date()
        return f"{weekday_word(local)} {write_date(local)}" if shown else write_offset(local)


def dress_time_axis(axes: Axes, zone: ZoneInfo) -> None:
    """Give the horizontal axis the shop's clock."""
    axes.xaxis.set_major_locator(LocalTimeLocator(zone))
    axes.xaxis.set_major_formatter(LocalTimeFormatter(zone))
