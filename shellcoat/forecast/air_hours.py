"""A room's log by hours, counted back from its last reading: what the habits are learned from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcoat.physics import moist_air

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

HOUR_S = 3600.0

NIGHT_H = 16
"""A gap up to this long [h] is bridged: from the last look in the evening to the first one."""

NOW_S = 600.0
"""The readings of the last ten minutes [s] make the present air; one alone may be a whim."""

LEAST_RH = 0.005
"""Humidity below which the logarithm of the vapour says nothing; no sensor reads so low."""


@dataclass(frozen=True, slots=True)
class AirHours:
    """Hourly means of a log, oldest first; the last hour ends with the last reading.

    `temp_c` [°C], `log_vapour` natural logarithm of the vapour density [kg/m3]. Hours without a
    reading are filled on a straight line. `read` tells hours with a reading, `known` also those
    in a short gap. `temp_now_c` and `log_vapour_now` are the air at the last reading.
    """

    temp_c: Floats
    log_vapour: Floats
    read: Flags
    known: Flags
    temp_now_c: float
    log_vapour_now: float

    @classmethod
    def of(cls, at_s: Floats, temp_c: Floats, rh: Floats) -> AirHours:
        """Bin readings sorted by time, at least one."""
        back = np.floor((at_s[-1] - at_s) / HOUR_S).astype(np.int64)
        hour = back[0] - back
        number = np.bincount(hour)
        read = number > 0
        temp, humidity = (_means(hour, column, number, read) for column in (temp_c, rh))
        last = slice(int(np.searchsorted(at_s, at_s[-1] - NOW_S, side="right")), None)
        temp_now = float(temp_c[last].mean())
        return cls(
            temp_c=temp,
            log_vapour=_log_vapour(temp, humidity),
            read=read,
            known=_known(read),
            temp_now_c=temp_now,
            log_vapour_now=float(_log_vapour(np.array(temp_now), rh[last].mean())),
        )


def _means(
    hour: NDArray[np.int64], column: Floats, number: NDArray[np.int64], read: Flags
) -> Floats:
    """Mean of each hour, on a straight line where there was no reading."""
    total = np.bincount(hour, weights=column)
    places = np.arange(number.size)
    return np.interp(places, places[read], total[read] / number[read])


def _known(read: Flags) -> Flags:
    """Hours with a reading, or between two readings that are no longer apart than a night."""
    places = np.nonzero(read)[0]
    after = np.minimum(np.searchsorted(places, np.arange(read.size)), places.size - 1)
    before = np.maximum(after - 1, 0)
    known: Flags = read | (places[after] - places[before] <= NIGHT_H)
    return known


def _log_vapour(temp_c: Floats, rh: Floats | float) -> Floats:
    return np.log(np.asarray(moist_air.vapour_density(temp_c, np.maximum(rh, LEAST_RH))))
