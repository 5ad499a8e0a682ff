"""One invented shell before burnout, and ways to change what is known of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

from shellcoat.forecast.answers import AirBasis, CoatAnswer, CoreAnswer, DryState, ShellForecast
from shellcoat.forecast.strength_values import metal_of, strength_values
from shellcoat.forecast.wall_answers import PlaceAnswer, WallAnswer
from shellcoat.review.case import CoatAir, ReviewCase
from shellcoat.review.finding import CheckKind, ReviewCheck
from shellcoat.shop import (
    AirLimits,
    AirMovement,
    Band,
    Coat,
    CoatKind,
    CoatStep,
    Core,
    DipSequence,
    LookAnswer,
    Opening,
    ReviewAnswer,
    ReviewQuestion,
    Shell,
    WallPlace,
)

NOW = datetime(2026, 3, 5, 13, 0, tzinfo=UTC)
NAMESPACE = UUID("51a5a0c8-9b7e-4d0a-8f3e-2b6a7c1d9e10")
HOUR = timedelta(hours=1)


def an_id(name: object) -> UUID:
    """The same id for the same name."""
    return uuid5(NAMESPACE, str(name))


def ago(hours: float) -> datetime:
    """So many hours before the review."""
    return NOW - hours * HOUR


ROOM = an_id("room")
PRIME = CoatStep(
    kind=CoatKind.PRIME,
    slurry="zircon prime",
    stucco="zircon sand",
    thickness_m=Band(0.3e-3, 0.45e-3, 0.6e-3),
    water_kg_m2=Band(0.12, 0.15, 0.18),
    air=AirLimits(swing_k=1.7),
)
BACKUP = CoatStep(
    kind=CoatKind.BACKUP,
    slurry="silica backup",
    stucco="silica 16-30 mesh",
    thickness_m=Band(0.8e-3, 1.2e-3, 1.5e-3),
    water_kg_m2=Band(0.20, 0.25, 0.30),
)
SEAL = CoatStep(
    kind=CoatKind.SEAL,
    slurry="silica backup",
    thickness_m=Band(0.2e-3, 0.3e-3, 0.4e-3),
    water_kg_m2=Band(0.10, 0.12, 0.15),
)
WALL = DipSequence(
    id=an_id("wall"),
    name="Short wall",
    steps=(PRIME, BACKUP, SEAL),
    target_thickness_m=2e-3,
    final_hold_s=24 * 3600.0,
)
CORE = Core(
    id=an_id("core"),
    name="body",
    area_m2=0.03,
    openings=(Opening(width_m=0.02, height_m=0.02),),
)
SHELL = Shell(
    id=an_id("shell"),
    name="Wading bird",
    label="W-1",
    sequence=WALL,
    room_id=ROOM,
    started_at=ago(200),
    metal="silicon bronze",
    wax_mass_kg=1.0,
    area_m2=0.2,
)
DIPS = (80.0, 60.0, 30.0)
"""Hours before the review at which the coats went on."""

DRIES_IN = 6.0


def a_coat(number: int, step: CoatStep, hours_ago: float) -> Coat:
    """One coat."""
    return Coat(
        id=an_id(("coat", number)),
        shell_id=SHELL.id,
        step=step,
        dipped_at=ago(hours_ago),
        utc_offset_min=0,
        room_id=ROOM,
        movement=AirMovement.STILL_ROOM,
    )


COATS = tuple(
    a_coat(number, step, hours)
    for number, (step, hours) in enumerate(zip(WALL.steps, DIPS, strict=True), start=1)
)


def coat_answer(number: int, coat: Coat, **changes: Any) -> CoatAnswer:
    """What the forecast says of a coat that dried in six hours."""
    plain: dict[str, Any] = {
        "coat_id": coat.id,
        "number": number,
        "thickness_m": coat.step.thickness_m,
        "water_kg_m2": 0.2,
        "wetted_depth_m": 1e-3,
        "left_before": Band(0.0, 0.01, 0.03),
        "likely_at": coat.dipped_at + 5 * HOUR,
        "safe_at": coat.dipped_at + DRIES_IN * HOUR,
        "dipped_early": False,
    }
    return CoatAnswer(**(plain | changes))


def a_forecast(coats: tuple[Coat, ...] = COATS, **changes: Any) -> ShellForecast:
    """The shell safely dry, all coats on."""
    answers = tuple(coat_answer(number, coat) for number, coat in enumerate(coats, start=1))
    plain: dict[str, Any] = {
        "shell_id": SHELL.id,
        "made_at": NOW,
        "coats_on": len(coats),
        "coats_planned": len(WALL.steps),
        "state": DryState.DRY,
        "likely_at": answers[-1].likely_at if answers else None,
        "safe_at": answers[-1].safe_at if answers else None,
        "due_at": None,
        "chance_dry": 0.99,
        "water_left": Band(0.0, 0.01, 0.04),
        "thickness_m": Band(1.8e-3, 2.1e-3, 2.4e-3),
        "thickness_at_end_m": Band(1.8e-3, 2.1e-3, 2.4e-3),
        "coming_m": (),
        "next_step": None,
        "coats": answers,
        "warnings": (),
        "air_basis": AirBasis.READINGS,
        "last_reading_at": NOW,
    }
    return ShellForecast(**(plain | changes))


def core_answer(**changes: Any) -> CoreAnswer:
    """A dry, open core."""
    plain: dict[str, Any] = {
        "core_id": CORE.id,
        "name": CORE.name,
        "likely_at": ago(20),
        "safe_at": ago(10),
        "chance_dry": 0.97,
        "chance_by_due": 0.97,
        "water_kg": Band(0.0, 0.0002, 0.0005),
        "dry_kg": 0.0006,
        "steam_l": Band(0.0, 0.33, 0.84),
        "width_m": 0.015,
        "closes_at": (None, None, None),
        "closed": False,
        "plugged": False,
    }
    return CoreAnswer(**(plain | changes))


def a_wall(**changes: Any) -> WallAnswer:
    """A wall a little over its target on the flats."""
    now_m = Band(1.8e-3, 2.1e-3, 2.4e-3)
    place = PlaceAnswer(
        place=WallPlace.FLAT,
        now_m=now_m,
        at_end_m=now_m,
        target_m=WALL.target_thickness_m,
        chance_at_end=0.7,
        readings=1,
    )
    plain: dict[str, Any] = {"shell_id": SHELL.id, "places": (place,), "moves": ()}
    return WallAnswer(**(plain | changes))


def yes_to_all() -> dict[ReviewQuestion, ReviewAnswer]:
    """Somebody has looked at everything and found it right."""
    return {question: an_answer(question, LookAnswer.YES) for question in ReviewQuestion}


def an_answer(question: ReviewQuestion, answer: LookAnswer, note: str = "") -> ReviewAnswer:
    """One answer."""
    return ReviewAnswer(
        id=an_id(("answer", question)),
        shell_id=SHELL.id,
        question=question,
        answer=answer,
        by="Ana",
        at=ago(1),
        note=note,
    )


def a_case(**changes: Any) -> ReviewCase:
    """The shell before burnout, everything as it should be that is known at all."""
    plain: dict[str, Any] = {
        "shell": SHELL,
        "coats": COATS,
        "forecast": a_forecast(),
        "wall": a_wall(),
        "spots": (),
        "metal": metal_of(SHELL.metal, strength_values().metals),
        "now": NOW,
        "safe_quantile": 0.9,
        "answers": yes_to_all(),
        "air": {COATS[0].id: CoatAir(21.0, 22.0, 40)},
    }
    return ReviewCase(**(plain | changes))


def with_core(**changes: Any) -> ReviewCase:
    """The same shell with a core of which this is known."""
    return a_case(
        shell=replace(SHELL, cores=(CORE,)), forecast=a_forecast(cores=(core_answer(**changes),))
    )


def only(checks: tuple[ReviewCheck, ...], kind: CheckKind) -> ReviewCheck:
    """The one check of a kind."""
    (found,) = (check for check in checks if check.kind is kind)
    return found
