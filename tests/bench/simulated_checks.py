"""The people of the simulated shops: what they touch and measure, and how they err.

A person looks at a coat once or twice, about when they would expect it to be dry, and has for
each coat an idea of dry of their own that is off by a factor, beside a habit that the whole shop
has on all its coats. Some findings are strays. What lies beyond the program's picture of people
is a `Habit` of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import hypot, sqrt
from uuid import uuid5

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.check_looks import TaughtCase, TeachingCheck
from shellcoat.forecast.starting_values import CheckValues, StartingValues
from shellcoat.shop import DryCheck, DryFinding, InfraredReading, Weighing
from tests.bench.simulated_air import true_air
from tests.bench.simulated_drying import TrueRank
from tests.bench.simulated_shops import (
    AREA_M2,
    CHECKED,
    COATS,
    SEED,
    SHELLS,
    Calendar,
    TrueShop,
    from_s,
)

Floats = NDArray[np.float64]

LOOKS_AT = (0.5, 1.6)
"""When people go and look, in shares of the time the untaught program calls likely; invented."""

BEFORE_NEXT = 0.97
"""Latest look, as a share of the time to the next dip."""

FIRST_ON_SCALE_S = 600.0
WAX_KG, SLIP_KG = 4.0, 0.02
"""Mass of a wax with its sprues, and how far off a stray weighing is (s.d.); invented."""

STRAY_COLD_K = 10.0
"""A stray infrared reading lies anywhere from the air's temperature to so much below; invented."""


@dataclass(frozen=True)
class Habit:
    """How a person checks.

    With what, how large a share of the findings are strays, at what share of the true time they
    call a coat dry on average, and whether area and water of a shop are off alike on every coat
    or anew on each.
    """

    look: Callable[[Bench], Iterator[list[TeachingCheck]]]
    strays: float
    early: float = 1.0
    alike: bool = False


@dataclass(frozen=True)
class Bench:
    """One coat before a person: the truth of it, and the dice.

    `likely_s` [s] the time it is first thought to take, `gap_s` [s] to the next dip, `off` the ln
    by which area times water of the coat is off the record, where all coats are off alike.
    """

    calendar: Calendar
    shell: int
    rank: int
    true: TrueRank
    likely_s: float
    gap_s: float
    off: float
    late: float
    values: CheckValues
    habit: Habit
    rng: np.random.Generator

    def when(self, low: float, high: float) -> float:
        """Seconds after the dip at which the person looks."""
        since = self.likely_s * self.rng.uniform(low, high)
        return float(min(since, BEFORE_NEXT * self.gap_s))

    def is_stray(self) -> bool:
        """Whether this finding is of another shell, or slipped."""
        return bool(self.rng.uniform() < self.habit.strays)

    def fields(self, since_s: float) -> dict[str, object]:
        """What every check has; its id comes from its time."""
        shell = self.calendar.shells[self.shell][0]
        at = from_s(self.calendar.dips_s[self.shell, self.rank] + since_s)
        return {"id": uuid5(shell.id, f"{at}"), "shell_id": shell.id, "at": at}


def touches(bench: Bench) -> Iterator[list[TeachingCheck]]:
    """One touch or two; one idea of dry for the coat, and a little off it at each touch."""
    true_s = bench.true.dry_s[bench.shell] * bench.habit.early * np.exp(bench.late)
    idea_s = true_s * np.exp(bench.rng.normal(0.0, bench.values.touch))
    for _ in range(bench.rng.integers(1, 3)):
        since = bench.when(*LOOKS_AT)
        dry = since > idea_s * np.exp(bench.rng.normal(0.0, bench.values.touch_again))
        if bench.is_stray():
            dry = bench.rng.uniform() < 0.5
        finding = DryFinding.DRY if dry else DryFinding.STILL_WET
        yield [DryCheck(finding=finding, **bench.fields(since))]


def infrared(bench: Bench) -> Iterator[list[TeachingCheck]]:
    """One reading or two of wall and air with one instrument, while the coat dries."""
    air = true_air(bench.calendar.season)
    for _ in range(bench.rng.integers(1, 3)):
        since = bench.when(0.1, 1.2)
        temp_c = air.temp_at(bench.calendar.dips_s[bench.shell, bench.rank] + since)
        _, drop = bench.true.water_and_drop(bench.shell, since, air)
        drop = bench.rng.uniform(0.0, STRAY_COLD_K) if bench.is_stray() else drop
        surface = temp_c - drop + bench.rng.normal(0.0, bench.values.infrared_k)
        fields = bench.fields(since)
        yield [InfraredReading(surface_temp_c=surface, air_temp_c=temp_c, **fields)]


def weighings(bench: Bench) -> Iterator[list[TeachingCheck]]:
    """Two weighings of one coat, soon after the dip and later; together they are one check."""
    air = true_air(bench.calendar.season)
    times = (FIRST_ON_SCALE_S, max(bench.when(0.3, 1.2), 2.0 * FIRST_ON_SCALE_S))
    anew = bench.rng.normal(0.0, hypot(bench.values.area, bench.values.coat_water))
    area = AREA_M2 * np.exp(bench.off if bench.habit.alike else anew)
    found: list[TeachingCheck] = []
    for since in times:
        water, _ = bench.true.water_and_drop(bench.shell, since, air)
        slip = bench.rng.normal(0.0, SLIP_KG) if bench.is_stray() else 0.0
        mass = (WAX_KG + area * water) * (1.0 + bench.rng.normal(0.0, bench.values.scale_share))
        found.append(Weighing(mass_kg=mass + slip, **bench.fields(since)))
    yield found


def shop_checks(
    shop: TrueShop, true: list[TrueRank], likely_s: Floats, habit: Habit, values: StartingValues
) -> list[list[TeachingCheck]]:
    """Everything people find on the checked shells, in the order in which coats are come upon.

    `likely_s` [shells, coats] is when the untaught program called each coat likely dry.
    """
    rng = np.random.default_rng([SEED, shop.index, 1])
    shop_water = rng.normal(0.0, sqrt(values.checks.coat_water**2 - values.spreads.water**2))
    off = shop.water_off + shop_water + rng.normal(0.0, values.checks.area, (SHELLS, 1))
    late = rng.normal(0.0, values.checks.touch_habit)
    found: list[list[TeachingCheck]] = []
    for place in rng.permutation(CHECKED * COATS):
        shell, rank = divmod(int(place), COATS)
        bench = Bench(
            calendar=shop.calendar,
            shell=shell,
            rank=rank,
            true=true[rank],
            likely_s=float(likely_s[shell, rank]),
            gap_s=float(np.diff(shop.calendar.dips_s[shell], append=np.inf)[rank]),
            off=float(off[shell, rank]),
            late=late,
            values=values.checks,
            habit=habit,
            rng=rng,
        )
        found += habit.look(bench)
    return found


def taught_cases(calendar: Calendar, checks: list[list[TeachingCheck]]) -> list[TaughtCase]:
    """The checked shells with these checks on them."""
    by_shell: dict[object, list[TeachingCheck]] = {}
    for check in (one for group in checks for one in group):
        by_shell.setdefault(check.shell_id, []).append(check)
    return [
        TaughtCase(shell, coats, (), tuple(by_shell.get(shell.id, ())))
        for shell, coats in calendar.shells[:CHECKED]
    ]
