"""The shop's air: a reading typed by hand, and the log of a room made ready to look at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from uuid import UUID, uuid4

import numpy as np
from numpy.typing import NDArray

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.operations.wording import write_time
from shellcoat.physics import moist_air
from shellcoat.shop import AirReading, Coat, Shell

Floats = NDArray[np.float64]

MOST_POINTS = 2000
"""More points than a screen is wide show nothing more."""

LEAST_DEW_POINT_RH = 0.001
"""Air drier than this has no dew point anybody could measure."""


class ReadingInFutureError(MendableError):
    """A reading that has not been taken yet."""


@dataclass(frozen=True, slots=True)
class DipMark:
    """A dip on the time axis of the air."""

    shell: Shell
    coat: Coat
    number: int


@dataclass(frozen=True, slots=True)
class RoomAirView:
    """A stretch of a room's air: times [s since 1970], °C, and the dips that dried in it.

    Arrays of one length; `rh` fractions. NaN marks a gap in the log.
    """

    at_s: Floats
    temp_c: Floats
    rh: Floats
    dew_point_c: Floats
    wet_bulb_c: Floats
    dips: tuple[DipMark, ...]
    readings: int


def log_reading(
    opened: OpenShop,
    room_id: UUID,
    read_at: datetime,
    temp_c: float,
    rh: float,
    now: datetime,
    note: str = "",
) -> AirReading:
    """Keep a reading typed by hand."""
    if read_at > now + AHEAD_ALLOWED:
        raise ReadingInFutureError(
            f"Time of the reading: {write_time(read_at, opened.zone, now)} has not come yet. "
            "Give the time you looked at the instrument."
        )
    reading = AirReading(
        id=uuid4(), room_id=room_id, read_at=read_at, temp_c=temp_c, rh=rh, note=note
    )
    opened.record(reading, now)
    return reading


def room_air(opened: OpenShop, room_id: UUID, first: datetime, last: datetime) -> RoomAirView:
    """The air of a room between two times, thinned to what a screen can show."""
    columns = opened.book.readings(room_id, first, last)
    at_s, temp_c, rh = _thinned(columns.at_ms / 1000.0, columns.temp_c, columns.rh)
    at_s, temp_c, rh = _with_gaps(at_s, temp_c, rh)
    known = np.isfinite(temp_c)
    dew_point, wet_bulb = np.full_like(temp_c, np.nan), np.full_like(temp_c, np.nan)
    pressure = float(moist_air.pressure_at_altitude(opened.shop.altitude_m))
    damp = known & (np.nan_to_num(rh) >= LEAST_DEW_POINT_RH)
    dew_point[damp] = moist_air.dew_point(temp_c[damp], rh[damp])
    wet_bulb[known] = moist_air.wet_bulb(temp_c[known], rh[known], pressure)
    dips = tuple(_dips(opened, room_id, first, last))
    return RoomAirView(at_s, temp_c, rh, dew_point, wet_bulb, dips, len(columns.at_ms))


def _dips(opened: OpenShop, room_id: UUID, first: datetime, last: datetime) -> list[DipMark]:
    marks = [
        DipMark(opened.ledger.shell(shell_id), coat, number)
        for shell_id, coats in opened.ledger.coats_by_shell.items()
        for number, coat in enumerate(coats, start=1)
        if coat.room_id == room_id and first <= coat.dipped_at <= last
    ]
    return sorted(marks, key=lambda mark: mark.coat.dipped_at)


def _thinned(at_s: Floats, temp_c: Floats, rh: Floats) -> tuple[Floats, Floats, Floats]:
    """Means over runs of neighbours, so that no point is one chance reading; never over a gap.

    The newest reading stands for itself at the end, as it does wherever else it is shown.
    """
    run = -(-at_s.size // MOST_POINTS)
    if run <= 1:
        return at_s, temp_c, rh
    edges = [0, *_after_gaps(at_s).tolist(), at_s.size]
    starts = np.concatenate([np.arange(first, last, run) for first, last in pairwise(edges)])
    lengths = np.diff(np.append(starts, at_s.size))
    columns = (at_s, temp_c, rh)
    means = [np.add.reduceat(column, starts) / lengths for column in columns]
    ends = [np.append(mean, column[-1]) for mean, column in zip(means, columns, strict=True)]
    return ends[0], ends[1], ends[2]


def _after_gaps(at_s: Floats) -> NDArray[np.int64]:
    """The readings that follow a silence of more than 12 h, or of many times the usual step."""
    if at_s.size < 3:
        return np.empty(0, dtype=np.int64)
    steps = np.diff(at_s)
    return np.nonzero(steps > max(12 * 3600.0, 20.0 * float(np.median(steps))))[0] + 1


def _with_gaps(at_s: Floats, temp_c: Floats, rh: Floats) -> tuple[Floats, Floats, Floats]:
    """Put a NaN into every silence, so that no line is drawn through it."""
    after = _after_gaps(at_s)
    return (
        np.insert(at_s, after, at_s[after - 1] + 1.0),
        np.insert(temp_c, after, np.nan),
        np.insert(rh, after, np.nan),
    )
