"""How large the grains of a stucco are, from its sieves or from the name shops write."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import sqrt
from pathlib import Path

from shellcoat.forecast.wall_values import WallTableError
from shellcoat.places import resources_dir

_RANGE = re.compile(
    r"(?<![\d.,])[-+]?(\d+(?:[.,]\d+)?)\s*(?:-|–|—|/|\+|x|×|to)\s*[-+]?(\d+(?:[.,]\d+)?)(?![\d.,])"
    r"\s*(mm|µm|μm|um|micron|mesh)?",
    re.IGNORECASE,
)
"""Two numbers with a dash, a stroke, an x or "to" between, and the unit where one is written."""

_PER_METRE = {"mm": 1e3, "µm": 1e6, "μm": 1e6, "um": 1e6, "micron": 1e6}


@dataclass(frozen=True, slots=True)
class GrainSize:
    """Grains between two sieves [m]."""

    finest_m: float
    coarsest_m: float

    @property
    def mean_m(self) -> float:
        """The grain in the middle of the two on the scale of sieves [m]."""
        return sqrt(self.finest_m * self.coarsest_m)


def read_sieves(path: Path) -> dict[int, float]:
    """Openings [m] by ASTM E11 number, coarse to fine."""
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
        sieves = {int(row["astm_mesh"]): float(row["opening_um"]) / 1e6 for row in rows}
    except (OSError, KeyError, ValueError) as cause:
        raise WallTableError(
            f"{path.name}: a sieve or its opening is missing ({cause}). Restore the file from "
            "the installation."
        ) from cause
    if any(fine >= coarse for coarse, fine in pairwise(sieves.values())):
        raise WallTableError(
            f"{path.name}: openings must fall as sieve numbers rise. Restore the file from the "
            "installation."
        )
    return sieves


@cache
def sieves() -> Mapping[int, float]:
    """The openings that came with the program [m] by ASTM E11 number."""
    return read_sieves(resources_dir() / "materials" / "sieve_openings.csv")


def size_in_name(name: str) -> GrainSize | None:
    """The grain that a stucco's name tells: "16-30 mesh", "-50+100", "0.2-0.5 mm"; else None.

    Two numbers without a unit are sieves of ASTM E11 if both are among them.
    """
    found = (_size(*match) for match in _RANGE.findall(name))
    return next((size for size in found if size is not None), None)


def _size(one: str, other: str, unit: str) -> GrainSize | None:
    ends = [_opening(text.replace(",", "."), unit.casefold()) for text in (one, other)]
    known = sorted(end for end in ends if end is not None)
    return GrainSize(*known) if len(known) == 2 and 0.0 < known[0] < known[1] else None


def _opening(number: str, unit: str) -> float | None:
    if unit in _PER_METRE:
        return float(number) / _PER_METRE[unit]
    return sieves().get(int(number)) if number.isdigit() else None
