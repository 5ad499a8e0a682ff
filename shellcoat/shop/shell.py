"""Shells: the pieces on the rack."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop.checks import (
    check_name,
    check_number,
    check_optional_number,
    check_text,
    check_time,
)
from shellcoat.shop.core import Core
from shellcoat.shop.sequence import CoatStep, DipSequence
from shellcoat.shop.stress import MOST_SPOTS, StressSpot


class ShellState(Enum):
    """Where a shell stands in the shop."""

    IN_WORK = "in work"
    ON_HOLD = "on hold"
    FINISHED = "finished"
    SCRAPPED = "scrapped"


MOST_CORES = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """A wax assembly and the shell that grows on it.

    Carries its own copy of the sequence, so that a later change to the shop's sequence never
    changes what was planned for a shell in work. `drying_length_m` [m] is the length of wall
    the air runs along (about the height of the piece), `area_m2` [m2] the wetted area, `cores`
    the hollows that the slurry runs into, `spots` the places where metal presses hardest.
    """

    id: UUID
    name: str
    label: str
    sequence: DipSequence
    room_id: UUID
    started_at: datetime
    rack_place: str = ""
    metal: str = ""
    drying_length_m: float = 0.2
    area_m2: float | None = None
    wax_mass_kg: float | None = None
    state: ShellState = ShellState.IN_WORK
    note: str = ""
    cores: tuple[Core, ...] = ()
    spots: tuple[StressSpot, ...] = ()

    def __post_init__(self) -> None:
        check_name("Shell name", self.name)
        check_name("Label", self.label)
        check_text("Rack place", self.rack_place)
        check_text("Metal", self.metal)
        check_text("Note", self.note)
        check_time("Start of the shell", self.started_at)
        check_number("Height", self.drying_length_m, 0.005, 10.0, "m")
        check_optional_number("Area", self.area_m2, 1e-4, 100.0, "m2")
        check_optional_number("Wax mass", self.wax_mass_kg, 1e-3, 2000.0, "kg")
        check_number("Number of cores", len(self.cores), 0, MOST_CORES, "")
        check_number("Number of stress spots", len(self.spots), 0, MOST_SPOTS, "")

    def next_step(self, coats_on: int) -> CoatStep | None:
        """The planned step after `coats_on` coats, or None when the sequence is through."""
        steps = self.sequence.steps
        return steps[coats_on] if coats_on < len(steps) else None
