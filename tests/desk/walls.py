"""Shells, forecasts and pictures for the tests of the drawings, with no book behind them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

from shellcoat.desk.section import SectionPicture, section_picture
from shellcoat.forecast.answers import (
    AirBasis,
    CoatAnswer,
    DryingCurve,
    DryState,
    ShellForecast,
)
from shellcoat.shop import AirMovement, Band, Coat, CoatKind, CoatStep, DipSequence, Shell

NAMESPACE = UUID("2d4f3a55-94d1-4c1d-8d7b-0f8b5a0a7e31")
START = datetime(2026, 2, 9, 7, 30, tzinfo=UTC)
"""A Monday."""

FINE = "fused silica 50-100 mesh (fine)"
MIDDLE = "fused silica 30-50 mesh"
COARSE = "fused silica 16-30 mesh"


def an_id(name: object) -> UUID:
    """The same id for the same name."""
    return uuid5(NAMESPACE, str(name))


def write_mm(length_m: float) -> str:
    """Write a length in mm."""
    return f"{1e3 * length_m:.2f}\u00a0mm"


def a_step(kind: CoatKind, stucco: str, thickness_mm: float) -> CoatStep:
    """A step whose thickness spreads by a fifth."""
    thickness_m = 1e-3 * thickness_mm
    return CoatStep(
        kind=kind,
        slurry=f"{kind.value} slurry",
        stucco=stucco,
        thickness_m=Band(0.8 * thickness_m, thickness_m, 1.2 * thickness_m),
        water_kg_m2=Band(0.1, 0.2, 0.3),
    )


def a_shell(coats: int, *, target_mm: float = 8.0, name: str = "Standing heron") -> Shell:
    """A shell meant to get two prime coats, `coats` - 3 backup coats and a seal coat."""
    steps = (
        *[a_step(CoatKind.PRIME, FINE, 0.45)] * 2,
        a_step(CoatKind.BACKUP, MIDDLE, 0.75),
        *[a_step(CoatKind.BACKUP, COARSE, 1.2)] * (coats - 4),
        a_step(CoatKind.SEAL, "", 0.2),
    )
    sequence = DipSequence(
        id=an_id(("sequence", coats)),
        name="A wall",
        steps=steps,
        target_thickness_m=1e-3 * target_mm,
        final_hold_s=86400.0,
    )
    return Shell(
        id=an_id(name), name=name, label="014", sequence=sequence, room_id=an_id("room"),
        started_at=START,
    )  # fmt: skip


def some_coats(shell: Shell, count: int) -> list[Coat]:
    """The first coats of the sequence, nine hours apart."""
    return [
        Coat(
            id=an_id((shell.name, number)),
            shell_id=shell.id,
            step=shell.sequence.steps[number],
            dipped_at=START + timedelta(hours=9 * number),
            utc_offset_min=60,
            room_id=shell.room_id,
            movement=AirMovement.FAN_IN_ROOM,
        )
        for number in range(count)
    ]


def _answer(number: int, coat: Coat, wetted_m: float, early: Iterable[int]) -> CoatAnswer:
    return CoatAnswer(
        coat_id=coat.id,
        number=number,
        thickness_m=coat.step.thickness_m,
        water_kg_m2=0.2,
        wetted_depth_m=wetted_m,
        left_before=Band(0.0, 0.0, 0.0),
        likely_at=None,
        safe_at=None,
        dipped_early=number in early,
    )


def _spread(total_m: float) -> Band:
    return Band(0.8 * total_m, total_m, 1.2 * total_m)


def a_forecast(
    shell: Shell,
    coats: list[Coat],
    *,
    water_left: float = 0.4,
    wetted_mm: float = 1.5,
    state: DryState = DryState.WET,
    early: Iterable[int] = (),
) -> ShellForecast:
    """A forecast whose totals are the sums of the coats, spread by a fifth."""
    answers = tuple(
        _answer(number, coat, 1e-3 * wetted_mm, early) for number, coat in enumerate(coats, 1)
    )
    built = math.fsum(coat.step.thickness_m.likely for coat in coats)
    rest = shell.sequence.steps[len(coats) :]
    end = built + math.fsum(step.thickness_m.likely for step in rest)
    return ShellForecast(
        shell_id=shell.id,
        made_at=START,
        coats_on=len(coats),
        coats_planned=len(shell.sequence.steps),
        state=state,
        likely_at=None,
        safe_at=None,
        due_at=None,
        chance_dry=0.2,
        water_left=Band(0.5 * water_left, water_left, min(1.0, 1.5 * water_left)),
        thickness_m=_spread(built),
        thickness_at_end_m=_spread(end),
        coming_m=tuple(step.thickness_m for step in rest),
        next_step=shell.next_step(len(coats)),
        coats=answers,
        warnings=(),
        air_basis=AirBasis.READINGS,
        last_reading_at=None,
    )


def a_picture(coats_on: int, coats: int = 9, **about: object) -> SectionPicture:
    """The picture of a shell with so many coats on."""
    shell = a_shell(coats)
    on = some_coats(shell, coats_on)
    return section_picture(shell, a_forecast(shell, on, **about), on)  # type: ignore[arg-type]


def a_curve(start: datetime = START, *, hours: int = 12, now_h: float = 3.0) -> DryingCurve:
    """A coat that loses its water exponentially, every ten minutes."""
    steps = range(6 * hours + 1)

    def share(rate: float) -> tuple[float, ...]:
        return tuple(math.exp(-rate * step / 6) for step in steps)

    return DryingCurve(
        at=tuple(start + timedelta(minutes=10 * step) for step in steps),
        low=share(0.6),
        likely=share(0.4),
        high=share(0.25),
        now_index=round(6 * now_h),
        dry_share=0.1,
    )
