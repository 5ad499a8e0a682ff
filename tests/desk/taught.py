"""Checks of the heron and a hand-made account of what they taught, for the Learned page."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from small_shop import NOW, an_id

from shellcoat.forecast.learned import (
    FactorAnswer,
    FactorKind,
    Learned,
    Lesson,
    Silence,
    UsualCoat,
)
from shellcoat.operations.checks import log_check
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import (
    Band,
    CaliperReading,
    Core,
    DryCheck,
    DryFinding,
    InfraredReading,
    Opening,
    Shell,
    ShellCheck,
    WallPlace,
    Weighing,
)

BODY = Core(
    id=an_id("body"),
    name="Body of the heron",
    area_m2=0.03,
    openings=(Opening(width_m=0.012, height_m=0.012),),
)
TABLES = Band(0.7, 1.0, 1.43)


def made(hours_ago: float) -> datetime:
    """The time so many hours before the shop's present."""
    return NOW - timedelta(hours=hours_ago)


def heron_checks(shell: Shell) -> list[ShellCheck]:
    """One check of each kind, newest first."""
    dry, wet = DryFinding.DRY, DryFinding.STILL_WET
    named = {"shell_id": shell.id}
    return [
        DryCheck(id=an_id("touch 1"), at=made(0.5), finding=dry, **named),
        DryCheck(id=an_id("touch 2"), at=made(1.0), finding=wet, note="cool to the lip", **named),
        DryCheck(id=an_id("core"), at=made(5.0), finding=wet, core_id=BODY.id, **named),
        InfraredReading(
            id=an_id("infrared"), at=made(20.0), surface_temp_c=19.4, air_temp_c=21.5, **named
        ),
        Weighing(id=an_id("scale"), at=made(21.0), mass_kg=3.452, **named),
        CaliperReading(
            id=an_id("caliper"),
            at=made(23.0),
            place=WallPlace.FLAT,
            thickness_m=1.9e-3,
            **named,
        ),
    ]


def check_heron(opened: OpenShop, heron: Shell) -> list[ShellCheck]:
    """The checks, logged; the heron has a core."""
    edit_shell(opened, replace(heron, cores=(BODY,)), NOW, "measured")
    return [log_check(opened, check, NOW) for check in heron_checks(heron)]


def heron_lessons(shell: Shell) -> tuple[Lesson, ...]:
    """What each of the checks taught."""
    touch, again, core, infrared, scale, caliper = heron_checks(shell)

    def lesson(check: ShellCheck, **taught: object) -> Lesson:
        usual = Lesson(check_id=check.id, shell_id=shell.id, at=check.at, coat_number=3)
        return replace(usual, **taught)  # type: ignore[arg-type]

    return (
        lesson(touch, chance=0.72, pace=0.92),
        lesson(again, chance=0.04, wild=0.92, pace=1.003),
        lesson(core, chance=0.5, pace=1.12),
        lesson(infrared, coat_number=2, expected=Band(0.8, 1.2, 1.6), seen=2.1, pace=1.05),
        lesson(scale, coat_number=2, expected=Band(0.02, 0.03, 0.04), seen=0.033, pace=1.0),
        lesson(caliper, coat_number=2, silence=Silence.NOT_DRYING),
    )


def factors(shell: Shell) -> tuple[FactorAnswer, ...]:
    """The air film, two crusts and a core."""

    def crust(slurry: str, stucco: str, now: Band, checks: int) -> FactorAnswer:
        return FactorAnswer(
            kind=FactorKind.CRUST,
            before=TABLES,
            now=now,
            checks=checks,
            slurry=slurry,
            stucco=stucco,
        )

    return (
        FactorAnswer(kind=FactorKind.FILM, before=TABLES, now=Band(1.05, 1.2, 1.4), checks=4),
        crust("zircon prime", "zircon sand", Band(0.72, 0.85, 0.98), 3),
        crust("fused silica backup", "", Band(0.9, 1.01, 1.15), 1),
        FactorAnswer(
            kind=FactorKind.VENT,
            before=Band(0.5, 1.0, 2.0),
            now=Band(1.6, 2.3, 3.1),
            checks=1,
            shell_id=shell.id,
            core_id=BODY.id,
        ),
    )


USUAL = (
    UsualCoat(
        slurry="zircon prime",
        stucco="zircon sand",
        likely_before_s=15_600.0,
        safe_before_s=26_400.0,
        likely_s=14_700.0,
        safe_s=18_600.0,
    ),
    UsualCoat(
        slurry="fused silica backup",
        stucco="fused silica 30-50 mesh",
        likely_before_s=9_000.0,
        safe_before_s=14_400.0,
        likely_s=9_000.0,
        safe_s=14_400.0,
    ),
)


def heron_account(shell: Shell) -> Learned:
    """Everything the checks of the heron taught."""
    return Learned(factors=factors(shell), usual_coats=USUAL, lessons=heron_lessons(shell))
