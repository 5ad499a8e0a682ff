"""What each check would have met on every lane: the wall dried up to the moment of the check.

The looks depend on the records and the air up to the check alone, never on what is believed, so
they are made once and kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_track import STEP_S
from shellcoat.forecast.cores import CoreChain, core_chains, core_way
from shellcoat.forecast.drying import AirStack, CoatBatch, OpenFace
from shellcoat.forecast.history import (
    NEVER_S,
    Dried,
    DryingRules,
    ShellChain,
    Way,
    dry_next,
    follow_next,
)
from shellcoat.forecast.lanes import Lanes
from shellcoat.forecast.times import seconds
from shellcoat.physics import transport
from shellcoat.physics.coat_drying import evaporation_from
from shellcoat.shop import Coat, CoatStep, CoreCare, DryCheck, InfraredReading, Shell, Weighing

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TeachingCheck = DryCheck | InfraredReading | Weighing
"""Checks that tell how a wall dries."""


@dataclass(frozen=True, slots=True)
class TaughtCase:
    """A shell with its coats by time, what was done to its cores, and the checks made on it."""

    shell: Shell
    coats: tuple[Coat, ...]
    care: tuple[CoreCare, ...]
    checks: tuple[TeachingCheck, ...]

    def rank(self, check: TeachingCheck) -> int:
        """Which coat, counted from 0, a check was made on; -1 before any."""
        return sum(coat.dipped_at <= check.at for coat in self.coats) - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckLook:
    """One check and what the model has for it on each lane [LANES].

    `since_s` [s] since the dip; `dry_after_s` [s] from dip to dry, `water` [kg/m2] left
    in the wall, `drop_k` [K] of the surface below the air; `air_temp_c` [°C] in the room.
    """

    check: TeachingCheck
    shell: Shell
    rank: int
    step: CoatStep
    core_id: UUID | None
    since_s: float
    dry_after_s: Floats
    water: Floats
    drop_k: Floats
    air_temp_c: float

    @property
    def place(self) -> tuple[UUID, int, UUID | None]:
        """The wall it was made on: shell, coat and core."""
        return self.shell.id, self.rank, self.core_id


@dataclass(frozen=True, slots=True)
class _Wall:
    """A face or a core on its way through its coats, with the checks made on it by coat."""

    chain: ShellChain
    checks: dict[int, list[TeachingCheck]]
    core_id: UUID | None

    @classmethod
    def of(cls, chain: ShellChain, case: TaughtCase, core_id: UUID | None = None) -> _Wall:
        checks: dict[int, list[TeachingCheck]] = {}
        for check in case.checks:
            if core_of(check) == core_id:
                checks.setdefault(case.rank(check), []).append(check)
        checks.pop(-1, None)
        return cls(chain, checks, core_id)

    @property
    def last_rank(self) -> int:
        """The last coat that was checked, -1 where none was."""
        return max(self.checks, default=-1)


def core_of(check: TeachingCheck) -> UUID | None:
    """The core a check was made in, None for the face."""
    return check.core_id if isinstance(check, DryCheck) else None


def take_looks(
    cases: Sequence[TaughtCase], air: AirStack, rules: DryingRules, core_rules: DryingRules
) -> list[CheckLook]:
    """Look at every check of every shell; `air` must reach from the first dip to the last check."""
    gap = rules.values.core.bridging_gap_m
    faces = [_Wall.of(ShellChain(case.shell, case.coats), case) for case in cases]
    cores = [
        _Wall.of(chain, case, chain.core.id)
        for case in cases
        for chain in core_chains(ShellChain(case.shell, case.coats), case.care, gap)
    ]
    return [*_looks(faces, air, rules), *_looks(cores, air, core_rules)]


def _looks(walls: Sequence[_Wall], air: AirStack, rules: DryingRules) -> Iterator[CheckLook]:
    """Take walls of one sort through their coats, all at once, and look at each check."""
    for rank in range(max((wall.last_rank for wall in walls), default=-1) + 1):
        here = [wall for wall in walls if wall.last_rank >= rank]
        yield from _looks_at_rank(here, rank, air, rules)
        on = [wall.chain for wall in here if wall.last_rank > rank]
        dips = [seconds(chain.coats[rank + 1].dipped_at) for chain in on]
        if on:
            way = _way(on, dips, air, rules)
            follow_next(on, dips, air, rules, hold_air=True, way=way)


def _way(
    chains: Sequence[ShellChain], query_s: Sequence[float], air: AirStack, rules: DryingRules
) -> Way | None:
    cores = [chain for chain in chains if isinstance(chain, CoreChain)]
    return core_way(cores, query_s, air, rules, hold_air=True) if cores else None


def _looks_at_rank(
    walls: Sequence[_Wall], rank: int, air: AirStack, rules: DryingRules
) -> Iterator[CheckLook]:
    rows = [(wall, check) for wall in walls for check in wall.checks.get(rank, ())]
    if not rows:
        return
    chains = [wall.chain.copy() for wall, _ in rows]
    times = [seconds(check.at) for _, check in rows]
    way = _way(chains, times, air, rules)
    dried = dry_next(chains, times, air, rules, hold_air=True, way=way)
    dry_after = np.clip(dried.result.dry_after_s, 1.0, NEVER_S)
    water, drop = dried.water, surface_drop(air, dried, rules.lanes)
    temp = air.temp_c[dried.batch.room, _step_of(air, dried.batch)]
    for row, (wall, check) in enumerate(rows):
        coat = wall.chain.coats[rank]
        yield CheckLook(
            check=check,
            shell=wall.chain.shell,
            rank=rank,
            step=coat.step,
            core_id=wall.core_id,
            since_s=max(times[row] - seconds(coat.dipped_at), 1.0),
            dry_after_s=dry_after[row],
            water=water[row],
            drop_k=drop[row],
            air_temp_c=float(temp[row]),
        )


def _step_of(air: AirStack, batch: CoatBatch) -> Ints:
    """The step in which each coat was asked for."""
    step = np.floor((batch.query_s - air.start_s) / STEP_S).astype(np.int64)
    return np.clip(step, 0, air.steps - 1)


def surface_drop(air: AirStack, dried: Dried, lanes: Lanes) -> Floats:
    """How far the surface lies below the air [coats, lanes] in K when the wall was asked for.

    ``flux h_fg / (h_c + h_r)``, the balance behind the heat supply in series; what an infrared
    thermometer reads. The flux falls as the front recedes, so the surface warms while it dries.
    """
    batch, front = dried.batch, dried.result.front_m
    rows = np.arange(batch.room.size)
    steps = _step_of(air, batch)[:, None]
    film = OpenFace(lanes).over(air, batch, rows, steps)
    deficit = air.deficit[batch.room[:, None], lanes.air[None, :], steps]
    flux = evaporation_from(batch.wall, front, deficit, film.at(0, front))
    temp = air.temp_c[batch.room, steps[:, 0]]
    bulb = temp - air.wet_drop_k[batch.room, steps[:, 0]]
    latent = np.asarray(transport.latent_heat(bulb))[:, None]
    drop: Floats = flux * latent / film.supply(0)
    return drop
