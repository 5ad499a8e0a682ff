"""Dip sequences: the coats a shell is meant to get, in order."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.band import Band
from shellcoat.shop.checks import check_name, check_number, check_optional_number, check_text

MOST_STEPS = 40


class EmptySequenceError(MendableError):
    """A sequence without a coat, or with more than any shell gets."""


class CoatKind(Enum):
    """What a coat is for: the face, the wall, or the last wash that binds the stucco."""

    PRIME = "prime"
    BACKUP = "backup"
    SEAL = "seal"


@dataclass(frozen=True, slots=True, kw_only=True)
class AirLimits:
    """The air a coat is meant to dry in; None where the trade names no limit.

    `temp_low_c`, `temp_high_c` [°C], `rh_low`, `rh_high` fractions, `swing_k` [K] the most
    the room may swing while the coat dries.
    """

    temp_low_c: float | None = None
    temp_high_c: float | None = None
    rh_low: float | None = None
    rh_high: float | None = None
    swing_k: float | None = None

    def __post_init__(self) -> None:
        check_optional_number("Lowest air temperature", self.temp_low_c, -20, 60, "°C")
        check_optional_number("Highest air temperature", self.temp_high_c, -20, 60, "°C")
        check_optional_number("Lowest humidity", self.rh_low, 0, 1, "")
        check_optional_number("Highest humidity", self.rh_high, 0, 1, "")
        check_optional_number("Temperature swing", self.swing_k, 0, 50, "K")


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatStep:
    """One coat as planned: slurry, stucco, and what it is expected to leave.

    `thickness_m` [m] built per coat, `water_kg_m2` [kg/m2] of water brought per area of wall.
    """

    kind: CoatKind
    slurry: str
    stucco: str = ""
    thickness_m: Band
    water_kg_m2: Band
    air: AirLimits = AirLimits()
    watch: str = ""
    source: str = ""

    def __post_init__(self) -> None:
        check_name("Slurry", self.slurry)
        check_text("Stucco", self.stucco)
        check_text("What to watch", self.watch)
        check_number("Coat thickness", self.thickness_m.high, 1e-5, 0.02, "m")
        check_number("Water per coat", self.water_kg_m2.high, 1e-3, 2.0, "kg/m2")


@dataclass(frozen=True, slots=True, kw_only=True)
class DipSequence:
    """The coats of a wall in order, its target thickness [m] and the final hold [s]."""

    id: UUID
    name: str
    steps: tuple[CoatStep, ...]
    target_thickness_m: float
    final_hold_s: float
    description: str = ""
    source: str = ""
    retired: bool = False

    def __post_init__(self) -> None:
        check_name("Sequence name", self.name)
        check_text("Description", self.description)
        check_number("Target thickness", self.target_thickness_m, 1e-3, 0.1, "m")
        check_number("Final hold", self.final_hold_s, 0, 60 * 86400, "s")
        if not 1 <= len(self.steps) <= MOST_STEPS:
            raise EmptySequenceError(
                f"{self.name}: a sequence has 1 to {MOST_STEPS} coats, this one {len(self.steps)}."
            )
