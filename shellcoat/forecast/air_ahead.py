"""The air still to come: the usual day plus today's departure, as the room's own log supports.

Temperature and the logarithm of the vapour density are forecast, not relative humidity, since it
is the vapour that persists while temperature swings with the day. `air_habits` learns each by
itself; `air_errors` tells from what the same forecasts of past hours missed by how far to trust
them. A short log leans on the starting values: the air stays nearly as it is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_errors import AirErrors
from shellcoat.forecast.air_habits import LEADS_H, Habit, HabitPrior, learn_habit
from shellcoat.forecast.air_hours import HOUR_S, AirHours

Floats = NDArray[np.float64]

DAY_S = 86400.0
LOOK_BACK_S = 14 * DAY_S
"""How much of the log tells the habits: two weeks hold each weekday twice."""

LEADS_S = HOUR_S * np.array(LEADS_H, dtype=float)


@dataclass(frozen=True, slots=True, kw_only=True)
class AheadValues:
    """Starting values of the air not measured; each stands with its source in the material table.

    `memory_s` [s] time in which a departure fades to 1/e; `temp_share` and `vapour_share` [-] how
    much of the usual day is believed; `temp_spread_k` [K] and `assumed_spread` (a share of the
    vapour density) standard deviations long after the last reading, `floor_spread` the least such
    share; `assumed_temp_c` [°C] and `assumed_rh` the air taken where there is no reading at all.
    """

    memory_s: float
    temp_share: float
    vapour_share: float
    temp_spread_k: float
    floor_spread: float
    assumed_spread: float
    assumed_temp_c: float
    assumed_rh: float

    def grown(self, lead_s: Floats) -> Floats:
        """Share of the full variance reached so long after a reading: that of a fading memory."""
        share: Floats = -np.expm1(-2.0 * lead_s / self.memory_s)
        return share

    def errors(self, share: Floats, temp_c: Floats) -> AirErrors:
        """Errors before the log says better, where they have grown to this share."""
        return AirErrors.loose(
            self.temp_spread_k**2 * share, self.assumed_spread**2 * share, temp_c
        )


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

    `temp_now_c` [°C] and `vapour_now` [kg/m3] are the air at that time; `errors` stand for each
    of `LEADS_H`.
    """

    last_s: float
    temp_now_c: float
    vapour_now: float
    temp: Habit
    vapour: Habit
    errors: AirErrors
    values: AheadValues

    @classmethod
    def of(cls, at_s: Floats, temp_c: Floats, rh: Floats, values: AheadValues) -> AirHabits:
        """Learn from readings sorted by time, at least one."""
        recent = slice(int(np.searchsorted(at_s, at_s[-1] - LOOK_BACK_S)), None)
        hours = AirHours.of(at_s[recent], temp_c[recent], rh[recent])
        memory_h = values.memory_s / HOUR_S
        temp, vapour = (
            learn_habit(column, hours, HabitPrior(share, memory_h))
            for column, share in (
                (hours.temp_k, values.temp_share),
                (hours.log_vapour, values.vapour_share),
            )
        )
        start = values.errors(values.grown(LEADS_S), np.array(hours.temp_now_c))
        return cls(
            last_s=float(at_s[-1]),
            temp_now_c=hours.temp_now_c,
            vapour_now=hours.vapour_now,
            temp=temp,
            vapour=vapour,
            errors=start.learned(temp, vapour),
            values=values,
        )

    def expected(self, when_s: Floats) -> ExpectedAir:
        """The air expected at times [s] not before the last reading."""
        lead_s = when_s - self.last_s
        temp = self.temp_now_c + self.temp.change(lead_s / HOUR_S)
        vapour = self.vapour_now * np.exp(self.vapour.change(lead_s / HOUR_S))
        errors = self._errors_at(lead_s)
        return ExpectedAir(
            temp_c=temp,
            vapour=vapour,
            temp_spread_k=np.sqrt(errors.temp),
            vapour_spread=vapour * np.sqrt(errors.vapour),
            drive_spread=errors.drive_spread(temp, vapour),
        )

    def _errors_at(self, lead_s: Floats) -> AirErrors:
        """Errors at any lead: none at the last reading, and no lead surer than a shorter one."""
        floor = self.values.floor_spread**2 * self.values.grown(LEADS_S)
        return AirErrors(
            self._at(lead_s, np.maximum.accumulate(self.errors.temp)),
            self._at(lead_s, np.maximum.accumulate(np.maximum(self.errors.vapour, floor))),
            self._at(lead_s, self.errors.shared),
        )

    def _at(self, lead_s: Floats, table: Floats) -> Floats:
        """Read between the leads; past the last errors grow as they do at the start."""
        grown = self.values.grown
        further = grown(np.maximum(lead_s, LEADS_S[-1])) / grown(LEADS_S[-1])
        value: Floats = further * np.interp(lead_s, np.append(0.0, LEADS_S), np.append(0.0, table))
        return value


def expect_air(
    at_s: Floats, temp_c: Floats, rh: Floats, when_s: Floats, values: AheadValues
) -> ExpectedAir:
    """The air expected at `when_s` [s] from readings before: sorted by time, at least one."""
    return AirHabits.of(at_s, temp_c, rh, values).expected(when_s)
