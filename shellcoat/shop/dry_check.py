"""Dry checks: what a touch, a look, a thermometer or a scale said of a wall."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop.air import COLDEST_C, HOTTEST_C
from shellcoat.shop.checks import check_number, check_optional_number, check_text, check_time

LIGHTEST_KG, HEAVIEST_KG = 1e-3, 5000.0


class DryFinding(Enum):
    """What a touch or a look found."""

    DRY = "dry"
    STILL_WET = "still wet"


@dataclass(frozen=True, slots=True, kw_only=True)
class DryCheck:
    """A touch or a look at the face of a shell, or into one of its cores (`core_id`).

    `left_out` holds the reason why the forecast is not to learn from it; empty while it does.
    """

    id: UUID
    shell_id: UUID
    at: datetime
    finding: DryFinding
    core_id: UUID | None = None
    note: str = ""
    left_out: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the check", self.at)
        check_text("Note", self.note)
        check_text("Reason to leave it out", self.left_out)


@dataclass(frozen=True, slots=True, kw_only=True)
class InfraredReading:
    """What an infrared thermometer read on the face of a shell.

    `surface_temp_c` [°C] of the wall; `air_temp_c` [°C] what the same instrument read beside it
    on something long at rest in the room, None where only the room's log tells.
    """

    id: UUID
    shell_id: UUID
    at: datetime
    surface_temp_c: float
    air_temp_c: float | None = None
    note: str = ""
    left_out: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the reading", self.at)
        check_number("Surface temperature", self.surface_temp_c, COLDEST_C, HOTTEST_C, "°C")
        check_optional_number("Air temperature", self.air_temp_c, COLDEST_C, HOTTEST_C, "°C")
        check_text("Note", self.note)
        check_text("Reason to leave it out", self.left_out)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """A shell on the scale, its wax in it: `mass_kg` [kg] without hook and hanger."""

    id: UUID
    shell_id: UUID
    at: datetime
    mass_kg: float
    note: str = ""
    left_out: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the weighing", self.at)
        check_number("Mass", self.mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")
        check_text("Note", self.note)
        check_text("Reason to leave it out", self.left_out)
