"""Lanes: the samples of what is not known, and the quantiles read off them.

Two unknown factors multiply the resistances of every coat: that of the air film and that of the
dry crust, both log-normal. They span a small grid of lanes that is simulated; four more lanes
take the air ahead one and two standard deviations damper and drier. Between the lanes the
logarithm of the dry time and the pace that the air sets are read off linearly, so quantiles need
no thousands of runs and every answer is as monotone as the lanes themselves. What is believed of
the factors weighs the samples between the lanes; it changes with what the shop's own checks teach
(`factors`), the lanes do not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NODES = np.array([-2.0, -1.0, 0.0, 1.0, 2.0])
"""Standard scores at which each factor is simulated."""

EDGE = 2.8
"""Standard score at which factors and air are cut off; 0.5 % of a normal lies beyond."""

LEAST_PACE = 1e-6
"""Air that dries a coat a million times more slowly than expected does not dry it."""

GRID = NODES.size * NODES.size
MIDDLE_LANE = GRID // 2
AIR_SCORES = (0.0, 1.0, -1.0, 2.0, -2.0)
"""Standard scores of the vapour, by the values of `Lanes.air`."""

BY_AIR = (GRID + 3, GRID + 1, MIDDLE_LANE, GRID, GRID + 2)
"""The lanes at middling factors, from the driest air to the dampest."""

LANES = GRID + len(AIR_SCORES) - 1


@dataclass(frozen=True, slots=True)
class Lanes:
    """Factor on the air film's and the crust's resistance and score of the air, per lane."""

    film: Floats
    crust: Floats
    air: Ints

    @classmethod
    def spread(cls, film_sigma: float, crust_sigma: float) -> Lanes:
        """Lanes for log-normal factors of these standard deviations of the logarithm."""
        film_z, crust_z = np.meshgrid(NODES, NODES, indexing="ij")
        others = np.ones(LANES - GRID)
        film = np.append(np.exp(film_sigma * film_z.ravel()), others)
        crust = np.append(np.exp(crust_sigma * crust_z.ravel()), others)
        air = np.append(np.zeros(GRID, dtype=np.int64), np.arange(1, len(AIR_SCORES)))
        return cls(film, crust, air)


@dataclass(frozen=True, slots=True)
class _Shares:
    """Lanes and what share each point takes of them, both [shares, points]."""

    lanes: Ints
    shares: Floats

    def read(self, lanes: Floats) -> Floats:
        """Mix lane values [..., LANES] into points [..., points]."""
        # Share by share, not as a matrix product, whose last digit depends on how many coats
        # there are.
        first, *others = zip(self.lanes, self.shares, strict=True)
        total: Floats = lanes[..., first[0]] * first[1]
        for lane, share in others:
            total += lanes[..., lane] * share
        return total


@dataclass(frozen=True, slots=True)
class LaneReader:
    """Reads what lies between the lanes, at points given by the scores of film, crust and air."""

    _factors: _Shares
    _air: _Shares

    @classmethod
    def at(cls, film: Floats, crust: Floats, air: Floats) -> LaneReader:
        """A reader at these standard scores [points]."""
        grid = [
            (row * NODES.size + column, in_row * in_column)
            for row, in_row in _neighbours(film)
            for column, in_column in _neighbours(crust)
        ]
        airs = [(np.array(BY_AIR)[node], share) for node, share in _neighbours(air)]
        return cls(
            *(
                _Shares(np.stack([lane for lane, _ in part]), np.stack([one for _, one in part]))
                for part in (grid, airs)
            )
        )

    def read(self, lanes: Floats) -> Floats:
        """Spread lane values [..., LANES] over the points [..., points]; the air shifts them."""
        shift = self._air.read(lanes) - lanes[..., MIDDLE_LANE, None]
        total: Floats = self._factors.read(lanes) + shift
        return total

    def read_times(self, seconds: Floats) -> Floats:
        """The same for times [s]: factors multiply a time, the air divides it by the pace it sets.

        The pace of drying is proportional to what vapour the air can still take, so it falls in a
        straight line with the damp, to nothing where it is saturated; a time read straight
        between an hour and never would be never too often.
        """
        pace = self._air.read(seconds[..., MIDDLE_LANE, None] / seconds)
        total: Floats = np.exp(self._factors.read(np.log(seconds))) / np.maximum(pace, LEAST_PACE)
        return total


def _neighbours(scores: Floats) -> tuple[tuple[Ints, Floats], tuple[Ints, Floats]]:
    """The nodes below and above each score with their shares, straight on beyond the outer ones."""
    cell = np.clip(np.floor(scores - NODES[0]).astype(np.int64), 0, NODES.size - 2)
    share = scores - NODES[cell]
    return (cell, 1.0 - share), (cell + 1, share)


def _scattered(count: int) -> Floats:
    """So many points in pairs about the middle of the cube, no two alike in any score [3, count].

    Film and crust by the additive recurrence whose steps are powers of the root of
    ``x^3 = x + 1`` (M. Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018;
    cited from memory), the air by that of the square root of two. Points on a plain grid would
    share their scores and make quantiles jump.
    """
    root = 1.324717957244746
    steps = np.array([1.0 / root, 1.0 / root**2, np.sqrt(2.0) - 1.0])
    one_side = (np.outer(steps, np.arange(1, count // 2 + 1)) + 0.5) % 1.0
    half = EDGE * (2.0 * one_side - 1.0)
    return np.concatenate([half, -half], axis=1)


SAMPLES = 1024
SCORES = _scattered(SAMPLES)
"""Standard scores of film, crust and air of each sample [3, SAMPLES]."""

_SAMPLES_AT = LaneReader.at(*SCORES)


def fine_samples(lanes: Floats) -> Floats:
    """Spread lane values [..., LANES] over the fine samples [..., SAMPLES]."""
    return _SAMPLES_AT.read(lanes)


def time_samples(seconds: Floats) -> Floats:
    """Spread times [..., LANES] in s over the fine samples [..., SAMPLES]."""
    return _SAMPLES_AT.read_times(seconds)


def sample_weights(pairs: Floats) -> Floats:
    """Weights of the samples [SAMPLES] where their pairs of factors have these; they sum to one."""
    weight = pairs * np.exp(-0.5 * SCORES[2] ** 2)
    total: Floats = weight / weight.sum()
    return total


WEIGHTS = sample_weights(np.exp(-0.5 * (SCORES[0] ** 2 + SCORES[1] ** 2)))
"""Weights of the fine samples for independent factors at their own spread."""


TENTHS = (0.1, 0.5, 0.9)
"""The shares whose quantiles are a band's low, likely and high."""


def quantiles(samples: Floats, shares: tuple[float, ...], weights: Floats = WEIGHTS) -> Floats:
    """Weighted quantiles [..., shares] of fine samples [..., SAMPLES]; weights broadcast."""
    order = np.argsort(samples, axis=-1)
    values = np.take_along_axis(samples, order, axis=-1)
    reached = np.cumsum(_in_order(weights, order), axis=-1)
    found = [
        np.take_along_axis(values, _first(reached >= share - 1e-12)[..., None], axis=-1)[..., 0]
        for share in shares
    ]
    return np.stack(found, axis=-1)


def _in_order(weights: Floats, order: Ints) -> Floats:
    if weights.ndim == 1:
        return weights[order]
    sorted_weights: Floats = np.take_along_axis(weights, order, axis=-1)
    return sorted_weights


def _first(flags: NDArray[np.bool_]) -> Ints:
    place: Ints = np.argmax(flags, axis=-1)
    return place


def chance_below(samples: Floats, limit: Floats, weights: Floats = WEIGHTS) -> Floats:
    """Weight of the samples [..., SAMPLES] at or below `limit` [...]."""
    chance: Floats = ((samples <= limit[..., None]) * weights).sum(axis=-1)
    return np.clip(chance, 0.0, 1.0)
