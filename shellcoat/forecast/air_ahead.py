"""The air still to come: the usual day plus today's departure, as the room's own log supports.

Temperature and the logarithm of the vapour density are forecast, not relative humidity, since it
is the vapour that persists while temperature swings with the day. `air_habits` learns each by
itself; here they are put together with their spread, which is what the same forecasts of past
hours missed by. A short log leans on the starting values: the air stays nearly as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import starmap

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_habits import LEADS_H, Habit, HabitPrior, learn_habit
from shellcoat.forecast.air_hours import HOUR_S, AirHours
from shellcoat.physics import moist_air, transport
from shellcoat.physics.constants import VAPOUR_GAS_CONSTANT_J_KGK, ZERO_CELSIUS_K

Floats = NDArray[np.float64]

DAY_S = 86400.0
LOOK_BACK_S = 14 * DAY_S
"""How much of the log tells the habits: two weeks hold each weekday twice."""

PRIOR_DAYS = 2.0
"""The starting spread counts as much as this many days of the log's own errors."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AheadValues:
    """Starting values of the air not measured; each stands with its source in the material table.

    `memory_s` [s] time in which a departure fades to 1/e; `temp_share` and `vapour_share` [-] how
    much of the usual day is believed; `temp_spread_k` [K] and `assumed_spread` (a share of the
    vapour density) standard deviations long after the last reading, `floor_spread` the least such
    share; `assumed_temp_c` [°C], `assumed_rh` and `assumed_temp_spread_k` [K] the air taken where
    there is no reading at all.
    """

    memory_s: float
    temp_share: float
    vapour_share: float
    temp_spread_k: float
    floor_spread: float
    assumed_spread: float
    assumed_temp_c: float
    assumed_temp_spread_k: float
    assumed_rh: float

    def grown(self, lead_s: Floats) -> Floats:
        """Share of the full variance reached so long after a reading: that of a fading memory."""
        share: Floats = -np.expm1(-2.0 * lead_s / self.memory_s)
        return share


@dataclass(frozen=True, slots=True)
class ExpectedAir:
    """Air expected at several times: `temp_c` [°C] and `vapour` [kg/m3], with their spread.

    `temp_spread_k` [K], `vapour_spread` [kg/m3] and `drive_spread` [kg/m3] are standard
    deviations; the last is that of saturation less vapour, in which both meet.
    """

    temp_c: Floats
    vapour: Floats
    temp_spread_k: Floats
    vapour_spread: Floats
    drive_spread: Floats


@dataclass(frozen=True, slots=True)
class AirHabits:
    """What a log has taught about its room up to its last reading at `last_s` [s].

    `temp_error`, `vapour_error` and `shared_error` are variances and covariance of the errors of
    temperature [K] and of ln vapour density, at no lead and at each of `LEADS_H`.
    """

    last_s: float
    temp: Habit
    vapour: Habit
    temp_error: Floats
    vapour_error: Floats
    shared_error: Floats
    values: AheadValues

    @classmethod
    def of(cls, at_s: Floats, temp_c: Floats, rh: Floats, values: AheadValues) -> AirHabits:
        """Learn from readings sorted by time, at least one."""
        recent = slice(int(np.searchsorted(at_s, at_s[-1] - LOOK_BACK_S)), None)
        hours = AirHours.of(at_s[recent], temp_c[recent], rh[recent])
        memory_h = values.memory_s / HOUR_S
        temp, vapour = (
            learn_habit(column, hours.read, hours.known, now, HabitPrior(share, memory_h))
            for column, now, share in (
                (hours.temp_c, hours.temp_now_c, values.temp_share),
                (hours.log_vapour, hours.log_vapour_now, values.vapour_share),
            )
        )
        start = values.grown(HOUR_S * np.array(LEADS_H, dtype=float))
        least = values.floor_spread**2 * start
        return cls(
            last_s=float(at_s[-1]),
            temp=temp,
            vapour=vapour,
            temp_error=_growing(_pooled(temp, temp, values.temp_spread_k**2 * start)),
            vapour_error=_growing(
                np.maximum(_pooled(vapour, vapour, values.assumed_spread**2 * start), least)
            ),
            shared_error=np.append(0.0, _pooled(temp, vapour, np.zeros(start.size))),
            values=values,
        )

    def expected(self, when_s: Floats) -> ExpectedAir:
        """The air expected at times [s] not before the last reading."""
        lead_h = (when_s - self.last_s) / HOUR_S
        temp = self.temp.expected(lead_h)
        vapour = np.exp(self.vapour.expected(lead_h))
        temp_var, vapour_var, shared = (
            self._at(lead_h, table)
            for table in (self.temp_error, self.vapour_error, self.shared_error)
        )
        return ExpectedAir(
            temp_c=temp,
            vapour=vapour,
            temp_spread_k=np.sqrt(temp_var),
            vapour_spread=vapour * np.sqrt(vapour_var),
            drive_spread=drive_spread(temp, vapour, temp_var, vapour_var, shared),
        )

    def _at(self, lead_h: Floats, table: Floats) -> Floats:
        """Read a table of errors between its leads; past the last it grows like the start's."""
        leads = np.append(0.0, LEADS_H)
        last_s = HOUR_S * np.maximum(lead_h, leads[-1])
        further = self.values.grown(last_s) / self.values.grown(np.array(HOUR_S * leads[-1]))
        value: Floats = np.interp(lead_h, leads, table) * further
        return value


def expect_air(
    at_s: Floats, temp_c: Floats, rh: Floats, when_s: Floats, values: AheadValues
) -> ExpectedAir:
    """The air expected at `when_s` [s] from readings before: sorted by time, at least one."""
    return AirHabits.of(at_s, temp_c, rh, values).expected(when_s)


def drive_spread(
    temp_c: Floats,
    vapour: Floats,
    temp_var: Floats | float,
    vapour_var: Floats | float,
    shared: Floats | float = 0.0,
) -> Floats:
    """Standard deviation [kg/m3] of saturation less vapour density.

    From the variances of temperature [K2] and of ln vapour density and their covariance. Air that
    came out warmer takes up more, by the slope of saturation (Clausius and Clapeyron, ideal gas).
    """
    full = np.asarray(moist_air.saturation_density(temp_c))
    kelvin = temp_c + ZERO_CELSIUS_K
    latent = np.asarray(transport.latent_heat(temp_c))
    slope = full * (latent / (VAPOUR_GAS_CONSTANT_J_KGK * kelvin) - 1.0) / kelvin
    variance = slope**2 * temp_var + vapour**2 * vapour_var - 2.0 * slope * vapour * shared
    return np.sqrt(np.maximum(variance, 0.0))


def _pooled(one: Habit, other: Habit, start: Floats) -> Floats:
    """Mean product of two quantities' errors at each lead, the starting one taken in."""
    days = np.array(one.days, dtype=float)
    seen = np.array(list(starmap(_mean_product, zip(one.errors, other.errors, strict=True))))
    mean: Floats = (days * seen + PRIOR_DAYS * start) / (days + PRIOR_DAYS)
    return mean


def _mean_product(one: Floats, other: Floats) -> float:
    return float((one * other).mean()) if one.size else 0.0


def _growing(variance: Floats) -> Floats:
    """No lead is surer than a shorter one, and the last reading itself is sure."""
    return np.append(0.0, np.maximum.accumulate(variance))
