"""Lanes: the samples of what is not known, and the quantiles read off them.

Two unknown factors multiply the resistances of every coat: that of the air film and that of the
dry crust, both log-normal. They span a small grid of lanes that is simulated; four more lanes
take the air ahead one and two standard deviations damper and drier. Between the lanes the
logarithm of the dry time is read off linearly, so quantiles need no thousands of runs and every
answer is as monotone as the lanes themselves.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NODES = np.array([-2.0, -1.0, 0.0, 1.0, 2.0])
"""Standard scores at which each factor is simulated."""

FINE = np.linspace(-2.4, 2.4, 9)
"""Standard scores at which the answer is read; the normal's weight beyond them is 1.6 %."""

AIR_FINE = np.linspace(-2.4, 2.4, 5)
"""The same for the air, which matters less."""

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


def _normal_weights(points: Floats) -> Floats:
    weight = np.exp(-0.5 * points * points)
    total: Floats = weight / weight.sum()
    return total


def _interpolation(points: Floats) -> Floats:
    """Matrix [points, NODES] of linear interpolation, straight on beyond the outer nodes."""
    cell = np.clip(np.floor(points - NODES[0]).astype(np.int64), 0, NODES.size - 2)
    share = points - NODES[cell]
    matrix = np.zeros((points.size, NODES.size))
    rows = np.arange(points.size)
    matrix[rows, cell] = 1.0 - share
    matrix[rows, cell + 1] = share
    return matrix


_READ, _READ_AIR = _interpolation(FINE), _interpolation(AIR_FINE)
WEIGHTS = (
    _normal_weights(FINE)[:, None, None]
    * _normal_weights(FINE)[None, :, None]
    * _normal_weights(AIR_FINE)[None, None, :]
).ravel()
"""Weight of each fine sample; they sum to one."""


def fine_samples(lanes: Floats) -> Floats:
    """Spread lane values [..., LANES] over the fine samples [..., samples]."""
    grid = lanes[..., :GRID].reshape(*lanes.shape[:-1], NODES.size, NODES.size)
    fine = _READ @ grid @ _READ.T
    by_air = lanes[..., BY_AIR] - lanes[..., MIDDLE_LANE, None]
    # einsum, not a matrix product, whose last digit depends on how many coats there are.
    shift = np.einsum("...i,ji->...j", by_air, _READ_AIR)[..., None, None, :]
    samples: Floats = (fine[..., None] + shift).reshape(*lanes.shape[:-1], WEIGHTS.size)
    return samples


def quantiles(samples: Floats, shares: tuple[float, ...]) -> Floats:
    """Weighted quantiles [..., shares] of fine samples [..., samples]."""
    order = np.argsort(samples, axis=-1)
    values = np.take_along_axis(samples, order, axis=-1)
    reached = np.cumsum(WEIGHTS[order], axis=-1)
    found = [
        np.take_along_axis(values, _first(reached >= share - 1e-12)[..., None], axis=-1)[..., 0]
        for share in shares
    ]
    return np.stack(found, axis=-1)


def _first(flags: NDArray[np.bool_]) -> Ints:
    place: Ints = np.argmax(flags, axis=-1)
    return place


def chance_below(samples: Floats, limit: Floats) -> Floats:
    """Weight of the samples [..., samples] at or below `limit` [...]."""
    chance: Floats = ((samples <= limit[..., None]) * WEIGHTS).sum(axis=-1)
    return np.clip(chance, 0.0, 1.0)
