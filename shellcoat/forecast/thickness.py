"""How thick the wall is and will be, with its spread."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import sqrt

from shellcoat.shop import Band

TENTH_TO_NINETIETH = 2.563
"""Standard deviations between the 10th and the 90th percentile of a normal distribution."""

TENTH = 1.2816
"""Standard deviations from the median to the 90th percentile."""


def built_thickness(on_dry_m: Band, left_share: Band, loss_on_wet: float) -> Band:
    """Thickness [m] a coat builds on a wall that still holds `left_share` of its water.

    A coat dipped on an undried one builds less; `loss_on_wet` is the share lost on a wall that
    is still fully wet (Dooley and Everden, INCAST, November 2020).
    """
    factor = 1.0 - loss_on_wet * left_share.likely
    return Band(on_dry_m.low * factor, on_dry_m.likely * factor, on_dry_m.high * factor)


def wall_thickness(coats: Iterable[Band], shared_error: float) -> Band:
    """Thickness [m] of several coats; `shared_error` is the correlation between their errors."""
    bands = list(coats)
    likely = sum(band.likely for band in bands)
    sigmas = [(band.high - band.low) / TENTH_TO_NINETIETH for band in bands]
    together = sum(sigmas) ** 2
    apart = sum(sigma * sigma for sigma in sigmas)
    spread = TENTH * sqrt(shared_error * together + (1.0 - shared_error) * apart)
    return Band(max(likely - spread, 0.0), likely, likely + spread)


def wall_at_end(coats: Sequence[Band], planned: Sequence[Band], shared_error: float) -> Band:
    """Thickness [m] once the coats still to come are on; `planned` of every coat of the plan."""
    return wall_thickness([*coats, *planned[len(coats) :]], shared_error)
