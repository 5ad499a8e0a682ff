"""What a room's air is in the habit of, learned from its own hours.

One quantity at a time, counted from its present value. The change so many hours ahead is

    level + share * day(then) - (level + share * day(now)) * exp(-lead / memory)

with the mean of the last 24 hours as level and the mean departure of each hour from it as the
usual day. How much of the usual day to believe (the share) and how long a departure lasts (the
memory) are weighed on a small grid by how well they would have forecast the log so far: at every
past hour from the hours before it alone. What that leaves over is the spread.

Notes
-----
The ingredients are common practice in forecasting: a seasonal mean, an autoregressive departure
and errors by rolling origin (R. J. Hyndman and G. Athanasopoulos, "Forecasting: Principles and
Practice", 3rd ed., Melbourne 2021, sections 5.10 and 10.2; cited from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_hours import AirHours

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

DAY_H = 24
LEADS_H = (1, 3, 6, 12, 24, 48)
"""Leads [h] at which the errors of the past are counted."""

WEIGHED_H = (3, 6, 12, 24)
"""Leads [h] that choose share and memory: those of coats."""

SHARES = np.linspace(0.0, 1.2, 7)
MEMORIES_H = np.array([6.0, 12.0, 24.0, 48.0, 96.0, 192.0])
"""The grid on which they are weighed: from no usual day to all of it, from a morning to a week."""

SHARE_SPREAD, MEMORY_SPREAD = 0.3, 0.8
"""How loosely the starting values hold, from memory: standard deviations of share and ln memory."""

LEAST_ERROR = 0.02
"""No forecast leaves less than this share of the change's variance unexplained; from memory."""

NO_CHANGE = 1e-3
"""A change below this [K, or share of the vapour] is none; from memory: sensors resolve less."""


@dataclass(frozen=True, slots=True)
class HabitPrior:
    """What is believed before the log says anything: `share` [-] and `memory_h` [h]."""

    share: float
    memory_h: float


@dataclass(frozen=True, slots=True)
class Habit:
    """The habits of one quantity; see the module's formula.

    `day` [24] departures of the hours after the last reading, each at `middle_h` [h] into its
    hour; `low` and `high` the range the log has seen; `errors` for each of `LEADS_H` what the
    forecasts of past hours missed by, in equal order for the quantities of one log, and `days`
    on how many days.
    """

    level: float
    day: Floats
    middle_h: float
    share: float
    memory_h: float
    low: float
    high: float
    errors: tuple[Floats, ...]
    days: tuple[int, ...]

    def change(self, lead_h: Floats) -> Floats:
        """Expected change so many hours after the last reading, within what the log has seen."""
        start = self.level + self.share * self._of_day(np.zeros(1))
        value = self.level + self.share * self._of_day(lead_h)
        return np.clip(value - start * np.exp(-lead_h / self.memory_h), self.low, self.high)

    def _of_day(self, lead_h: Floats) -> Floats:
        """Read the usual day between its hours."""
        return np.interp(lead_h - self.middle_h, np.arange(DAY_H), self.day, period=DAY_H)


def learn_habit(values: Floats, hours: AirHours, prior: HabitPrior) -> Habit:
    """Learn from one of the columns of `hours`."""
    past = _Past.of(values, hours.read, hours.known)
    looks = [past.look(lead) for lead in LEADS_H]
    share, memory = _weigh(looks, prior)
    return Habit(
        # As far as the last day is not known, the air is taken to stay.
        level=float(past.trust[-1] * past.mean[-1]),
        day=past.day[-DAY_H:],
        middle_h=hours.middle_h,
        share=share,
        memory_h=memory,
        low=float(np.min(values[hours.read], initial=0.0)),
        high=float(np.max(values[hours.read], initial=0.0)),
        errors=tuple(look.errors(share, memory) for look in looks),
        days=tuple(look.days for look in looks),
    )


@dataclass(frozen=True, slots=True)
class _Look:
    """Forecasts from past hours with one lead, in the parts that share and memory act on.

    `change` that came, `shape` the usual day's change, `pull` level less present value, `stand`
    the usual day's departure at the time, `days` on how many days.
    """

    lead_h: int
    change: Floats
    shape: Floats
    pull: Floats
    stand: Floats
    days: int

    def errors(self, share: float, memory_h: float) -> Floats:
        """What the forecasts missed by."""
        faded = -np.expm1(-self.lead_h / memory_h)
        missed: Floats = self.change - faded * self.pull - share * (self.shape + faded * self.stand)
        return missed

    def squares(self) -> Floats:
        """Mean squared error on the grid [shares, memories]."""
        faded = -np.expm1(-self.lead_h / MEMORIES_H)
        rest = self.change[:, None] - np.outer(self.pull, faded)
        usual = self.shape[:, None] + np.outer(self.stand, faded)
        both, square = (rest * usual).mean(axis=0), (usual * usual).mean(axis=0)
        share = SHARES[:, None]
        mean: Floats = (rest * rest).mean(axis=0) - 2.0 * share * both + share * share * square
        return mean


@dataclass(frozen=True, slots=True)
class _Past:
    """Level and usual day as they could be told at every hour, from it and the hours before.

    `mean` of the last 24 known hours, `trust` the share of them that is known, `day` the mean
    departure of this hour of the day so far, about zero over the day.
    """

    hours: Floats
    read: Flags
    mean: Floats
    trust: Floats
    day: Floats

    @classmethod
    def of(cls, hours: Floats, read: Flags, known: Flags) -> _Past:
        weight = known.astype(float)
        number = _sum_of_day(weight)
        mean = _sum_of_day(weight * hours) / np.maximum(number, 1.0)
        mean = np.where(number > 0.0, mean, hours)
        # The first day is measured against its own mean, known only at its end.
        mean[: DAY_H - 1] = mean[min(DAY_H, hours.size) - 1]
        departures = _sum_of_days(weight * (hours - mean))
        day = _smooth(departures / np.maximum(_sum_of_days(weight), 1.0))
        return cls(hours, read, mean, number / DAY_H, day - _sum_of_day(day) / DAY_H)

    def look(self, lead_h: int) -> _Look:
        """Every forecast with this lead whose start and end were read, from the first day on."""
        start = np.arange(DAY_H - 1, max(self.hours.size - lead_h, DAY_H - 1))
        start = start[self.read[start] & self.read[start + lead_h]]
        # The latest hour already known at the start that is of the same hour of the day.
        same = start + (lead_h - 1) % DAY_H + 1 - DAY_H
        return _Look(
            lead_h=lead_h,
            change=self.hours[start + lead_h] - self.hours[start],
            shape=self.day[same] - self.day[start],
            pull=self.trust[start] * (self.mean[start] - self.hours[start]),
            stand=self.day[start],
            days=np.unique((start + 1) // DAY_H).size,
        )


def _sum_of_day(values: Floats) -> Floats:
    """Sum over each hour and the 23 before it, as far as there are."""
    sums = np.cumsum(values)
    before: Floats = np.concatenate([np.zeros(min(DAY_H, sums.size)), sums[:-DAY_H]])
    return sums - before


def _sum_of_days(values: Floats) -> Floats:
    """Sum over each hour and the same hour of all days before it."""
    ahead = -values.size % DAY_H
    table = np.concatenate([np.zeros(ahead), values]).reshape(-1, DAY_H)
    sums: Floats = np.cumsum(table, axis=0).ravel()[ahead:]
    return sums


def _smooth(day: Floats) -> Floats:
    """Take in half of the hours beside each: what one hour did on few days is mostly chance.

    The hour after is that of the day before, all that is known of it; none in less than a day.
    """
    if day.size < DAY_H:
        return np.zeros(DAY_H)
    before = np.concatenate([day[DAY_H - 1 : DAY_H], day[:-1]])
    after = np.concatenate([day[1:DAY_H], day[: 1 - DAY_H]])
    smooth: Floats = 0.5 * day + 0.25 * (before + after)
    return smooth


def _weigh(looks: Sequence[_Look], prior: HabitPrior) -> tuple[float, float]:
    """Mean share and memory over the grid; a day of the log counts as one trial of each lead."""
    weight = _prior_weight(prior)
    for look in looks:
        if look.lead_h in WEIGHED_H and look.days:
            least = LEAST_ERROR * float((look.change * look.change).mean()) + NO_CHANGE**2
            weight = weight - 0.5 * look.days * np.log(look.squares() + least)
    chance = np.exp(weight - np.max(weight))
    chance /= chance.sum()
    share = float(chance.sum(axis=1) @ SHARES)
    memory = float(np.exp(chance.sum(axis=0) @ np.log(MEMORIES_H)))
    return share, memory


def _prior_weight(prior: HabitPrior) -> Floats:
    share = (SHARES - prior.share) / SHARE_SPREAD
    memory = np.log(MEMORIES_H / prior.memory_h) / MEMORY_SPREAD
    weight: Floats = -0.5 * (share[:, None] ** 2 + memory[None, :] ** 2)
    return weight
