"""When a coat is dry: a wet surface first, then a front that recedes into the wall.

All functions broadcast over shells, coats and samples of the unknown resistances. The state is
one number, the front position `x` [m]: below zero while the surface is still wet (stage 1),
from zero to the wetted depth while the front recedes (stage 2). Water and front are tied by
``W = W_c (1 - x / d)`` in both stages, which lets one closed form serve the whole of the drying.

Over a stretch of constant air the vapour drive supplies a *budget*
``b = deficit * (d / W_c) * time`` [s], and the front spends it::

    stage 1:  R_0 dx           = db
    stage 2: (R_0 + x/D_c) dx  = db    so    (x + R_0 D_c)^2 grows by 2 D_c b

where ``R_0`` [s/m] is the resistance of air film and heat supply in series and ``D_c`` [m2/s]
the vapour diffusivity of the dry crust.

References
----------
.. [1] R. B. Keey, "Drying of Loose and Particulate Materials", Hemisphere, 1992, ch. 6
   (receding evaporation front; cited from memory).
.. [2] C. J. Geankoplis, "Transport Processes and Unit Operations", 3rd ed., Prentice Hall,
   1993, section 9.6-9.7 (constant-rate and falling-rate periods).
.. [3] H. L. Penman, "Natural evaporation from open water, bare soil and grass",
   Proc. R. Soc. A 193 (1948) 120-145 (linearised saturation, hence resistances in series).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shellcoat.errors import ValueOutOfRangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WetCoat:
    """The wall just after a dip.

    Attributes
    ----------
    water : water the wall holds [kg/m2], > 0
    critical_water : water at which the surface stops being wet [kg/m2]
    depth : depth the water soaks into [m], > 0
    crust_diffusivity : vapour diffusivity of the dry crust [m2/s], > 0

    Arrays of any shapes that broadcast together.
    """

    water: Floats
    critical_water: Floats
    depth: Floats
    crust_diffusivity: Floats

    @property
    def start(self) -> Floats:
        """Front position just after the dip [m], below zero while the surface is wet."""
        return self.front(self.water)

    def front(self, water: ArrayLike) -> Floats:
        """Front position [m] at which the wall holds `water` [kg/m2]."""
        return self.depth * (1.0 - np.asarray(water, dtype=float) / self.critical_water)

    def water_at(self, front: ArrayLike) -> Floats:
        """Water in the wall [kg/m2] with the front at `front` [m]."""
        left = self.critical_water * (1.0 - np.asarray(front, dtype=float) / self.depth)
        return np.maximum(left, 0.0)

    def budget_rate(self, deficit: ArrayLike) -> Floats:
        """Budget supplied per second [-] by a vapour deficit [kg/m3]."""
        return np.asarray(deficit, dtype=float) * self.depth / self.critical_water


def wetted_coat(
    new_water: ArrayLike,
    left_water: ArrayLike,
    wall: ArrayLike,
    *,
    critical_share: float,
    pore_water_density: float,
    crust_diffusivity: ArrayLike,
) -> WetCoat:
    """Give the state of a wall just after a dip.

    Parameters
    ----------
    new_water : water the coat brings [kg/m2], > 0
    left_water : water still in the wall from coats before [kg/m2], >= 0
    wall : thickness of the shell so far, the new coat included [m], > 0
    critical_share : share of the water at which the surface stops being wet [-], 0 to 1
    pore_water_density : water the wall takes up per volume, rho_w * porosity * saturation
        [kg/m3]
    crust_diffusivity : vapour diffusivity of the dry crust [m2/s]

    Returns
    -------
    WetCoat, arrays of the broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        for any value that is not finite and above zero.

    Notes
    -----
    The water soaks the new coat and part of the older ones,
    ``d = min(wall, W / (rho_w porosity S))``.
    """
    water = np.asarray(new_water, dtype=float) + np.asarray(left_water, dtype=float)
    thickness = np.asarray(wall, dtype=float)
    diffusivity = np.asarray(crust_diffusivity, dtype=float)
    named = (
        ("Water", water),
        ("Wall", thickness),
        ("Diffusivity", diffusivity),
        ("Critical share", np.asarray(critical_share)),
        ("Pore water density", np.asarray(pore_water_density)),
    )
    for name, value in named:
        _refuse_non_positive(name, value)
    return WetCoat(
        water=water,
        critical_water=critical_share * water,
        depth=np.minimum(thickness, water / pore_water_density),
        crust_diffusivity=diffusivity,
    )


def _refuse_non_positive(name: str, value: Floats) -> None:
    wrong = ~((value > 0.0) & (value < np.inf))
    if np.any(wrong):
        raise ValueOutOfRangeError(name, float(value[wrong][0]), "a finite value above zero")


def advance_front(
    front: ArrayLike, budget: ArrayLike, resistance: ArrayLike, coat: WetCoat
) -> Floats:
    """Move the drying front on by a stretch of constant air.

    Parameters
    ----------
    front : front position [m]
    budget : ``coat.budget_rate(deficit) * seconds`` [s], >= 0
    resistance : air film and heat supply in series [s/m], > 0
    coat : the wall

    Returns
    -------
    New front position [m], at most the wetted depth; broadcast shape.
    """
    x = np.asarray(front, dtype=float)
    wet = np.maximum(-x, 0.0) * resistance
    base = np.asarray(resistance, dtype=float) * coat.crust_diffusivity
    dry = np.maximum(x, 0.0) + base
    # The stage is told by the budget: the front itself may end a rounding short of nought.
    given = np.asarray(budget, dtype=float)
    spare = np.maximum(given - wet, 0.0)
    receded = np.sqrt(dry * dry + 2.0 * coat.crust_diffusivity * spare) - base
    ahead = np.where(given < wet, x + given / resistance, receded)
    moved: Floats = np.minimum(ahead, coat.depth)
    return moved


def budget_to_reach(
    front: ArrayLike, target: ArrayLike, resistance: ArrayLike, coat: WetCoat
) -> Floats:
    """Budget [s] the front needs to come from `front` to `target` [m]; zero when it is past it.

    The inverse of `advance_front` for the same constant air; broadcast shape.
    """
    x, goal = np.asarray(front, dtype=float), np.asarray(target, dtype=float)
    wet = np.maximum(np.minimum(goal, 0.0) - np.minimum(x, 0.0), 0.0) * resistance
    start, end = np.maximum(x, 0.0), np.maximum(goal, 0.0)
    dry = (end - start) * (resistance + 0.5 * (end + start) / coat.crust_diffusivity)
    need: Floats = wet + np.maximum(dry, 0.0)
    return need


def drying_time(
    coat: WetCoat, deficit: ArrayLike, resistance: ArrayLike, water_when_dry: ArrayLike
) -> Floats:
    """Time until the wall holds no more than `water_when_dry`, in constant air.

    Parameters
    ----------
    coat : the wall just after the dip
    deficit : saturation density less vapour density of the air [kg/m3], >= 0
    resistance : air film and heat supply in series [s/m], > 0
    water_when_dry : water that may be left [kg/m2]

    Returns
    -------
    Seconds [s], infinite in saturated air; broadcast shape.

    Notes
    -----
    ``t = W_c [ R_0 (x_d - x_0) / d + x_d^2 / (2 D_c d) ] / deficit`` with the front at ``x_d``
    when the coat is dry; exact for the resistances of the model. The linearised saturation
    under it is good to 1-6 % from 15 to 30 °C and 20 to 80 % humidity.

    Examples
    --------
    A backup coat of 0.25 kg/m2 in a wall of 3 mm, 22 °C and 50 % with a fan on it:

    >>> wall = wetted_coat(0.25, 0.0, 3e-3, critical_share=0.45,
    ...                    pore_water_density=37.5, crust_diffusivity=2.1e-6)
    >>> round(float(drying_time(wall, 9.7e-3, 430.0, 0.025)) / 3600, 1)
    4.2
    """
    need = budget_to_reach(coat.start, coat.front(water_when_dry), resistance, coat)
    rate = coat.budget_rate(deficit)
    drying = rate > 0.0
    pace = np.where(drying, rate, 1.0)
    return np.where(need > 0.0, np.where(drying, need / pace, np.inf), 0.0)


def water_left(
    coat: WetCoat, deficit: ArrayLike, resistance: ArrayLike, seconds: ArrayLike
) -> Floats:
    """Water left in the wall [kg/m2] after `seconds` [s] of constant air; never below zero.

    Same parameters and model as `drying_time`; broadcast shape.
    """
    budget = coat.budget_rate(deficit) * np.asarray(seconds, dtype=float)
    return coat.water_at(advance_front(coat.start, budget, resistance, coat))


def evaporation_from(
    coat: WetCoat, front: ArrayLike, deficit: ArrayLike, resistance: ArrayLike
) -> Floats:
    """Flux out of the wall [kg/m2 s] with the front at `front` [m]; zero once it is dry.

    ``deficit / (R_0 + x/D_c)``; with `surface_temperature` of the evaporation module this is
    what an infrared thermometer on the shell should read.
    """
    x = np.maximum(np.asarray(front, dtype=float), 0.0)
    flux = np.asarray(deficit, dtype=float) / (resistance + x / coat.crust_diffusivity)
    return np.where(np.asarray(front) < coat.depth, flux, 0.0)
