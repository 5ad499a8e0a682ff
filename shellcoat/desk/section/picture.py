"""What the section drawing shows: the wall of one shell, coat by coat, free of Qt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from uuid import UUID

from shellcoat.desk.section.grains import stucco_grain_m
from shellcoat.forecast.answers import CoatAnswer, DryState, ShellForecast
from shellcoat.shop import Band, Coat, CoatKind, CoatStep, Shell


@dataclass(frozen=True, slots=True)
class SectionBand:
    """One coat of the wall.

    `wetness` is the share of water left, from 0 to 1, in the outer `wet_m` [m] of the band;
    `label` names slurry and stucco on a line each; `grain_m` [m] is the stucco's grain.
    """

    thickness_m: float
    kind: CoatKind
    wetness: float
    number: int
    label: str
    planned: bool = False
    wet_m: float = 0.0
    grain_m: float = 0.0


@dataclass(frozen=True, slots=True)
class SectionPicture:
    """The wall from the wax outwards: coats on it, coats to come, target and totals [m]."""

    bands: tuple[SectionBand, ...]
    target_m: float
    total: Band
    planned_total: Band
    title: str = ""

    @property
    def on(self) -> tuple[SectionBand, ...]:
        """The coats that are on the shell."""
        return tuple(band for band in self.bands if not band.planned)

    @property
    def to_come(self) -> tuple[SectionBand, ...]:
        """The coats still planned."""
        return tuple(band for band in self.bands if band.planned)

    @property
    def wet_m(self) -> float:
        """How deep the wall is wet from its outer face [m]."""
        return sum(band.wet_m for band in self.bands)

    @property
    def wetness(self) -> float:
        """The share of water left in the wetted depth."""
        return max((band.wetness for band in self.bands), default=0.0)


def section_picture(
    shell: Shell, forecast: ShellForecast, coats: Iterable[Coat] = ()
) -> SectionPicture:
    """Build the picture of a shell.

    `coats` are the shell's coats as logged; without them each coat is named after its step in
    the sequence.
    """
    logged = {coat.id: coat.step for coat in coats}
    on = [_band_on(answer, _step_of(answer, shell, logged)) for answer in forecast.coats]
    to_come = [
        _band_to_come(step, number, built)
        for number, (step, built) in enumerate(
            zip(shell.sequence.steps[len(on) :], forecast.coming_m, strict=True), start=len(on) + 1
        )
    ]
    return SectionPicture(
        bands=(*_wetted(on, forecast), *to_come),
        target_m=shell.sequence.target_thickness_m,
        total=forecast.thickness_m,
        planned_total=forecast.thickness_at_end_m,
        title=shell.name,
    )


def _step_of(answer: CoatAnswer, shell: Shell, logged: dict[UUID, CoatStep]) -> CoatStep:
    planned = shell.next_step(answer.number - 1) or shell.sequence.steps[-1]
    return logged.get(answer.coat_id, planned)


def _band_on(answer: CoatAnswer, step: CoatStep) -> SectionBand:
    return SectionBand(
        thickness_m=answer.thickness_m.likely,
        kind=step.kind,
        wetness=0.0,
        number=answer.number,
        label=_label(step),
        grain_m=stucco_grain_m(step.kind, step.stucco),
    )


def _band_to_come(step: CoatStep, number: int, built_m: Band) -> SectionBand:
    return SectionBand(
        thickness_m=built_m.likely,
        kind=step.kind,
        wetness=0.0,
        number=number,
        label=_label(step),
        planned=True,
        grain_m=stucco_grain_m(step.kind, step.stucco),
    )


def _label(step: CoatStep) -> str:
    return f"{step.slurry}\n{step.stucco}" if step.stucco else step.slurry


def _wetted(on: list[SectionBand], forecast: ShellForecast) -> list[SectionBand]:
    """Lay the water of the present coat into the outer bands, as deep as it soaked."""
    wetness = min(max(forecast.water_left.likely, 0.0), 1.0)
    if not on or forecast.state is DryState.DRY or wetness == 0.0:
        return on
    left = forecast.coats[-1].wetted_depth_m
    wetted = []
    for band in reversed(on):
        wet = min(max(left, 0.0), band.thickness_m)
        left -= wet
        wetted.append(replace(band, wetness=wetness, wet_m=wet) if wet > 0.0 else band)
    return wetted[::-1]
