"""Two unknown factors on a small grid, and exact Bayes on it.

Every wall has two: that of the air film and that of the dry crust (in a core, that of its openings
takes the film's place). Both are log-normal. What holds for the whole shop is the first factor,
shared by all its coats, and a second for each slurry and stucco (a *kind*); what one coat adds of
its own is a scatter about them: its water shifts both, and each shifts a little by itself.

Given the first factor the seconds know nothing of each other, so the joint belief over any number
of kinds is one table [first, second] for each kind, and Bayes' rule is exact on it:

    p(first, second_k | checks)  ~  p(first) p(second_k) L_k(first, second_k)
                                    * product over the other kinds h of
                                      sum over second_h of p(second_h) L_h(first, second_h)

Notes
-----
Bayes' rule on a grid of a few hundred cells needs no sampling and can be shown cell by cell; see
A. Gelman et al., "Bayesian Data Analysis", 3rd ed., CRC Press 2013, section 10.1 and, for several
groups under one shared unknown, chapter 5 (sections cited from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from math import hypot

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.lanes import EDGE, SCORES, TENTHS, LaneReader, Lanes, sample_weights

Floats = NDArray[np.float64]

Kind = tuple[str, str]
"""What a crust is made of: slurry and stucco, folded so that spelling does not divide them."""

SIDE = 25
CELL_SCORES = np.linspace(-EDGE, EDGE, SIDE)
"""Standard scores at which each factor is weighed."""

CELLS = SIDE * SIDE
"""Pairs of the two factors' scores, the first factor's changing slowest."""

AIRS = np.linspace(-EDGE, EDGE, 5)
AIR_WEIGHTS = np.exp(-0.5 * AIRS**2) / np.exp(-0.5 * AIRS**2).sum()
"""Standard scores of the air that a check is read in, and their weights."""

_FILM, _CRUST, _AIR = (
    column.ravel() for column in np.meshgrid(CELL_SCORES, CELL_SCORES, AIRS, indexing="ij")
)
_CELLS_AT = LaneReader.at(_FILM, _CRUST, _AIR)


def cell_samples(lanes: Floats) -> Floats:
    """Spread lane values [LANES] over the cells in every air [CELLS * airs]."""
    return _CELLS_AT.read(lanes)


def cell_times(seconds: Floats) -> Floats:
    """Spread times [LANES] in s over the cells in every air [CELLS * airs]."""
    return _CELLS_AT.read_times(seconds)


def kind_of(slurry: str, stucco: str) -> Kind:
    """The kind of crust that slurry and stucco make."""
    return " ".join(slurry.split()).casefold(), " ".join(stucco.split()).casefold()


@dataclass(frozen=True, slots=True)
class FactorSpreads:
    """Standard deviations of the natural logarithm [-].

    `first` and `second` of what holds for the whole shop, or for one core; `water` and `place` of
    what one coat adds: its water, which shifts both factors alike, and where it hangs and how the
    stucco fell, which shift each by itself.
    """

    first: float
    second: float
    water: float
    place: float

    @property
    def lane_first(self) -> float:
        """Spread of one coat's first factor, its own scatter included."""
        return hypot(self.first, self.water, self.place)

    @property
    def lane_second(self) -> float:
        """Spread of one coat's second factor, its own scatter included."""
        return hypot(self.second, self.water, self.place)

    def lanes(self) -> Lanes:
        """The lanes that span both factors of a coat."""
        return Lanes.spread(self.lane_first, self.lane_second)


@dataclass(frozen=True)
class FactorGrid:
    """The grid on which a pair of factors is weighed, in standard scores of the lanes."""

    spreads: FactorSpreads

    @classmethod
    @cache
    def of(cls, spreads: FactorSpreads) -> FactorGrid:
        """The one grid of these spreads; its tables are made once."""
        return cls(spreads)

    @cached_property
    def first_log(self) -> Floats:
        """Logarithms of the first factor [SIDE]."""
        return CELL_SCORES * self.spreads.lane_first

    @cached_property
    def second_log(self) -> Floats:
        """Logarithms of the second factor [SIDE]."""
        return CELL_SCORES * self.spreads.lane_second

    @cached_property
    def first_prior(self) -> Floats:
        """Weights of the first factor before any check [SIDE]."""
        return _normal(self.first_log, self.spreads.first)

    @cached_property
    def second_prior(self) -> Floats:
        """Weights of a second factor before any check [SIDE]."""
        return _normal(self.second_log, self.spreads.second)

    @cached_property
    def scatter(self) -> Floats:
        """How a shop's pair of factors spreads over its coats: [coat CELLS, shop CELLS].

        Each column sums to one: a normal distribution about the shop's pair, cut off at the grid.
        """
        return self._spread_over(self._cells)

    @cached_property
    def to_samples(self) -> Floats:
        """The same for the samples on which coats are forecast: [SAMPLES, shop CELLS]."""
        spreads = self.spreads
        film, crust = SCORES[0] * spreads.lane_first, SCORES[1] * spreads.lane_second
        return self._spread_over(np.stack([film, crust]))

    @property
    def _cells(self) -> Floats:
        both = np.meshgrid(self.first_log, self.second_log, indexing="ij")
        return np.stack([one.ravel() for one in both])

    def _spread_over(self, logs: Floats) -> Floats:
        """Density of coats with these factors [2, coats], one column for each cell of the shop."""
        own, both = self.spreads.place**2, self.spreads.water**2
        precision = np.linalg.inv(np.array([[own + both, both], [both, own + both]]))
        film, crust = logs[:, :, None] - self._cells[:, None, :]
        distance = precision[0, 0] * film**2 + precision[1, 1] * crust**2
        weight = np.exp(-0.5 * distance - precision[0, 1] * film * crust)
        columns: Floats = weight / weight.sum(axis=0)
        return columns


def _normal(logs: Floats, spread: float) -> Floats:
    weight = np.exp(-0.5 * (logs / spread) ** 2)
    total: Floats = weight / weight.sum()
    return total


@dataclass(frozen=True)
class FactorBelief:
    """What is believed of one shared first factor and of a second for each kind.

    `tables` [SIDE, SIDE] hold the logarithm of the likelihood of all checks on a kind, up to a
    constant; `second_priors` [SIDE] replace the grid's where something else has taught about a
    kind before.
    """

    grid: FactorGrid
    tables: Mapping[Kind, Floats] = field(default_factory=dict)
    second_priors: Mapping[Kind, Floats] = field(default_factory=dict)

    def _second_prior(self, kind: Kind) -> Floats:
        return np.maximum(self.second_priors.get(kind, self.grid.second_prior), 1e-300)

    @cached_property
    def _told(self) -> dict[Kind, Floats]:
        """What each kind's checks say of the first factor alone [SIDE], as a logarithm."""
        return {
            kind: _log_sum(table + np.log(self._second_prior(kind)), axis=1)
            for kind, table in self.tables.items()
        }

    def joint(self, kind: Kind) -> Floats:
        """Weights of first and second factor of a kind [SIDE, SIDE]; they sum to one."""
        log = np.log(self.grid.first_prior)[:, None] + np.log(self._second_prior(kind))
        for other, told in self._told.items():
            log = log + (self.tables[kind] if other == kind else told[:, None])
        weight = np.exp(log - log.max())
        total: Floats = weight / weight.sum()
        return total

    def first(self) -> Floats:
        """Weights of the first factor [SIDE]."""
        log = np.log(self.grid.first_prior)
        for told in self._told.values():
            log = log + told
        weight = np.exp(log - log.max())
        total: Floats = weight / weight.sum()
        return total

    def second(self, kind: Kind) -> Floats:
        """Weights of a kind's second factor [SIDE]."""
        weights: Floats = self.joint(kind).sum(axis=0)
        return weights

    def of_coat(self, kind: Kind) -> Floats:
        """Weights of both factors of one coat, its own scatter included [CELLS]."""
        weights: Floats = self.grid.scatter @ self.joint(kind).ravel()
        return weights

    def samples_of_coat(self, kind: Kind) -> Floats:
        """Weights of the samples of one coat [SAMPLES], the air's spread included."""
        return sample_weights(self.grid.to_samples @ self.joint(kind).ravel())

    def with_table(self, kind: Kind, table: Floats) -> FactorBelief:
        """The same belief with another likelihood for one kind."""
        return FactorBelief(self.grid, {**self.tables, kind: table}, self.second_priors)

    @cached_property
    def log_evidence(self) -> float:
        """Logarithm of how well all checks fit what was believed before, up to a constant."""
        log = np.log(self.grid.first_prior)
        for told in self._told.values():
            log = log + told
        return float(_log_sum(log, axis=0))


@dataclass(frozen=True)
class MixedBelief:
    """Beliefs under several habits of those who touch, each as far as it fits the checks.

    Everybody in a shop may call a wall dry somewhat early or late, on every coat alike. No touch
    can tell such a habit from factors that are off, so what is believed is a mixture over
    `habits`, shifts of ln time at the nodes of a normal distribution, with `shares` before any
    check; `parts` is the belief under each.
    """

    parts: tuple[FactorBelief, ...]
    habits: tuple[float, ...] = (0.0,)
    shares: tuple[float, ...] = (1.0,)

    @property
    def grid(self) -> FactorGrid:
        """The grid that all parts share."""
        return self.parts[0].grid

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """The kinds that were checked."""
        return tuple(self.parts[0].tables)

    @cached_property
    def weights(self) -> Floats:
        """How much each habit is believed in; they sum to one."""
        log = np.log(self.shares) + [part.log_evidence for part in self.parts]
        weight = np.exp(log - log.max())
        total: Floats = weight / weight.sum()
        return total

    def first(self) -> Floats:
        """Weights of the first factor [SIDE]."""
        return self._mixed([part.first() for part in self.parts])

    def second(self, kind: Kind) -> Floats:
        """Weights of a kind's second factor [SIDE]."""
        return self._mixed([part.second(kind) for part in self.parts])

    def samples_of_coat(self, kind: Kind) -> Floats:
        """Weights of the samples of one coat [SAMPLES]."""
        return self._mixed([part.samples_of_coat(kind) for part in self.parts])

    def with_tables(self, kind: Kind, tables: Sequence[Floats]) -> MixedBelief:
        """The same mixture with another likelihood for one kind under each habit."""
        pairs = zip(self.parts, tables, strict=True)
        return replace(self, parts=tuple(part.with_table(kind, table) for part, table in pairs))

    def _mixed(self, columns: Sequence[Floats]) -> Floats:
        mixed: Floats = self.weights @ np.stack(columns)
        return mixed


def _log_sum(log: Floats, axis: int) -> Floats:
    """Logarithm of the sum of what these are logarithms of."""
    top = np.max(log, axis=axis, keepdims=True)
    summed: Floats = np.log(np.exp(log - top).sum(axis=axis)) + np.squeeze(top, axis=axis)
    return summed


def shop_table(coat_likelihood: Floats, grid: FactorGrid) -> Floats:
    """What a coat's likelihood [CELLS] says of the shop's factors [SIDE, SIDE], as a logarithm."""
    shop = grid.scatter.T @ coat_likelihood
    table: Floats = np.log(np.maximum(shop, 1e-300)).reshape(SIDE, SIDE)
    return table


def factor_quantiles(logs: Floats, weights: Floats) -> tuple[float, float, float]:
    """10th, 50th and 90th percentile of a factor from weights on even cells of its logarithm."""
    half = 0.5 * (logs[1] - logs[0])
    edges = np.append(logs - half, logs[-1] + half)
    reached = np.append(0.0, np.cumsum(weights))
    low, middle, high = np.exp(np.interp(TENTHS, reached / reached[-1], edges))
    return float(low), float(middle), float(high)
