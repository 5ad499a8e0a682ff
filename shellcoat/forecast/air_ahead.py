"""The air still to come: the usual day's pattern plus today's departure, which fades.

Temperature and vapour density are forecast, not relative humidity, since it is the vapour that
persists while temperature swings with the day. The memory of the departure and the floor of the
spread are starting values; the shop's own log sets pattern and spread.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcoat.physics import moist_air

Floats = NDArray[np.float64]

DAY_S = 86400.0
LOOK_BACK_S = 7 * DAY_S
"""How much of the log makes the usual day: a week holds each weekday once."""

HOURS = 24


@dataclass(frozen=True, slots=True)
class AheadValues:
    """Starting values of the air forecast; each stands with its source in the material table.

    `memory_s` [s] time in which a departure fades to 1/e, `floor_spread` and `assumed_spread`
    standard deviations as shares of the vapour density, `assumed_temp_c` [°C] and `assumed_rh`
    the air taken where there is no reading at all.
    """

    memory_s: float
    floor_spread: float
    assumed_spread: float
    assumed_temp_c: float
    assumed_rh: float


def expect_air(
    at_s: Floats, temp_c: Floats, rh: Floats, when_s: Floats, values: AheadValues
) -> tuple[Floats, Floats, Floats]:
    """Expected temperature [°C], vapour density [kg/m3] and its standard deviation at `when_s`.

    `at_s` are the times of the readings [s], sorted and not empty; `when_s` later times [s].
    """
    recent = at_s >= at_s[-1] - LOOK_BACK_S
    times, temps = at_s[recent], temp_c[recent]
    vapours = np.asarray(moist_air.vapour_density(temps, rh[recent]))
    fade = np.exp(-(when_s - times[-1]) / values.memory_s)
    temp, _ = _pattern_and_departure(times, temps, when_s, fade)
    vapour, scatter = _pattern_and_departure(times, vapours, when_s, fade)
    scatter = max(scatter, values.floor_spread * float(vapours.mean()))
    return temp, vapour, scatter * np.sqrt(1.0 - fade * fade)


def _pattern_and_departure(
    times: Floats, values: Floats, when_s: Floats, fade: Floats
) -> tuple[Floats, float]:
    """Expected values at `when_s`, and the scatter of the log about its usual day."""
    pattern = usual_day(times, values)
    residual = values - read_day(pattern, times)
    last_hour = times >= times[-1] - 3600.0
    departure = float(residual[last_hour].mean())
    return read_day(pattern, when_s) + departure * fade, float(residual.std())


def usual_day(times: Floats, values: Floats) -> Floats:
    """Mean value for each hour of the UTC day; the overall mean where the log is too short."""
    if times[-1] - times[0] < DAY_S:
        return np.full(HOURS, values.mean())
    hour = np.floor(times % DAY_S / 3600.0).astype(np.int64)
    number = np.bincount(hour, minlength=HOURS)
    total = np.bincount(hour, weights=values, minlength=HOURS)
    known = number > 0
    centres = np.arange(HOURS)
    means = total[known] / number[known]
    return np.interp(centres, centres[known], means, period=HOURS)


def read_day(pattern: Floats, times: Floats) -> Floats:
    """Read a day's pattern at any times, between the middles of its hours."""
    hours = times % DAY_S / 3600.0 - 0.5
    return np.interp(hours, np.arange(HOURS), pattern, period=HOURS)
