"""The chain of coats on each shell: what every coat found, and what it left for the next.

The water still in the wall when a coat goes on adds to what that coat brings, lane by lane, so
a shell that dries slowly stays slow. The next coat of many shells is dried at once.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol, Self
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_track import STEP_S
from shellcoat.forecast.answers import CoatAnswer
from shellcoat.forecast.drying import AirStack, CoatBatch, DryOut, Passage, dry_out
from shellcoat.forecast.knowledge import Knowledge
from shellcoat.forecast.lanes import (
    LANES,
    MIDDLE_LANE,
    TENTHS,
    Lanes,
    chance_below,
    fine_samples,
    quantiles,
    time_samples,
)
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.thickness import built_thickness
from shellcoat.forecast.times import from_seconds, seconds
from shellcoat.physics import transport
from shellcoat.physics.coat_drying import wetted_coat
from shellcoat.shop import Band, Coat, CoatStep, Shell

Floats = NDArray[np.float64]

NEVER_S = 1e9
"""Stands for "not within the horizon" where a logarithm is taken: some thirty years."""

LONGEST_S = 60 * 86400.0
"""A coat that would need two months [s] is told as one that does not dry."""

ROUNDING = 1e-9
"""Slack where a chance is compared with the certainty that is wanted."""

NOTHING = Band(0.0, 0.0, 0.0)


@dataclass(slots=True)
class ShellChain:
    """A shell on its way through its coats.

    `left` [lanes] water still in the wall before the next coat [kg/m2], `left_share` the same as
    a share (low, likely, high), `early` whether that wall was not yet safely dry, `samples` [s]
    the times the last answered coat may take, and `weights` what is believed of each.
    """

    shell: Shell
    coats: tuple[Coat, ...]
    left: Floats = field(default_factory=lambda: np.zeros(LANES))
    left_share: Band = NOTHING
    early: bool = False
    answers: list[CoatAnswer] = field(default_factory=list)
    chance: float = 0.0
    samples: Floats = field(default_factory=lambda: np.zeros(0))
    weights: Floats = field(default_factory=lambda: np.zeros(0))

    def chance_by(self, moment_s: float) -> float:
        """The probability that the last answered coat is dry by a moment [s]."""
        since = moment_s - seconds(self.coats[len(self.answers) - 1].dipped_at)
        return float(chance_below(self.samples, np.asarray(since), self.weights))

    def copy(self) -> Self:
        """The same chain, to be followed on its own from here."""
        return replace(self, answers=list(self.answers))

    @property
    def next_coat(self) -> Coat:
        """The first coat without an answer."""
        return self.coats[len(self.answers)]

    def new_water(self, rules: DryingRules) -> float:
        """Water the next coat brings [kg/m2]."""
        return rules.figures(self.next_coat.step).water_kg_m2.likely

    def belief(self, rules: DryingRules) -> Floats:
        """What is believed of the next coat's factors: weights of the samples [SAMPLES]."""
        return rules.knowledge.face_weights(
            self.next_coat.step, (self.shell.id, len(self.answers), None)
        )

    @property
    def wall_m(self) -> float:
        """Likely thickness of the coats answered so far [m]."""
        return sum(answer.thickness_m.likely for answer in self.answers)


class CoatFigures(Protocol):
    """What a coat is expected to build [m] and to bring of water [kg/m2]; a step says it itself."""

    @property
    def thickness_m(self) -> Band:
        """Thickness on a dry wall."""

    @property
    def water_kg_m2(self) -> Band:
        """Water per wall."""


@dataclass(frozen=True, slots=True)
class DryingRules:
    """What a run of the chain needs besides the coats."""

    values: StartingValues
    lanes: Lanes
    dry_share: float
    safe_quantile: float
    rooms: Mapping[UUID, int]
    knowledge: Knowledge
    figures: Callable[[CoatStep], CoatFigures]


@dataclass(frozen=True, slots=True)
class Dried:
    """The next coat of many chains, dried: its thickness, its wall and what became of it."""

    thickness: list[Band]
    batch: CoatBatch
    result: DryOut

    @property
    def water(self) -> Floats:
        """Water left in the wall when it was asked for [coats, lanes] in kg/m2."""
        return self.batch.wall.water_at(self.result.front_m)


Way = Callable[[CoatBatch], Passage]


def dry_next(
    chains: Sequence[ShellChain],
    query_s: Sequence[float],
    air: AirStack,
    rules: DryingRules,
    *,
    hold_air: bool = False,
    way: Way | None = None,
) -> Dried:
    """Dry the first coat of every chain that has no answer yet; parameters as in `follow_next`."""
    loss = rules.values.loss_on_wet
    thickness = [
        built_thickness(rules.figures(chain.next_coat.step).thickness_m, chain.left_share, loss)
        for chain in chains
    ]
    batch = _batch(chains, thickness, query_s, air, rules)
    passage = way(batch) if way else None
    return Dried(thickness, batch, dry_out(air, batch, rules.lanes, passage, hold_air=hold_air))


def follow_next(
    chains: Sequence[ShellChain],
    query_s: Sequence[float],
    air: AirStack,
    rules: DryingRules,
    *,
    hold_air: bool = False,
    way: Way | None = None,
) -> None:
    """Dry the first coat of every chain that has no answer yet, and note what it left.

    `query_s` [s] says for each chain when to look: the next dip, or now. With `hold_air` the air
    stays as it was then. `way` says how vapour gets out of the walls, the open face if not given.
    """
    if not chains:
        return
    dried = dry_next(chains, query_s, air, rules, hold_air=hold_air, way=way)
    batch, left = dried.batch, dried.water
    end_s = math.inf if hold_air else air.end_s
    weights = np.stack([chain.belief(rules) for chain in chains])
    shares = quantiles(fine_samples(left / batch.wall.water), TENTHS, weights)
    samples = dry_samples(dried.result)
    times = quantiles(samples, (0.5, rules.safe_quantile), weights)
    chance = chance_below(samples, batch.query_s - batch.start_s, weights)
    for row, chain in enumerate(chains):
        chain.answers.append(_answer(chain, dried.thickness[row], batch, row, times[row], end_s))
        chain.left = left[row]
        chain.samples, chain.weights = samples[row], weights[row]
        chain.left_share = Band(*np.clip(np.sort(shares[row]), 0.0, 1.0).tolist())
        chain.chance = float(chance[row])
        chain.early = chain.chance < rules.safe_quantile - ROUNDING


def _batch(
    chains: Sequence[ShellChain],
    thickness: Sequence[Band],
    query_s: Sequence[float],
    air: AirStack,
    rules: DryingRules,
) -> CoatBatch:
    coats = [chain.next_coat for chain in chains]
    room = np.array([rules.rooms[coat.room_id] for coat in coats])
    own = np.array([[chain.new_water(rules)] for chain in chains])
    start_s = np.array([seconds(coat.dipped_at) for coat in coats])
    step = np.floor((start_s - air.start_s) / STEP_S).astype(np.int64)
    first = np.clip(step, 0, air.steps - 1)
    free = np.asarray(transport.vapour_diffusivity(air.temp_c[room, first], air.pressure_pa))
    wall = wetted_coat(
        own,
        np.stack([chain.left for chain in chains]),
        np.array([[c.wall_m + band.likely] for c, band in zip(chains, thickness, strict=True)]),
        critical_share=rules.values.critical_share,
        pore_water_density=rules.values.pore_water_density,
        crust_diffusivity=(rules.values.crust_share * free)[:, None] / rules.lanes.crust,
    )
    speeds = rules.values.air_speed_m_s
    return CoatBatch(
        room=room,
        start_s=start_s,
        query_s=np.asarray(query_s, dtype=float),
        length_m=np.array([chain.shell.drying_length_m for chain in chains]),
        speed_m_s=np.array([speeds[coat.movement] for coat in coats]),
        wall=wall,
        target=wall.front(rules.dry_share * own),
    )


def dry_samples(result: DryOut) -> Floats:
    """Seconds to dry [coats, samples], read between the lanes."""
    return time_samples(np.clip(result.dry_after_s, 1.0, NEVER_S))


def _answer(
    chain: ShellChain,
    thickness: Band,
    batch: CoatBatch,
    row: int,
    times: Floats,
    end_s: float,
) -> CoatAnswer:
    start = float(batch.start_s[row])
    likely, safe = (
        start + float(t) if start + t < end_s and t < LONGEST_S else None for t in times
    )
    return CoatAnswer(
        coat_id=chain.next_coat.id,
        number=len(chain.answers) + 1,
        thickness_m=thickness,
        water_kg_m2=float(batch.wall.water[row, MIDDLE_LANE]),
        wetted_depth_m=float(batch.wall.depth[row, MIDDLE_LANE]),
        left_before=chain.left_share,
        likely_at=from_seconds(likely),
        safe_at=from_seconds(safe),
        dipped_early=chain.early,
    )
