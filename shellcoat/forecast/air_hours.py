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
"""A gap up to this long [h] is bridged, from memory: the last look of a day to the next day's."""

NOW_S = 600.0
"""The readings of the last ten minutes [s] make the present air; one alone may be a whim."""

LEAST_RH = 0.005
"""Humidity below which the logarithm of the vapour says nothing; no sensor reads so low."""


@dataclass(frozen=True, slots=True)
class AirHours:
    """Hourly means of a log, oldest first, as departures from the air at the last reading.

    The last hour ends with the last reading. `temp_k` [K], `log_vapour` natural logarithm of the
    vapour density over the present one [-]. Hours without a reading are filled on a straight
    line; `read` tells hours with a reading, `known` also those in a short gap, `middle_h` [h] how
    far into their hour readings lie on average. `temp_now_c` [°C] and `vapour_now` [kg/m3] are
    the present air.
    """

    temp_k: Floats
    log_vapour: Floats
    read: Flags
    known: Flags
    middle_h: float
    temp_now_c: float
    vapour_now: float

    @classmethod
    def of(cls, at_s: Floats, temp_c: Floats, rh: Floats) -> AirHours:
        """Bin readings sorted by time, at least one."""
        back_h = (at_s[-1] - at_s) / HOUR_S
        back = np.floor(back_h).astype(np.int64)
        hour = back[0] - back
        number = np.bincount(hour)
        read = number > 0
        temp, humidity = (_means(hour, column, number, read) for column in (temp_c, rh))
        last = slice(int(np.searchsorted(at_s, at_s[-1] - NOW_S, side="right")), None)
        temp_now, rh_now = np.mean(temp_c[last], keepdims=True), np.mean(rh[last], keepdims=True)
        vapour_now = _vapour(temp_now, rh_now)
        return cls(
            temp_k=temp - temp_now,
            log_vapour=np.log(_vapour(temp, humidity) / vapour_now),
            read=read,
            known=_known(read),
            middle_h=float(1.0 - np.mean(back_h - back)),
            temp_now_c=float(temp_now[0]),
            vapour_now=float(vapour_now[0]),
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


def _vapour(temp_c: Floats, rh: Floats) -> Floats:
    return np.asarray(moist_air.vapour_density(temp_c, np.maximum(rh, LEAST_RH)))
