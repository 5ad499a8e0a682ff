"""How the coats of simulated shops truly dry.

Integrated here by itself (Runge-Kutta 4, ten minutes a step) with the law and the formulas of
`tests/reference/slow_drying`, in the air that came. The program's own drying is not used.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from tests.bench.simulated_air import DAY, Floats, Ints, TrueAir, true_air
from tests.bench.simulated_shops import COATS, SEQUENCE, SHELLS, TrueShop
from tests.reference.slow_drying import (
    CRITICAL_SHARE,
    DRY_SHARE,
    LOSS_ON_WET,
    PORE_WATER_DENSITY,
)

STEP_S = 600.0
LONGEST_S = 7 * DAY


@dataclass(frozen=True)
class Course:
    """The water in many walls over time [steps, coats] in kg/m2, from the dip on."""

    water: Floats

    def until(self, limit: Floats) -> Floats:
        """Seconds until no more than `limit` [coats] is left; infinite where that never comes."""
        below = self.water <= limit
        after = np.argmax(below, axis=0)
        coats = np.arange(limit.size)
        high, low = self.water[after - 1, coats], self.water[after, coats]
        share = (high - limit) / np.where(high > low, high - low, 1.0)
        return np.where(below.any(axis=0), STEP_S * (after - 1 + share), np.inf)

    def at(self, since_s: Floats) -> Floats:
        """Water [coats] so many seconds after each dip."""
        place = np.clip(since_s / STEP_S, 0.0, self.water.shape[0] - 1.000001)
        left = place.astype(np.int64)
        coats, share = np.arange(since_s.size), place - left
        return self.water[left, coats] * (1.0 - share) + self.water[left + 1, coats] * share


@dataclass(frozen=True)
class Walls:
    """Walls just after a dip, [coats]: water [kg/m2], depth [m], and the factors they have."""

    face: Ints
    dip_s: Floats
    water: Floats
    depth: Floats
    film: Floats
    crust: Floats

    def flux(self, air: Floats, water: Floats) -> tuple[Floats, Floats]:
        """Flux [kg/m2 s], and how far the surface lies below the air [K]."""
        drive, film, heat, by_air, radiation, crust, latent = air
        front = np.maximum(self.depth * (1.0 - water / (CRITICAL_SHARE * self.water)), 0.0)
        supply = by_air / self.film + radiation
        path = film * self.film + front * self.crust / crust + heat / supply
        flux = np.where(water > 0.0, drive / path, 0.0)
        return flux, flux * latent / supply

    def dry(self, air: TrueAir) -> Course:
        """Integrate the water until every wall is empty, or for a week."""
        course = [self.water]
        here = air.at(self.face, self.dip_s)
        for step in range(round(LONGEST_S / STEP_S)):
            begin = self.dip_s + STEP_S * step
            half, there = (air.at(self.face, begin + part * STEP_S) for part in (0.5, 1.0))
            course.append(self._advanced(course[-1], here, half, there))
            here = there
            if course[-1].max() <= 0.0:
                break
        return Course(np.stack(course))

    def _advanced(self, water: Floats, here: Floats, half: Floats, there: Floats) -> Floats:
        first, _ = self.flux(here, water)
        second, _ = self.flux(half, water - 0.5 * STEP_S * first)
        third, _ = self.flux(half, water - 0.5 * STEP_S * second)
        fourth, _ = self.flux(there, water - STEP_S * third)
        lost = STEP_S * (first + 2.0 * second + 2.0 * third + fourth) / 6.0
        return np.maximum(water - lost, 0.0)


@dataclass(frozen=True)
class TrueRank:
    """One coat of many shells: its walls, how they dry, and the seconds it takes [shells]."""

    walls: Walls
    course: Course
    dry_s: Floats

    def rows(self, part: slice) -> TrueRank:
        """The same coat of some of the shells."""
        walls = Walls(*(getattr(self.walls, field.name)[part] for field in fields(Walls)))
        return TrueRank(walls, Course(self.course.water[:, part]), self.dry_s[part])

    def water_and_drop(self, shell: int, since_s: float, air: TrueAir) -> tuple[float, float]:
        """Water in a shell's wall [kg/m2] and cold of its surface [K], some time after the dip."""
        one = self.rows(slice(shell, shell + 1))
        water = one.course.at(np.array([since_s]))
        _, drop = one.walls.flux(air.at(one.walls.face, one.walls.dip_s + since_s), water)
        return float(water[0]), float(drop[0])


def dry_shops(shops: Sequence[TrueShop]) -> list[list[TrueRank]]:
    """Dry every coat of some shops of one season: by shop and rank."""
    air = true_air(shops[0].calendar.season)
    dips = np.concatenate([shop.calendar.dips_s for shop in shops])
    face = np.concatenate([shop.calendar.face for shop in shops])
    film = np.concatenate([shop.film_of for shop in shops])
    crust = np.concatenate([shop.crust_of for shop in shops])
    thick, left, left_share = np.zeros((3, face.size))
    by_rank = []
    for rank, step in enumerate(SEQUENCE.steps):
        thick = thick + step.thickness_m.likely * (1.0 - LOSS_ON_WET * left_share)
        water = left + step.water_kg_m2.likely
        depth = np.minimum(thick, water / PORE_WATER_DENSITY)
        walls = Walls(face, dips[:, rank], water, depth, film[:, rank], crust[:, rank])
        course = walls.dry(air)
        limit = np.full(face.size, DRY_SHARE * step.water_kg_m2.likely)
        by_rank.append(TrueRank(walls, course, course.until(limit)))
        if rank + 1 < COATS:
            left = course.at(dips[:, rank + 1] - dips[:, rank])
            left_share = left / water
    parts = [slice(index * SHELLS, (index + 1) * SHELLS) for index in range(len(shops))]
    return [[rank.rows(part) for rank in by_rank] for part in parts]
