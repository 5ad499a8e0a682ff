"""Simulated shops whose truth is known: their factors, their coats, and when each coat is dry.

A shop draws its film factor and a crust factor for each kind of coat from the spreads of the
table; every coat adds a scatter of its own, its water to both factors and its place to each. How
a coat dries is integrated here by itself (Runge-Kutta 4, ten minutes a step) with the law and the
formulas of `tests/reference/slow_drying`, in the air that came; the program's drying is not used.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from functools import cached_property
from uuid import UUID, uuid5

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

from shellcoat.forecast.factors import FactorSpreads
from shellcoat.operations.sequences import starters
from shellcoat.shop import AirMovement, Coat, DipSequence, Shell, ShellState
from tests.bench.simulated_air import (
    DAY,
    FACES,
    FIRST_S,
    HOUR,
    SEASONS,
    SIZES_M,
    SPEEDS_M_S,
    Season,
    TrueAir,
    true_air,
)
from tests.reference.slow_drying import (
    CRITICAL_SHARE,
    DRY_SHARE,
    LOSS_ON_WET,
    PORE_WATER_DENSITY,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SEED = 20260302
NAMESPACE = UUID("6a0f6c0e-3d0a-4c39-8a3a-0a9f6a5c2f10")
ROOM = uuid5(NAMESPACE, "room")

SEQUENCE: DipSequence = next(one for one in starters() if one.name == "Art bronze, 9 coats")
COATS = len(SEQUENCE.steps)
KINDS = tuple(dict.fromkeys((step.slurry, step.stucco) for step in SEQUENCE.steps))
KIND_OF = np.array([KINDS.index((step.slurry, step.stucco)) for step in SEQUENCE.steps])

CHECKED, JUDGED = 4, 18
"""Shells whose coats are checked, and shells of which one coat is judged: two of each coat."""

SHELLS = CHECKED + JUDGED
GAPS_H = {
    AirMovement.STILL_ROOM: (20.0, 28.0),
    AirMovement.FAN_IN_ROOM: (10.0, 16.0),
    AirMovement.FAN_ON_SHELL: (8.0, 13.0),
}
"""Hours from dip to dip: once a day where the air stands still, two or three times with a fan."""

SESSION_DAYS = (14, 19)
"""The judged coats are all dipped on one of these days of the log, in working hours."""

AREA_M2 = 0.3
"""Wetted area of every piece as it stands in the book."""

STEP_S = 600.0
LONGEST_S = 7 * DAY


# What a shop is


@dataclass(frozen=True)
class TrueShop:
    """One shop with its truth.

    `film` and `crust` [kinds] factors of the whole shop; `dips_s` [s], `film_of`, `crust_of` and
    `water_off` [shells, coats] the dips, the factors of every coat and the ln of how much more
    water it brought than the shop's coats usually do; `face` [shells] as in `FACES`. The first
    `CHECKED` shells are checked; of the others one coat is judged, the last, dipped at `now_s`.
    """

    season: Season
    number: int
    film: float
    crust: Floats
    now_s: float
    dips_s: Floats
    film_of: Floats
    crust_of: Floats
    water_off: Floats
    face: Ints

    @classmethod
    def draw(
        cls, season: Season, number: int, spreads: FactorSpreads, scatter: float = 1.0
    ) -> TrueShop:
        """Draw a shop; `scatter` multiplies the spread of the water from coat to coat."""
        index = number * len(SEASONS) + SEASONS.index(season)
        rng = np.random.default_rng([SEED, index])
        scores = _even_scores(index)
        film = float(np.exp(spreads.first * scores[0]))
        crust = np.exp(spreads.second * scores[1:])
        now_s = FIRST_S + DAY * rng.integers(*SESSION_DAYS) + HOUR * rng.uniform(1.0, 13.0)
        moved = rng.integers(len(SPEEDS_M_S))
        water = rng.normal(0.0, scatter * spreads.water, (SHELLS, COATS))
        places = rng.normal(0.0, spreads.place, (2, SHELLS, COATS))
        return cls(
            season=season,
            number=number,
            film=film,
            crust=crust,
            now_s=now_s,
            dips_s=_dips(rng, now_s, GAPS_H[list(SPEEDS_M_S)[moved]]),
            film_of=film * np.exp(water + places[0]),
            crust_of=crust[KIND_OF] * np.exp(water + places[1]),
            water_off=water,
            face=moved * len(SIZES_M) + rng.integers(len(SIZES_M), size=SHELLS),
        )

    @property
    def now(self) -> datetime:
        """When the judged coats are dipped."""
        return from_s(self.now_s)

    @cached_property
    def shells(self) -> list[tuple[Shell, tuple[Coat, ...]]]:
        """Its shells with their coats up to the session."""
        return [self._shell(place) for place in range(SHELLS)]

    def _shell(self, place: int) -> tuple[Shell, tuple[Coat, ...]]:
        movement, size = FACES[self.face[place]]
        shell = Shell(
            id=uuid5(NAMESPACE, f"{self.season.name} {self.number} {place}"),
            name="Simulated",
            label=f"{place}",
            sequence=SEQUENCE,
            room_id=ROOM,
            started_at=from_s(FIRST_S),
            state=ShellState.IN_WORK,
            area_m2=AREA_M2,
            drying_length_m=size,
        )
        dips = self.dips_s[place]
        count = int(np.count_nonzero(dips <= self.now_s))
        return shell, tuple(_coat(shell, rank, dips[rank], movement) for rank in range(count))


def judged_rank(shell: int) -> int:
    """Which coat of a judged shell is dipped in the session, from 0."""
    return (shell - CHECKED) % COATS


def _even_scores(index: int) -> Floats:
    """Standard scores of film and crusts, spread evenly over a normal from shop to shop.

    The additive recurrence of the root of ``x^6 = x + 1`` (five scores), moved by chance: few
    shops then stand for all, where shops drawn by chance alone might be mostly slow ones.
    """
    root = 1.1347241384015194
    moved = np.random.default_rng(SEED).uniform(size=1 + len(KINDS))
    steps = root ** -np.arange(1.0, 2.0 + len(KINDS))
    return norm.ppf((moved + steps * (index + 1)) % 1.0)


def _dips(rng: np.random.Generator, now_s: float, gap_h: tuple[float, float]) -> Floats:
    """When every coat goes on [shells, coats] in s; the judged ones at `now_s`."""
    gaps = HOUR * rng.uniform(*gap_h, (SHELLS, COATS))
    gaps[:, 0] = 0.0
    since = np.cumsum(gaps, axis=1)
    dips = FIRST_S + DAY * rng.uniform(2.0, 4.0, (SHELLS, 1)) + since
    for shell in range(CHECKED, SHELLS):
        dips[shell] = now_s + since[shell] - since[shell, judged_rank(shell)]
    return dips


def from_s(seconds: float) -> datetime:
    """A time from seconds since 1970."""
    return datetime.fromtimestamp(float(seconds), UTC)


def _coat(shell: Shell, rank: int, dip_s: float, movement: AirMovement) -> Coat:
    return Coat(
        id=uuid5(shell.id, f"coat {rank}"),
        shell_id=shell.id,
        step=SEQUENCE.steps[rank],
        dipped_at=from_s(dip_s),
        utc_offset_min=0,
        room_id=ROOM,
        movement=movement,
    )


# How its coats dry


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
    air = true_air(shops[0].season)
    dips, film, crust = (
        np.concatenate([getattr(shop, name) for shop in shops])
        for name in ("dips_s", "film_of", "crust_of")
    )
    face = np.concatenate([shop.face for shop in shops])
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
