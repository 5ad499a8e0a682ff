"""How the errors of a wall at one coat and at another hang together.

Each coat errs by what all coats of the shell share and by something of its own, as in
`thickness.wall_thickness`. What has been learned of the wall at one coat therefore tells a good
deal, but not everything, of the wall at another. What an early reading says of the coats to come
beyond what it says of the wall now is left aside: a twentieth of it at most.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.thickness import TENTH_TO_NINETIETH
from shellcoat.shop import Band

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WallGrowth:
    """A wall coat by coat, from no coat on.

    `likely_m` [m] after so many coats, `shared` [-] the standard deviation of ln that all its
    coats share, `apart_m2` [m2] the variance of what each coat adds of its own.
    """

    likely_m: Floats
    shared: Floats
    apart_m2: Floats

    @classmethod
    def of(cls, coats: Sequence[Band], shared_error: float, least_spread: float) -> WallGrowth:
        """The growth of these coats; `shared_error` is the correlation between their errors."""
        likely = _summed([band.likely for band in coats])
        sigma = np.array([(band.high - band.low) / TENTH_TO_NINETIETH for band in coats])
        wall = np.where(likely > 0.0, likely, 1.0)
        shared = sqrt(shared_error) * _summed(sigma) / wall
        apart = (1.0 - shared_error) * _summed(sigma * sigma)
        return cls(likely, np.maximum(shared, least_spread), apart)

    def covariance(self, coats: int, others: int) -> float:
        """Covariance of ln of the wall after so many coats and after so many others [-]."""
        walls = self.likely_m[coats] * self.likely_m[others]
        apart = self.apart_m2[min(coats, others)] / walls if walls > 0.0 else 0.0
        return float(self.shared[coats] * self.shared[others] + apart)

    def spread(self, coats: int) -> float:
        """Standard deviation of ln of the wall after so many coats [-]."""
        return sqrt(self.covariance(coats, coats))

    def slope(self, coats: int, known: int) -> float:
        """How far ln of the wall at `coats` goes along with that of the `known` wall [-]."""
        return self.covariance(coats, known) / self.covariance(known, known)

    def rest(self, coats: int, known: int) -> float:
        """Standard deviation of ln at `coats` once the wall at `known` is certain [-]."""
        told = self.slope(coats, known) * self.covariance(coats, known)
        return sqrt(max(self.covariance(coats, coats) - told, 0.0))


def _summed(values: Sequence[float] | Floats) -> Floats:
    total: Floats = np.append(0.0, np.cumsum(np.asarray(values, dtype=np.float64)))
    return total
