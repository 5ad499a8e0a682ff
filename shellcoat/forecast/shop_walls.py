"""The walls of the shells in work by all evidence, kept until something about them changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from shellcoat.forecast.answers import CoatAnswer, ShellForecast
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.step_figures import StepEvidence
from shellcoat.forecast.wall_answers import WallAnswer
from shellcoat.forecast.wall_estimate import estimate_wall, flat_wall
from shellcoat.forecast.wall_readings import WallCase
from shellcoat.forecast.wall_values import wall_values
from shellcoat.shop import Band, CaliperReading, Coat, Shell, ShellCheck, Weighing

Walls = tuple[Band, Band]
"""The wall on the flats [m], now and once all coats are on."""


@dataclass(frozen=True, slots=True)
class WallEvidenceOf:
    """What one shell's wall is told from; `water_then` [kg/m2] in the wall at each weighing."""

    shell: Shell
    coats: tuple[Coat, ...]
    checks: tuple[ShellCheck, ...]
    steps: StepEvidence
    water_then: Mapping[UUID, Band]

    @property
    def measured(self) -> bool:
        """Whether anybody has put a caliper to it or hung it on a scale."""
        return any(
            isinstance(check, CaliperReading | Weighing) and not check.left_out
            for check in self.checks
        )


class ShopWalls:
    """Estimates walls; a wall is found anew only when its coats or its evidence have changed."""

    def __init__(self, values: StartingValues) -> None:
        self._shared_error = values.shared_error
        self._kept: dict[UUID, tuple[object, Walls]] = {}

    def flats(self, of: WallEvidenceOf, coats: Sequence[CoatAnswer], now: datetime) -> Walls | None:
        """The wall by what was measured on it; None where nothing was."""
        if not of.measured:
            return None
        walls = tuple(answer.thickness_m for answer in coats)
        made = tuple(check for check in of.checks if check.at <= now)
        key = (of.shell, of.coats, made, of.steps, walls, dict(of.water_then))
        kept = self._kept.get(of.shell.id)
        if kept is None or kept[0] != key:
            case = _wall_case(of, walls, None)
            found = flat_wall(case, of.steps, now, wall_values(), self._shared_error)
            kept = self._kept[of.shell.id] = (key, found)
        return kept[1]

    def answer(
        self, of: WallEvidenceOf, coats: Sequence[CoatAnswer], water_now: Band, now: datetime
    ) -> WallAnswer:
        """All there is to say of a wall; `water_now` [kg/m2] it still holds."""
        walls = tuple(answer.thickness_m for answer in coats)
        case = _wall_case(of, walls, water_now)
        return estimate_wall(case, of.steps, now, wall_values(), self._shared_error)


def with_walls(answer: ShellForecast, now_m: Band, at_end_m: Band) -> ShellForecast:
    """The same forecast with a measured wall; its coats share what was found more or less."""
    on = [coat.thickness_m for coat in answer.coats]
    factor = _share(now_m.likely, on)
    to_come = _share(at_end_m.likely - now_m.likely, answer.coming_m)
    return replace(
        answer,
        thickness_m=now_m,
        thickness_at_end_m=at_end_m,
        coats=tuple(
            replace(coat, thickness_m=_scaled(coat.thickness_m, factor)) for coat in answer.coats
        ),
        coming_m=tuple(_scaled(band, to_come) for band in answer.coming_m),
    )


def _share(wall_m: float, coats: Sequence[Band]) -> float:
    """By what the likely coats are to be multiplied to make up this wall [m]."""
    likely = sum(band.likely for band in coats)
    return max(wall_m, 0.0) / likely if likely > 0.0 else 1.0


def _scaled(band: Band, factor: float) -> Band:
    return Band(band.low * factor, band.likely * factor, band.high * factor)


def _wall_case(of: WallEvidenceOf, walls: tuple[Band, ...], water_now: Band | None) -> WallCase:
    return WallCase(
        shell=of.shell,
        coats=of.coats,
        walls=walls,
        checks=of.checks,
        water_now_kg_m2=water_now or Band(0.0, 0.0, 0.0),
        water_then_kg_m2=dict(of.water_then),
    )
