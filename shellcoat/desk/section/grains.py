"""How coarse a stucco is, so that its grains are drawn to scale."""

from __future__ import annotations

from shellcoat.forecast.stucco_sizes import size_in_name
from shellcoat.shop import CoatKind

# Common practice: fine stucco on prime coats, coarse on backup coats, none on the seal coat.
USUAL_GRAIN_M = {CoatKind.PRIME: 0.2e-3, CoatKind.BACKUP: 0.7e-3, CoatKind.SEAL: 0.0}

COARSEST_DRAWN_M = 0.01
"""No stucco is coarser than this [m]; a name that says so is misread."""


def stucco_grain_m(kind: CoatKind, stucco: str) -> float:
    """Return the middling grain [m] of a stucco; 0 where there is none.

    Read from its name where that gives a mesh or a size, else the usual one of the kind.
    """
    if not stucco.strip():
        return 0.0
    size = size_in_name(stucco)
    named = size is not None and size.coarsest_m <= COARSEST_DRAWN_M
    return size.mean_m if size is not None and named else USUAL_GRAIN_M[kind]
