"""What is believed of the unknown factors at one time: the tables' word, and what checks taught."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.factors import FactorBelief, FactorGrid, Kind, MixedBelief, kind_of
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.shop import CoatStep

Floats = NDArray[np.float64]

Place = tuple[UUID, int, UUID | None]
"""One coat on one wall: its shell, its rank from 0, and the core it lines, None on the face."""


@dataclass(frozen=True)
class Knowledge:
    """Beliefs about the faces of all shells and about each core that was checked.

    A core's checks teach the factor of its own openings; of its crust it takes what the faces
    have taught, and tells them nothing back, since nobody touches the inside as well as a face.
    `own` [SAMPLES] are the weights of the coats that were checked themselves, by their place.
    """

    faces: MixedBelief
    unchecked_core: FactorBelief
    cores: Mapping[UUID, FactorBelief] = field(default_factory=dict)
    own: Mapping[Place, Floats] = field(default_factory=dict)
    _weights: dict[object, Floats] = field(default_factory=dict, repr=False, compare=False)

    @classmethod
    def before_checks(cls, values: StartingValues) -> Knowledge:
        """What the tables say by themselves."""
        face, core = FactorGrid.of(values.spreads), FactorGrid.of(values.core.spreads)
        return cls(MixedBelief((FactorBelief(face),)), FactorBelief(core))

    def face_weights(self, step: CoatStep, place: Place) -> Floats:
        """Weights of the samples [SAMPLES] of a coat on a face."""
        kind = kind_of(step.slurry, step.stucco)
        return self._kept(place, (None, kind), lambda: self.faces.samples_of_coat(kind))

    def core_weights(self, core_id: UUID, step: CoatStep, place: Place) -> Floats:
        """Weights of the samples [SAMPLES] of a coat inside a core."""
        kind = kind_of(step.slurry, step.stucco)
        weigh = partial(self._weigh_core, core_id, kind)
        return self._kept(place, (core_id, kind), weigh)

    def _weigh_core(self, core_id: UUID, kind: Kind) -> Floats:
        return self.of_core(core_id).samples_of_coat(kind)

    def of_core(self, core_id: UUID) -> FactorBelief:
        """The belief about one core, its crusts as the faces have them."""
        own = self.cores.get(core_id, self.unchecked_core)
        crusts = {kind: self.faces.second(kind) for kind in self.faces.kinds}
        return FactorBelief(own.grid, own.tables, crusts)

    def _kept(self, place: Place, key: object, weigh: Callable[[], Floats]) -> Floats:
        if place in self.own:
            return self.own[place]
        if key not in self._weights:
            self._weights[key] = weigh()
        return self._weights[key]
