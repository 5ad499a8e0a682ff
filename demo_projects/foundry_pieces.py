"""The forty invented pieces of the art foundry, read from its table."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import datetime

from demo_projects.story import DEMOS, wall

# Wetted area per mass of wax, from memory. Hollow waxes are about 6 mm thick and get wet inside
# and out, 2 / (950 kg/m3 x 6 mm); door furniture is solid.
HOLLOW_M2_KG, SOLID_M2_KG = 0.35, 0.15


@dataclass(frozen=True, slots=True)
class Piece:
    """One line of the table: `sequence` is the stem of a starter, `wax_ready` when it came."""

    label: str
    name: str
    sequence: str
    metal: str
    height_m: float
    wax_kg: float
    rack_place: str
    wax_ready: datetime

    @property
    def area_m2(self) -> float:
        """About the area the slurry wets [m2]."""
        per_kg = SOLID_M2_KG if self.label.startswith("DF") else HOLLOW_M2_KG
        return round(per_kg * self.wax_kg, 2)


def read_pieces() -> list[Piece]:
    """Read the table; the wax's day and time are of February 2015 by the wall clock."""
    path = DEMOS / "art-foundry" / "pieces.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return [_piece(row) for row in csv.DictReader(file)]


def _piece(row: dict[str, str]) -> Piece:
    day, hour, minute = map(int, row["wax_ready"].replace(":", " ").split())
    return Piece(
        label=row["label"],
        name=row["name"],
        sequence=row["sequence"],
        metal=row["metal"],
        height_m=int(row["height_mm"]) / 1000.0,
        wax_kg=float(row["wax_kg"]),
        rack_place=row["rack_place"],
        wax_ready=wall(day, hour, minute),
    )
