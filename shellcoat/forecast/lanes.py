"""Lanes: the samples of what is not known, and the quantiles read off them.

Two unknown factors multiply the resistances of every coat: that of the air film and that of the
dry crust, both log-normal. They span a small grid of lanes that is simulated; two more lanes
take the air ahead one standard deviation damper and drier. Between the lanes the logarithm of
the dry time is read off linearly, so quantiles need no thousands of runs and every answer is
as monotone as the lanes themselves.
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

AIR_FINE = np.linspace(-2.0, 2.0, 5)
GRID = NODES.size * NODES.size
DAMP_LANE, DRY_LANE = GRID, GRID + 1
MIDDLE_LANE = GRID // 2
LANES = GRID + 2


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
        film = np.append(np.exp(film_sigma * film_z.ravel()), [1.0, 1.0])
        crust = np.append(np.exp(crust_sigma * crust_z.ravel()), [1.0, 1.0])
        air = np.zeros(LANES, dtype=np.int64)
        air[DAMP_LANE], air[DRY_LANE] = 1, 2
        return cls(film, crust, air)


AIR_SCORES = (0.0, 1.0, -1.0)
"""Standard scores of the vapour for the values of `Lanes.air`."""


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


_READ = _interpolation(FINE)
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
    middle = lanes[..., MIDDLE_LANE]
    damper = (lanes[..., DAMP_LANE] - middle)[..., None] * np.maximum(AIR_FINE, 0.0)
    drier = (lanes[..., DRY_LANE] - middle)[..., None] * np.maximum(-AIR_FINE, 0.0)
    shift = (damper + drier)[..., None, None, :]
    return (fine[..., None] + shift).reshape(*lanes.shape[:-1], WEIGHTS.size)


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
    return np.argmax(flags, axis=-1)


def chance_below(samples: Floats, limit: Floats) -> Floats:
    """Weight of the samples [..., samples] at or below `limit` [...]."""
    chance: Floats = ((samples <= limit[..., None]) * WEIGHTS).sum(axis=-1)
    return np.clip(chance, 0.0, 1.0)
