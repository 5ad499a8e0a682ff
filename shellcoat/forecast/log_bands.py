"""Bands on the scale of logarithms, where factors add and spreads are shares."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, sqrt

from shellcoat.forecast.thickness import TENTH
from shellcoat.shop import Band

NARROWEST = 0.02
"""Least standard deviation of ln [-] of a band somebody typed: nobody knows a coat to 2 %."""


def log_spread(band: Band) -> float:
    """Standard deviation of ln that fits a band's 10th and 90th percentile."""
    if band.likely <= 0.0:
        return NARROWEST
    return max(0.5 * (_down(band) + _up(band)) / TENTH, NARROWEST)


def _up(band: Band) -> float:
    return log(band.high / band.likely)


def _down(band: Band) -> float:
    """The lower half's width; as the upper one's where the band reaches down to nothing."""
    return log(band.likely / band.low) if band.low > 0.0 else _up(band)


def log_band(likely: float, spread: float) -> Band:
    """The band of a value whose ln has this standard deviation."""
    half = TENTH * spread
    return Band(likely * exp(-half), likely, likely * exp(half))


def moved_band(band: Band, factor: float, low_share: float, high_share: float) -> Band:
    """A band times a factor, its halves narrowed or widened to these shares on the log scale.

    Keeps what is lopsided in a band, and returns it as it was for factor and shares of 1.
    """
    likely = band.likely * factor
    if band.likely <= 0.0:
        return Band(band.low * factor, likely, band.high * factor)
    least = TENTH * NARROWEST
    down = low_share * max(_down(band), least)
    up = high_share * max(_up(band), least)
    return Band(likely * exp(-down), likely, likely * exp(up))


@dataclass(frozen=True, slots=True)
class LogFigure:
    """A value whose logarithm is normal: its median, and the standard deviation of ln [-]."""

    likely: float
    spread: float

    @property
    def band(self) -> Band:
        """Its 10th, 50th and 90th percentile."""
        return log_band(self.likely, self.spread)


def joined(figures: list[LogFigure]) -> LogFigure:
    """One figure from several that err independently, each weighed by its precision."""
    weights = [1.0 / figure.spread**2 for figure in figures]
    total = sum(weights)
    mean = sum(w * log(f.likely) for w, f in zip(weights, figures, strict=True)) / total
    return LogFigure(exp(mean), sqrt(1.0 / total))


def updated_band(band: Band, seen: LogFigure) -> Band:
    """A band after a figure has been seen that is independent of it."""
    if band.likely <= 0.0 or seen.likely <= 0.0:
        return band
    before = LogFigure(band.likely, log_spread(band))
    after = joined([before, seen])
    share = after.spread / before.spread
    return moved_band(band, after.likely / before.likely, share, share)
