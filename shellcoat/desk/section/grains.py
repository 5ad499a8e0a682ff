"""How coarse a stucco is, so that its grains are drawn to scale."""

from __future__ import annotations

import math
import re

from shellcoat.shop import CoatKind

# Nominal openings [mm] by mesh number, ASTM E11 (the same openings as ISO 3310-1), as tabled in
# the open library fluids 1.3.1, particle_size_distribution.ASTM_E11_sieves; mesh 16 and 25 from
# memory of the standard.
SIEVE_OPENINGS_MM = {
    16: 1.18, 20: 0.85, 25: 0.71, 30: 0.6, 35: 0.5, 40: 0.425, 45: 0.355, 50: 0.3, 60: 0.25,
    70: 0.212, 80: 0.18, 100: 0.15, 120: 0.125, 140: 0.106, 170: 0.09, 200: 0.075, 230: 0.063,
    270: 0.053, 325: 0.045,
}  # fmt: skip

# Common practice: fine stucco on prime coats, coarse on backup coats, none on the seal coat.
USUAL_GRAIN_M = {CoatKind.PRIME: 0.2e-3, CoatKind.BACKUP: 0.7e-3, CoatKind.SEAL: 0.0}

_MESH = re.compile(r"(\d+)\s*[-–/x×]\s*(\d+)\s*(?:mesh|#)", re.IGNORECASE)
_MILLIMETRES = re.compile(r"(\d+(?:[.,]\d+)?)\s*[-–]\s*(\d+(?:[.,]\d+)?)\s*mm", re.IGNORECASE)


def stucco_grain_m(kind: CoatKind, stucco: str) -> float:
    """Return the middling grain [m] of a stucco; 0 where there is none.

    Read from its name where that gives a mesh or a size in mm, else the usual one of the kind.
    """
    if not stucco.strip():
        return 0.0
    ends = _mesh_ends(stucco) or _millimetre_ends(stucco)
    return 1e-3 * math.sqrt(ends[0] * ends[1]) if ends else USUAL_GRAIN_M[kind]


def _mesh_ends(stucco: str) -> tuple[float, float] | None:
    found = _MESH.search(stucco)
    if found is None:
        return None
    ends = [SIEVE_OPENINGS_MM.get(int(number)) for number in found.groups()]
    return (ends[0], ends[1]) if ends[0] and ends[1] else None


def _millimetre_ends(stucco: str) -> tuple[float, float] | None:
    found = _MILLIMETRES.search(stucco)
    if found is None:
        return None
    low, high = (float(number.replace(",", ".")) for number in found.groups())
    return (low, high) if 0.01 <= low <= high <= 10.0 else None
