"""A shell with all its coats on, for the tests of the review."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from uuid import UUID

from small_shop import NOW, ROOM, an_id

from shellcoat.operations.dips import utc_offset_min
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.operations.shells import start_shell
from shellcoat.shop import AirMovement, Coat, CoatStep, Core, Opening, Shell

STEPS = 3


def put_through(
    opened: OpenShop, name: str = "Egret", label: str = "021", *, cores: int = 0, steps: int = STEPS
) -> Shell:
    """A shell whose last coat went on two days ago, each coat a day after the one before."""
    nine = next(sequence for sequence in starters() if len(sequence.steps) == 9)
    few = (*nine.steps[: steps - 1], nine.steps[-1]) if steps <= 9 else _longer(nine.steps, steps)
    started = NOW - timedelta(days=steps + 3)
    shell = Shell(
        id=an_id(label),
        name=name,
        label=label,
        sequence=replace(nine, id=an_id((label, "sequence")), steps=few),
        room_id=ROOM,
        started_at=started,
        metal="silicon bronze",
        area_m2=0.4,
        wax_mass_kg=1.2,
        cores=tuple(a_core(label, number) for number in range(cores)),
    )
    start_shell(opened, shell, started)
    for number, step in enumerate(few):
        dipped_at = NOW - timedelta(days=1 + steps - number)
        coat = Coat(
            id=an_id((label, number)),
            shell_id=shell.id,
            step=step,
            dipped_at=dipped_at,
            utc_offset_min=utc_offset_min(opened, dipped_at),
            room_id=ROOM,
            movement=AirMovement.FAN_IN_ROOM,
        )
        opened.record(coat, dipped_at)
    return shell


def _longer(steps: tuple[CoatStep, ...], count: int) -> tuple[CoatStep, ...]:
    return (*steps[:-1], *[steps[-2]] * (count - len(steps)), steps[-1])


def a_core(label: str, number: int) -> Core:
    """A hollow with one opening."""
    identity: UUID = an_id((label, "core", number))
    opening = Opening(width_m=0.03, height_m=0.03)
    return Core(id=identity, name=f"hollow {number + 1}", area_m2=0.03, openings=(opening,))
