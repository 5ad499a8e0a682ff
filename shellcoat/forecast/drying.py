"""Many coats at once, stepped through the air they stand in, on every lane of the unknowns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_track import STEP_S, AirTrack
from shellcoat.forecast.lanes import AIR_SCORES, Lanes
from shellcoat.physics import evaporation, moist_air
from shellcoat.physics.coat_drying import WetCoat, advance_front, budget_to_reach

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

BLOCK = 24
"""Steps between two looks at which coats are done: four hours."""


@dataclass(frozen=True, slots=True)
class AirStack:
    """The tracks of several rooms on one time axis, as arrays [rooms, steps].

    `deficit` [rooms, scores, steps] in kg/m3 for each of `AIR_SCORES`, `heat` [J/m3 K] latent
    heat times saturation slope, `full` [kg/m3] saturation density, `pressure_pa` [Pa].
    """

    start_s: float
    deficit: Floats
    heat: Floats
    temp_c: Floats
    full: Floats
    wet_drop_k: Floats
    pressure_pa: float

    @classmethod
    def of(cls, tracks: list[AirTrack], pressure_pa: float) -> AirStack:
        """Stack tracks that share start and length."""
        return cls(
            start_s=tracks[0].start_s,
            deficit=np.stack([[track.deficit(z) for z in AIR_SCORES] for track in tracks]),
            heat=np.stack([track.heat_per_deficit() for track in tracks]),
            temp_c=np.stack([track.temp_c for track in tracks]),
            full=np.stack(
                [np.asarray(moist_air.saturation_density(track.temp_c)) for track in tracks]
            ),
            wet_drop_k=np.stack([track.wet_drop_k for track in tracks]),
            pressure_pa=pressure_pa,
        )

    @property
    def steps(self) -> int:
        """Number of steps."""
        return int(self.temp_c.shape[1])

    @property
    def end_s(self) -> float:
        """Where the axis ends [s]: the horizon."""
        return self.start_s + STEP_S * self.steps


@dataclass(frozen=True, slots=True)
class CoatBatch:
    """Coats to dry: one row each, [coats] or [coats, lanes].

    `room` index into the stack, `start_s` time of the dip [s], `query_s` when the front is asked
    for [s], `length_m` [m] and `speed_m_s` [m/s] of the air film, `wall` the wall just after the
    dip, `target` [m] the front position at which the coat is dry.
    """

    room: Ints
    start_s: Floats
    query_s: Floats
    length_m: Floats
    speed_m_s: Floats
    wall: WetCoat
    target: Floats

    def rows(self, keep: Ints) -> CoatBatch:
        """The same batch with only some of its coats."""
        wall = WetCoat(
            self.wall.water[keep],
            self.wall.critical_water[keep],
            self.wall.depth[keep],
            self.wall.crust_diffusivity[keep],
        )
        return CoatBatch(
            self.room[keep],
            self.start_s[keep],
            self.query_s[keep],
            self.length_m[keep],
            self.speed_m_s[keep],
            wall,
            self.target[keep],
        )


@dataclass(frozen=True, slots=True)
class DryOut:
    """Seconds from dip to dry, and the front [m] at the query, as arrays [coats, lanes].

    A coat not dry at the horizon is taken to go on in the air it has there; infinite where that
    takes up no vapour.
    """

    dry_after_s: Floats
    front_m: Floats


class StepResistance(Protocol):
    """What vapour and heat meet outside the wet wall, for one stretch of steps."""

    def at(self, step: int, front: Floats) -> Floats:
        """Resistance [s/m] of air film, heat supply and whatever else, [coats, lanes]."""


class Passage(Protocol):
    """The way from wet wall to room air: the open face, or a core's openings."""

    def over(self, air: AirStack, batch: CoatBatch, rows: Ints, steps: Ints) -> StepResistance:
        """Lay the way out for some rows of the whole batch over some steps [coats, steps]."""


def dry_out(
    air: AirStack,
    batch: CoatBatch,
    lanes: Lanes,
    passage: Passage | None = None,
    *,
    hold_air: bool = False,
) -> DryOut:
    """Step every coat of the batch until it is dry and its query is answered.

    `passage` is the way out, the open face where none is given.

    With `hold_air` the air is taken to stay from the query on as it was then: what a coat that
    was dipped over would have needed must not depend on the air that came later.
    """
    way = passage or OpenFace(lanes)
    front = batch.wall.start.copy()
    dry_after = np.where(front >= batch.target, 0.0, np.inf)
    asked = front.copy()
    rest = np.full(front.shape, np.inf)
    first = np.floor((batch.start_s - air.start_s) / STEP_S).astype(np.int64)
    open_rows = np.arange(batch.start_s.size)
    block = 0
    while open_rows.size:
        part = batch.rows(open_rows)
        steps = first[open_rows, None] + np.arange(block, block + BLOCK)
        state = _Block(air, part, lanes, steps, way.over(air, part, open_rows, steps))
        state.run(front[open_rows], dry_after[open_rows], asked[open_rows], rest[open_rows])
        front[open_rows] = state.front
        dry_after[open_rows] = state.dry_after
        asked[open_rows] = state.asked
        rest[open_rows] = state.rest
        block += BLOCK
        reached = air.start_s + STEP_S * (first[open_rows] + block)
        unfinished = part.query_s > reached
        if not hold_air:
            unfinished |= np.isinf(state.dry_after).any(axis=1)
        open_rows = open_rows[unfinished & (first[open_rows] + block < air.steps)]
    if hold_air:
        asked_after = (batch.query_s - batch.start_s)[:, None]
        dry_after = np.where(dry_after <= asked_after, dry_after, asked_after + rest)
    elif (late := np.nonzero(np.isinf(dry_after).any(axis=1))[0]).size:
        after = _beyond(air, batch.rows(late), lanes, way, late, front[late])
        dry_after[late] = np.minimum(dry_after[late], after)
    return DryOut(dry_after, asked)


def _beyond(
    air: AirStack, part: CoatBatch, lanes: Lanes, way: Passage, rows: Ints, front: Floats
) -> Floats:
    """Seconds from dip to dry [coats, lanes] if the air at the horizon went on for ever.

    Between a lane that is dry in time and one that never is nothing could be read.
    """
    last = np.full((rows.size, 1), air.steps - 1)
    resistance = way.over(air, part, rows, last).at(0, front)
    rate = part.wall.budget_rate(air.deficit[part.room[:, None], lanes.air, last])
    need = budget_to_reach(front, part.target, resistance, part.wall)
    rest = np.where(rate > 0.0, need / np.where(rate > 0.0, rate, 1.0), np.inf)
    after: Floats = (air.end_s - part.start_s)[:, None] + rest
    return after


class _Block:
    """A few hours of drying for the coats that are still open."""

    def __init__(
        self,
        air: AirStack,
        batch: CoatBatch,
        lanes: Lanes,
        steps: Ints,
        resistance: StepResistance,
    ) -> None:
        inside = np.clip(steps, 0, air.steps - 1)
        room = batch.room[:, None]
        self._batch = batch
        self._begin = np.maximum(air.start_s + STEP_S * steps, batch.start_s[:, None])
        end = air.start_s + STEP_S * (steps + 1)
        self._seconds = np.where(steps < air.steps, end - self._begin, 0.0)
        self._deficit = air.deficit[room[:, :, None], lanes.air, inside[:, :, None]]
        self._resistance = resistance

    def run(self, front: Floats, dry_after: Floats, asked: Floats, rest: Floats) -> None:
        """Step through the block from the given state."""
        self.front, self.dry_after, self.asked, self.rest = front, dry_after, asked, rest
        for step in range(self._seconds.shape[1]):
            self._step(step)

    def _step(self, step: int) -> None:
        wall, seconds = self._batch.wall, self._seconds[:, step, None]
        resistance = self._resistance.at(step, self.front)
        budget = wall.budget_rate(self._deficit[:, step]) * seconds
        since_dip = self._begin[:, step, None] - self._batch.start_s[:, None]
        need = budget_to_reach(self.front, self._batch.target, resistance, wall)
        now_dry = np.isinf(self.dry_after) & (need <= budget) & (budget > 0.0)
        share = need / np.where(budget > 0.0, budget, 1.0)
        self.dry_after = np.where(now_dry, since_dip + seconds * share, self.dry_after)
        self._answer_query(step, budget, resistance)
        self.front = advance_front(self.front, budget, resistance, wall)

    def _answer_query(self, step: int, budget: Floats, resistance: Floats) -> None:
        """Keep the front of the coats whose query falls into this step, and the time it lacks."""
        into = self._batch.query_s - self._begin[:, step]
        seconds = self._seconds[:, step]
        rows = np.nonzero((into >= 0.0) & (into <= seconds) & (seconds > 0.0))[0]
        if rows.size == 0:
            return
        wall = self._batch.rows(rows).wall
        spent = budget[rows] * (into[rows] / seconds[rows])[:, None]
        self.asked[rows] = advance_front(self.front[rows], spent, resistance[rows], wall)
        target = self._batch.target[rows]
        need = budget_to_reach(self.asked[rows], target, resistance[rows], wall)
        rate = budget[rows] / seconds[rows, None]
        self.rest[rows] = np.where(rate > 0.0, need / np.where(rate > 0.0, rate, 1.0), np.inf)


class OpenFace:
    """The face of a shell: vapour leaves through the air film alone."""

    def __init__(self, lanes: Lanes) -> None:
        self._factor = lanes.film

    def over(self, air: AirStack, batch: CoatBatch, rows: Ints, steps: Ints) -> FaceFilm:  # noqa: ARG002 - the face needs no row numbers
        """Lay the film over some steps."""
        inside = np.clip(steps, 0, air.steps - 1)
        return FaceFilm(self._factor, *_film(air, batch, batch.room[:, None], inside))


@dataclass(frozen=True, slots=True)
class FaceFilm:
    """Film resistance [s/m], heat factor, heat transfer by air and radiation [coats, steps]."""

    factor: Floats
    film: Floats
    heat: Floats
    h_c: Floats
    h_r: Floats

    def at(self, step: int, front: Floats) -> Floats:  # noqa: ARG002 - the same at any front
        """Air film and heat supply in series, slowed by each lane's factor."""
        film = self.film[:, step, None] * self.factor
        total: Floats = film + self.heat[:, step, None] / self.supply(step)
        return total

    def supply(self, step: int) -> Floats:
        """Heat transfer to the wall by air and radiation [coats, lanes] in W/m2K."""
        total: Floats = self.h_c[:, step, None] / self.factor + self.h_r[:, step, None]
        return total


def _film(
    air: AirStack, batch: CoatBatch, room: Ints, inside: Ints
) -> tuple[Floats, Floats, Floats, Floats]:
    """Film resistance [s/m], heat factor and heat transfer coefficients [coats, steps]."""
    temp = air.temp_c[room, inside]
    h_c = np.asarray(
        evaporation.film_coefficient(
            batch.speed_m_s[:, None],
            batch.length_m[:, None],
            temp,
            wet_temp_drop_k=air.wet_drop_k[room, inside],
            pressure_pa=air.pressure_pa,
        )
    )
    speed = np.asarray(evaporation.mass_transfer_coefficient(h_c, temp, air.pressure_pa))
    h_r = np.asarray(evaporation.radiation_coefficient(temp))
    return 1.0 / speed, air.heat[room, inside], h_c, h_r
