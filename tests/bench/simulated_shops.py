"""Simulated shops whose truth is known: their factors, and the coats on their shells.

A shop draws its film factor and a crust factor for each kind of coat from the spreads of the
table; every coat adds a scatter of its own, its water to both factors and its place to each. When
coats are dipped is drawn apart from that, in a calendar: no dip waits for what the truth is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from uuid import UUID, uuid5

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

from shellcoat.forecast.air_track import AirLog
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
    true_air,
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


# When coats are dipped


@dataclass(frozen=True)
class Calendar:
    """The shells of a shop, where they stand and when they are dipped, whatever its truth is.

    `dips_s` [shells, coats] in s, `face` [shells] as in `FACES`. The first `CHECKED` shells are
    checked; of the others one coat is judged, the last, dipped in the session at `now_s` [s].
    """

    season: Season
    number: int
    now_s: float
    dips_s: Floats
    face: Ints

    @classmethod
    def draw(cls, season: Season, number: int) -> Calendar:
        """Draw a calendar; the same number gives the same."""
        rng = np.random.default_rng([SEED, SEASONS.index(season), number])
        now_s = FIRST_S + DAY * rng.integers(*SESSION_DAYS) + HOUR * rng.uniform(1.0, 13.0)
        place = int(rng.integers(len(SPEEDS_M_S)))
        sizes = rng.integers(len(SIZES_M), size=SHELLS)
        dips_s = _dips(rng, now_s, GAPS_H[list(SPEEDS_M_S)[place]])
        return cls(season, number, now_s, dips_s, place * len(SIZES_M) + sizes)

    @property
    def now(self) -> datetime:
        """When the judged coats are dipped."""
        return from_s(self.now_s)

    @property
    def logs(self) -> dict[UUID, AirLog]:
        """The log of its room."""
        return {ROOM: true_air(self.season).log}

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


def _dips(rng: np.random.Generator, now_s: float, gap_h: tuple[float, float]) -> Floats:
    """When every coat goes on [shells, coats] in s; the judged ones at `now_s`."""
    gaps = HOUR * rng.uniform(*gap_h, (SHELLS, COATS))
    gaps[:, 0] = 0.0
    since = np.cumsum(gaps, axis=1)
    dips = FIRST_S + DAY * rng.uniform(2.0, 4.0, (SHELLS, 1)) + since
    for shell in range(CHECKED, SHELLS):
        dips[shell] = now_s + (since[shell] - since[shell, judged_rank(shell)])
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


# What a shop truly is


@dataclass(frozen=True)
class TrueShop:
    """One shop with its calendar and its truth.

    `film` and `crust` [kinds] factors of the whole shop; `film_of`, `crust_of` and `water_off`
    [shells, coats] the factors of every coat, and the ln of how much more water it brought than
    the shop's coats usually do.
    """

    calendar: Calendar
    index: int
    film: float
    crust: Floats
    film_of: Floats
    crust_of: Floats
    water_off: Floats

    @classmethod
    def draw(
        cls, calendar: Calendar, number: int, spreads: FactorSpreads, scatter: float = 1.0
    ) -> TrueShop:
        """Draw a truth; `scatter` multiplies the spread of the water from coat to coat."""
        season = SEASONS.index(calendar.season)
        index = number * len(SEASONS) + season
        rng = np.random.default_rng([SEED, index])
        scores = _even_scores(season, number)
        film = float(np.exp(spreads.first * scores[0]))
        crust = np.exp(spreads.second * scores[1:])
        water = rng.normal(0.0, scatter * spreads.water, (SHELLS, COATS))
        places = rng.normal(0.0, spreads.place, (2, SHELLS, COATS))
        return cls(
            calendar=calendar,
            index=index,
            film=film,
            crust=crust,
            film_of=film * np.exp(water + places[0]),
            crust_of=crust[KIND_OF] * np.exp(water + places[1]),
            water_off=water,
        )


def _even_scores(season: int, number: int) -> Floats:
    """Standard scores of film and crusts, spread evenly over a normal from shop to shop.

    Every second shop is the mirror of the one before, and the pairs follow the additive recurrence
    of the root of ``x^6 = x + 1`` (five scores), moved by chance: few shops then stand for all,
    where shops drawn by chance alone might be mostly slow ones.
    """
    root = 1.1347241384015194
    pair, mirrored = divmod(number, 2)
    moved = np.random.default_rng(SEED).uniform(size=1 + len(KINDS))
    steps = root ** -np.arange(1.0, 2.0 + len(KINDS))
    place = pair * len(SEASONS) + season + 1
    return norm.ppf((moved + steps * place) % 1.0) * (-1.0 if mirrored else 1.0)
