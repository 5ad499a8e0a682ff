"""Stress spots: the places of a shell where metal presses hardest on the wall."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.checks import check_name, check_number, check_optional_number, check_text

MOST_SPOTS = 12
SMALLEST_M, LARGEST_M = 1e-3, 5.0


class StressSpotError(MendableError):
    """A stress spot whose measures do not hang together."""


class SpotKind(Enum):
    """What a stress spot looks like to the metal inside."""

    FLAT = "flat face"
    ROUND = "round wall"


@dataclass(frozen=True, slots=True, kw_only=True)
class StressSpot:
    """One place of the wall that has metal to hold.

    A flat face has `long_m` [m] and `short_m` [m] between what holds its edges, and `clamped`
    where they cannot tilt; a round wall has the inner `radius_m` [m]. `head_m` [m] is the height
    from there up to the metal in the cup. `helped_by` notes wire, ribs or a sand bed, which no
    figure counts.
    """

    id: UUID
    name: str
    kind: SpotKind
    head_m: float
    long_m: float | None = None
    short_m: float | None = None
    radius_m: float | None = None
    clamped: bool = False
    helped_by: str = ""

    def __post_init__(self) -> None:
        check_name("Name of the spot", self.name)
        check_text("Helped by", self.helped_by)
        check_number("Head of metal", self.head_m, SMALLEST_M, LARGEST_M, "m")
        check_optional_number("Long side", self.long_m, SMALLEST_M, LARGEST_M, "m")
        check_optional_number("Short side", self.short_m, SMALLEST_M, LARGEST_M, "m")
        check_optional_number("Radius", self.radius_m, SMALLEST_M, LARGEST_M, "m")
        if self.kind is SpotKind.FLAT:
            self._check_flat()
        else:
            self._check_round()

    def _check_flat(self) -> None:
        if self.long_m is None or self.short_m is None or self.radius_m is not None:
            raise StressSpotError(
                f"{self.name}: a flat face has a long and a short side and no radius. "
                "Give both sides, or make it a round wall."
            )
        if self.long_m < self.short_m:
            raise StressSpotError(
                f"{self.name}: its long side {self.long_m:g} m is less than its short side "
                f"{self.short_m:g} m. Change them round."
            )

    def _check_round(self) -> None:
        sides = (self.long_m, self.short_m)
        if self.radius_m is None or sides != (None, None) or self.clamped:
            raise StressSpotError(
                f"{self.name}: a round wall has a radius, no sides and no held edge. "
                "Give the radius, or make it a flat face."
            )
