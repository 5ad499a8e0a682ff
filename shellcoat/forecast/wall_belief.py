"""What is believed of one shell's wall: exact Bayes on a small grid.

The unknown is the factor by which the wall is thicker or thinner than its coats let expect, on
the scale of ln. Edges, corners and the scale each have an unknown of their own, that bears only
on their readings: how much of the flats' thickness an edge or a corner of this shell has, and
how far its area and its bulk density are out. Given the wall they do not know of each other, so
three small tables do instead of one large one.

Any reading may be a stray one, with a small probability; a shell may be one too. So a single
wild reading cannot carry the estimate away, and several that agree can.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from math import log, pi

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.log_bands import log_spread
from shellcoat.forecast.log_density import CELL, LogDensity
from shellcoat.forecast.wall_values import StrayValues, WallValues
from shellcoat.shop import WallPlace

Floats = NDArray[np.float64]

WIDEST = 2.4
"""A wall eleven times as thick, or as thin, as expected ends the grid [-]."""

FACTOR: Floats = np.linspace(-WIDEST, WIDEST, 2 * round(WIDEST / CELL) + 1)
"""The factor's logarithm in the cells of the grid [-]."""

SIDE_REACH = 6.0
"""Standard deviations of a side unknown that are laid out."""

SIDE_CELLS = 193
"""Cells of a side unknown: a sixteenth of its spread each, so that a good scale is resolved."""


FAINTEST = 1e-12
"""Cells of less than this part of the likeliest are left out of a sum."""


class Side(Enum):
    """Which unknown of its own a reading has beside the shell's factor."""

    FLAT = "none"
    EDGE = "edges over flats"
    CORNER = "inside corners over flats"
    MASS = "area and bulk density"


SIDE_OF = {
    WallPlace.FLAT: Side.FLAT,
    WallPlace.EDGE: Side.EDGE,
    WallPlace.CORNER: Side.CORNER,
}


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """One reading as the grid sees it, all on the scale of ln [-].

    `expected` what a good reading would be, by the factor's cells, but for the side unknown;
    `seen` what it was, `spread` its standard deviation.
    """

    side: Side
    expected: Floats
    seen: float
    spread: float


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """A side unknown: its cells, and ln of prior times the readings' likelihood [factor, side].

    `log_factor` is what its readings say of the factor alone.
    """

    cells: Floats
    log_weight: Floats
    log_factor: Floats

    @classmethod
    def of(cls, cells: Floats, log_weight: Floats) -> _Table:
        return cls(cells, log_weight, _log_sum(log_weight))


@dataclass(frozen=True, slots=True, eq=False)
class WallBelief:
    """The probability of every factor, with each side unknown's table."""

    log_prior: Floats
    tables: Mapping[Side, _Table]
    stray: StrayValues

    @classmethod
    def before(cls, spread: float, values: WallValues) -> WallBelief:
        """The belief without a reading; `spread` [-] of ln of the wall as it is expected."""
        stray = values.stray
        prior = _mixed(
            _log_normal(FACTOR, 0.0, spread),
            _log_normal(FACTOR, 0.0, stray.shell_spread),
            stray.shell_share,
        )
        by_mass = np.hypot(values.spread.shell_area, values.spread.bulk_density)
        tables = {Side.FLAT: _table(0.0, 0.0), Side.MASS: _table(0.0, float(by_mass))}
        for place, share in values.place.items():
            tables[SIDE_OF[place]] = _table(log(share.likely), log_spread(share))
        return cls(prior, tables, stray)

    def after(self, sight: Sight) -> WallBelief:
        """The belief once a reading has been taken in."""
        table = self.tables[sight.side]
        told = _Table.of(table.cells, table.log_weight + self._likelihood(sight))
        return replace(self, tables={**self.tables, sight.side: told})

    @property
    def factor(self) -> LogDensity:
        """The shell's factor."""
        return LogDensity(float(FACTOR[0]), _normed(self._log_factor()))

    def told(self, side: Side, expected: Floats) -> LogDensity:
        """How a thing is spread that is `expected` by the factor, times the side unknown."""
        values = expected[:, None] + self.tables[side].cells
        weights = self._joint(side)
        kept = weights > FAINTEST * np.max(weights)
        return LogDensity.of(values[kept], weights[kept])

    def wild(self, sight: Sight) -> float:
        """The probability that a reading which was taken in is a stray one."""
        stray = log(self.stray.reading_share) if self.stray.reading_share > 0.0 else -np.inf
        odds = np.exp(stray + self._stray(sight) - self._likelihood(sight))
        return float(np.sum(self._joint(sight.side) * odds))

    def _log_factor(self) -> Floats:
        told = np.stack([table.log_factor for table in self.tables.values()])
        total: Floats = self.log_prior + told.sum(axis=0)
        return total

    def _joint(self, side: Side) -> Floats:
        """Probability [factor, side] of both."""
        table = self.tables[side]
        others = self._log_factor() - table.log_factor
        return _normed(others[:, None] + table.log_weight)

    def _likelihood(self, sight: Sight) -> Floats:
        """Ln likelihood of a reading [factor, side], good or stray."""
        cells = self.tables[sight.side].cells
        good = _log_normal(sight.seen, sight.expected[:, None] + cells, sight.spread)
        return _mixed(good, self._stray(sight), self.stray.reading_share)

    def _stray(self, sight: Sight) -> float:
        """Ln density of a stray reading: about what was expected, but far and wide."""
        cells = self.tables[sight.side].cells
        middle = float(sight.expected[FACTOR.size // 2] + cells[cells.size // 2])
        return float(_log_normal(sight.seen, middle, self.stray.reading_spread))


def _table(middle: float, spread: float) -> _Table:
    if spread <= 0.0:
        return _Table.of(np.array([middle]), np.zeros((FACTOR.size, 1)))
    cells = middle + spread * np.linspace(-SIDE_REACH, SIDE_REACH, SIDE_CELLS)
    prior = np.log(_normed(_log_normal(cells, middle, spread)))
    return _Table.of(cells, np.tile(prior, (FACTOR.size, 1)))


def _log_normal(value: Floats | float, middle: Floats | float, spread: float) -> Floats:
    score = (np.asarray(value) - middle) / spread
    density: Floats = -0.5 * score * score - log(spread) - 0.5 * log(2.0 * pi)
    return density


def _mixed(good: Floats, stray: Floats | float, share: float) -> Floats:
    """Ln density of a mixture with this share of strays."""
    if share <= 0.0:
        return good
    mixed: Floats = np.logaddexp(np.log1p(-share) + good, log(share) + stray)
    return mixed


def _log_sum(table: Floats) -> Floats:
    """Ln of the sum of the exponentials along the last axis."""
    top = table.max(axis=-1)
    total: Floats = top + np.log(np.exp(table - top[..., None]).sum(axis=-1))
    return total


def _normed(log_weight: Floats) -> Floats:
    weight = np.exp(log_weight - np.max(log_weight))
    total: Floats = weight / weight.sum()
    return total
