"""What became of a shell when metal was poured into it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop.checks import check_optional_number, check_text, check_time

METAL_TEMP_C = 100.0, 2000.0, "°C"
"""From tin to above any steel that is poured into a shell; from memory."""

SHELL_TEMP_C = -30.0, 1400.0, "°C"
METAL_MASS_KG = 1e-3, 5000.0, "kg"


class PourResult(Enum):
    """How the shell stood the pour."""

    SOUND = "sound"
    LEAK = "leak"
    CRACK = "crack"
    RUN_OUT = "run-out"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The pour of one shell: the result, and `where` on it a fault was.

    `metal_temp_c` and `shell_temp_c` [°C] as measured at the pour, `metal_mass_kg` [kg] poured;
    None where nobody measured. `photo_ids` are photos of the shell in the book.
    """

    id: UUID
    shell_id: UUID
    poured_at: datetime
    result: PourResult
    where: str = ""
    metal_temp_c: float | None = None
    shell_temp_c: float | None = None
    metal_mass_kg: float | None = None
    note: str = ""
    photo_ids: tuple[UUID, ...] = ()

    def __post_init__(self) -> None:
        check_time("Time of the pour", self.poured_at)
        check_text("Where", self.where)
        check_optional_number("Metal temperature", self.metal_temp_c, *METAL_TEMP_C)
        check_optional_number("Shell temperature", self.shell_temp_c, *SHELL_TEMP_C)
        check_optional_number("Metal poured", self.metal_mass_kg, *METAL_MASS_KG)
        check_text("Note", self.note)
