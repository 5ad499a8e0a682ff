"""Caliper readings and weighings of one shell, made ready for the belief about its wall."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from math import hypot, log
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.log_density import CELL
from shellcoat.forecast.thickness import TENTH_TO_NINETIETH
from shellcoat.forecast.wall_belief import FACTOR, SIDE_OF, Side, Sight
from shellcoat.forecast.wall_growth import WallGrowth
from shellcoat.forecast.wall_values import WallSpreads
from shellcoat.shop import Band, CaliperReading, Coat, Shell, ShellCheck, WallPlace, Weighing

Floats = NDArray[np.float64]
NO_WATER = Band(0.0, 0.0, 0.0)

MOST_UNSURE = 0.5
"""A scale that may be out by more of the wall's own mass [-] tells nothing of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallCase:
    """A shell, its coats by time, and what the forecast makes of them.

    `walls` [m] is what each coat is expected to have built on the flats. `water_now_kg_m2` is
    the water in the wall now, `water_then_kg_m2` that at each weighing by its id; a weighing
    without it tells nothing.
    """

    shell: Shell
    coats: tuple[Coat, ...]
    walls: tuple[Band, ...]
    checks: tuple[ShellCheck, ...] = ()
    water_now_kg_m2: Band = NO_WATER
    water_then_kg_m2: Mapping[UUID, Band] = field(default_factory=dict)

    def readings(self, now: datetime) -> list[CaliperReading | Weighing]:
        """The readings of wall and weight up to now that count, by time."""
        found = [
            check
            for check in self.checks
            if isinstance(check, CaliperReading | Weighing)
            and check.at <= now
            and not check.left_out
        ]
        return sorted(found, key=lambda check: (check.at, check.id))

    def coats_at(self, moment: datetime) -> int:
        """How many coats were on at a moment."""
        return bisect_right([coat.dipped_at for coat in self.coats], moment)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleView:
    """What the scale shows of a shell, less its wax, and how that is known.

    `area_m2` and `wax_kg` of the shell, `dry_kg_m2` what the coats weigh dry, by how many are on.
    """

    area_m2: float
    wax_kg: float
    dry_kg_m2: Floats
    spreads: WallSpreads

    def expected(self, coats: int, water: Band, slope: float) -> Floats:
        """Ln of the mass [kg] of wall and water by the cells of the factor."""
        dry = self.dry_kg_m2[coats] * np.exp(slope * FACTOR)
        mass: Floats = np.log(self.area_m2 * (dry + water.likely))
        return mass

    def spread(self, coats: int, water: Band, rest: float) -> float:
        """Standard deviation of that ln by water and by what the factor does not tell [-]."""
        dry = float(self.dry_kg_m2[coats])
        wall = dry + water.likely
        by_water = (water.high - water.low) / TENTH_TO_NINETIETH / wall
        return hypot(by_water, rest * dry / wall)

    def scale_error_kg(self, coats: int, water: Band) -> float:
        """Standard deviation of what the scale shows [kg], by itself and by the wax on it."""
        by_scale = self.spreads.scale * (self.wall_kg(coats, water) + self.wax_kg)
        return hypot(by_scale, self.spreads.wax_mass * self.wax_kg)

    def scale_spread(self, coats: int, water: Band) -> float:
        """The same over the mass of wall and water [-]."""
        return self.scale_error_kg(coats, water) / self.wall_kg(coats, water)

    def wall_kg(self, coats: int, water: Band) -> float:
        """Wall and water as the coats let expect them [kg]."""
        return self.area_m2 * (float(self.dry_kg_m2[coats]) + water.likely)

    def wall_seen(self, mass_kg: float, coats: int, water: Band, likely_m: float) -> float | None:
        """The wall [m] that such a mass [kg] means; None where it is less than wax and water."""
        dry = (mass_kg - self.wax_kg) / self.area_m2 - water.likely
        return likely_m * dry / float(self.dry_kg_m2[coats]) if dry > 0.0 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class WallReading:
    """One reading, the coats that were on, and how the grid sees it.

    `sight` is None for a weighing that is lighter than wax and hook allow: it has to be a stray.
    """

    check: CaliperReading | Weighing
    coats: int
    sight: Sight | None
    seen_m: float | None

    @property
    def place(self) -> WallPlace:
        """Where it was taken; a scale weighs flats, as good as all."""
        return self.check.place if isinstance(self.check, CaliperReading) else WallPlace.FLAT


def wall_readings(
    case: WallCase,
    growth: WallGrowth,
    known: int,
    spreads: WallSpreads,
    scale: ScaleView | None,
    now: datetime,
) -> Iterator[WallReading]:
    """Every reading that tells something of the wall; `known` is the coat the factor is of."""
    for check in case.readings(now):
        coats = case.coats_at(check.at)
        if growth.likely_m[coats] <= 0.0:
            continue
        if isinstance(check, CaliperReading):
            yield _by_caliper(check, coats, growth, known, spreads)
        elif scale is not None and check.id in case.water_then_kg_m2:
            water = case.water_then_kg_m2[check.id]
            if scale.scale_spread(coats, water) <= MOST_UNSURE:
                yield _by_scale(check, coats, growth, known, scale, water)


def _by_caliper(
    check: CaliperReading, coats: int, growth: WallGrowth, known: int, spreads: WallSpreads
) -> WallReading:
    sight = Sight(
        side=SIDE_OF[check.place],
        expected=log(growth.likely_m[coats]) + growth.slope(coats, known) * FACTOR,
        seen=log(check.thickness_m),
        spread=hypot(spreads.caliper, growth.rest(coats, known)),
    )
    return WallReading(check=check, coats=coats, sight=sight, seen_m=check.thickness_m)


def _by_scale(
    check: Weighing, coats: int, growth: WallGrowth, known: int, scale: ScaleView, water: Band
) -> WallReading:
    wall_kg = check.mass_kg - scale.wax_kg
    rest = growth.rest(coats, known)
    sight = None
    if wall_kg > 0.0:
        sight = Sight(
            side=Side.MASS,
            expected=scale.expected(coats, water, growth.slope(coats, known)),
            seen=log(wall_kg),
            # No finer than the grid, whose cells would miss a narrower peak between them.
            spread=max(
                hypot(scale.spread(coats, water, rest), scale.scale_spread(coats, water)), CELL
            ),
        )
    seen = scale.wall_seen(check.mass_kg, coats, water, float(growth.likely_m[coats]))
    return WallReading(check=check, coats=coats, sight=sight, seen_m=seen)


def coats_dry_mass(weights: Sequence[float]) -> Floats:
    """Dry mass [kg/m2] after no coat, one, two and so on."""
    total: Floats = np.append(0.0, np.cumsum(np.asarray(weights, dtype=np.float64)))
    return total
