"""A probability over the logarithm of one thing, in cells of one per cent."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.log_bands import moved_band
from shellcoat.shop import Band

Floats = NDArray[np.float64]

CELL = 0.01
"""Width of a cell on the scale of ln [-]: one per cent, finer than any reading of a wall."""

REACH = 5.0
"""Standard deviations of a blur that are kept; beyond lies less than a millionth."""


@dataclass(frozen=True, slots=True)
class LogDensity:
    """Weights that sum to one, on cells around `first` + i x CELL."""

    first: float
    weights: Floats

    @classmethod
    def of(cls, values: Floats, weights: Floats) -> LogDensity:
        """Gather weighted values, each shared between the two cells it lies between."""
        first = CELL * np.floor(np.min(values) / CELL)
        place = (values.ravel() - first) / CELL
        below = place.astype(np.int64)
        part = place - below
        share = weights.ravel()
        size = int(below.max()) + 2
        total = np.bincount(below, share * (1.0 - part), size)
        total += np.bincount(below + 1, share * part, size)
        return cls(float(first), total / total.sum())

    def blurred(self, spread: float) -> LogDensity:
        """The same with an independent normal error of this standard deviation [-] added."""
        half = int(np.ceil(REACH * spread / CELL))
        if half == 0:
            return self
        score = CELL * np.arange(-half, half + 1) / spread
        kernel = np.exp(-0.5 * score * score)
        wide = np.convolve(self.weights, kernel / kernel.sum())
        return LogDensity(self.first - CELL * half, wide)

    @property
    def band(self) -> Band:
        """The 10th, 50th and 90th percentile of the thing itself."""
        low, likely, high = (exp(self.quantile(share)) for share in (0.1, 0.5, 0.9))
        return Band(low, likely, high)

    def quantile(self, share: float) -> float:
        """The value below which this share of the probability lies."""
        reached = np.append(0.0, np.cumsum(self.weights))
        edges = self.first + CELL * (np.arange(reached.size) - 0.5)
        return float(np.interp(share, reached, edges))

    def chance_above(self, limit: float) -> float:
        """The probability of at least this value."""
        reached = np.append(0.0, np.cumsum(self.weights))
        edges = self.first + CELL * (np.arange(reached.size) - 0.5)
        return float(np.clip(1.0 - np.interp(limit, edges, reached), 0.0, 1.0))


def moved_alike(own: Band, before: LogDensity, after: LogDensity) -> Band:
    """A band, moved and narrowed as a density was from before to after.

    So what is lopsided in the band stays so, and without a change it is the same band.
    """
    middle, was = after.quantile(0.5), before.quantile(0.5)
    low = (middle - after.quantile(0.1)) / (was - before.quantile(0.1))
    high = (after.quantile(0.9) - middle) / (before.quantile(0.9) - was)
    return moved_band(own, exp(middle - was), low, high)
