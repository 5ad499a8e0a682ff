"""The openings of a core together: where they look, how large they are, what they pass.

Arrays of openings have one core's openings along their last axis; an opening of no area is none.
All else broadcasts over cores, samples and readings, without that axis.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics.constants import STANDARD_PRESSURE_PA
from shellcoat.physics.exchange import (
    horizontal_exchange,
    opening_conductance,
    side_exchange,
    stack_flow,
    viscous_exchange,
)
from shellcoat.physics.moist_air import air_density
from shellcoat.physics.quantities import (
    Array,
    FloatOrArray,
    not_negative,
    plain,
    positive,
    within,
)
from shellcoat.physics.transport import air_viscosity, vapour_diffusivity


class Facing(IntEnum):
    """Which way an opening looks out of the core."""

    DOWN = -1
    SIDE = 0
    UP = 1


class OpeningShape(Enum):
    """Outline of an opening: ellipse for round and irregular ones, rectangle for a slot."""

    ELLIPSE = "ellipse"
    RECTANGLE = "rectangle"


class OpeningSize(NamedTuple):
    """Area [m2] of an opening and the diameter [m] of the round one of the same area."""

    area_m2: FloatOrArray
    equivalent_diameter_m: FloatOrArray


def hydraulic_opening(
    width_m: FloatOrArray,
    height_m: FloatOrArray,
    shape: OpeningShape = OpeningShape.ELLIPSE,
) -> OpeningSize:
    """Compute area and equivalent diameter of an opening.

    Parameters
    ----------
    width_m, height_m : float or array
        Clear width and height [m], 0 or more; both the diameter of a round opening.
    shape : OpeningShape, optional
        Ellipse (round and irregular openings) or rectangle (slots).

    Returns
    -------
    OpeningSize
        Area [m2] and diameter of the round opening of that area [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is negative or not finite.

    Notes
    -----
    ``pi/4 w h`` or ``w h``, and ``sqrt(4 A/pi)``. Of all openings of an area the round one lets
    least vapour diffuse, a long slot more (see `opening_conductance`).

    References
    ----------
    .. [1] Geometry; the comparison with the round opening: Lord Rayleigh, The Theory of Sound,
       London 1896, sec. 306 (from memory).

    Examples
    --------
    >>> size = hydraulic_opening(0.0145, 0.100, OpeningShape.RECTANGLE)
    >>> round(1e6 * size.area_m2), round(1000 * size.equivalent_diameter_m, 1)
    (1450, 43.0)
    """
    width = not_negative("width of the opening", width_m, "m")
    area = width * not_negative("height of the opening", height_m, "m")
    if shape is OpeningShape.ELLIPSE:
        area = area * np.pi / 4.0
    return OpeningSize(plain(area), plain(np.sqrt(4.0 * area / np.pi)))


@dataclass(frozen=True, slots=True)
class Openings:
    """The openings of a core, or of many, one core's along the last axis.

    Attributes
    ----------
    area_m2 : area [m2]; 0 where there is no opening
    diameter_m : diameter of the round opening of the same area [m]
    rise_m : height from the lowest to the highest point as the core stands [m]
    neck_length_m : wax and shell together [m]
    level_m : height of the middle above any level common to the core [m]
    facing : `Facing` of each, as integers
    """

    area_m2: Array
    diameter_m: Array
    rise_m: Array
    neck_length_m: Array
    level_m: Array
    facing: Array

    @classmethod
    def of(
        cls,
        width_m: FloatOrArray,
        height_m: FloatOrArray,
        neck_length_m: FloatOrArray,
        facing: ArrayLike,
        level_m: FloatOrArray = 0.0,
        shape: OpeningShape = OpeningShape.ELLIPSE,
    ) -> Openings:
        """Describe openings of one shape by width, upright height and place; single ones too."""
        size = hydraulic_opening(width_m, height_m, shape)
        return cls.checked(
            size.area_m2, size.equivalent_diameter_m, height_m, neck_length_m, level_m, facing
        )

    @classmethod
    def checked(
        cls,
        area_m2: FloatOrArray,
        diameter_m: FloatOrArray,
        rise_m: FloatOrArray,
        neck_length_m: FloatOrArray,
        level_m: FloatOrArray,
        facing: ArrayLike,
    ) -> Openings:
        """Check and broadcast the attributes, for openings of several shapes."""
        return cls(
            *np.broadcast_arrays(
                np.atleast_1d(not_negative("area of the opening", area_m2, "m2")),
                not_negative("diameter of the opening", diameter_m, "m"),
                not_negative("height of the opening", rise_m, "m"),
                not_negative("length of the neck", neck_length_m, "m"),
                within("level of the opening", level_m, -100.0, 100.0, "-100 to 100 m"),
                _facing(facing),
            )
        )


def _facing(facing: ArrayLike) -> Array:
    given = np.asarray(facing, dtype=np.float64)
    unknown = ~np.isin(given, list(Facing))
    if unknown.any():
        raise ValueOutOfRangeError("facing", float(given[unknown][0]), "DOWN, SIDE or UP")
    return given


@dataclass(frozen=True, slots=True)
class Vents:
    """What openings pass at a density ratio of one; from it follows every other ratio.

    Flow without viscosity grows with the root of the ratio, with viscosity with the ratio itself.

    Attributes
    ----------
    free, viscous : exchange of each opening, without and with viscosity alone [m3/s]
    facing : `Facing` of each opening
    stack : draught of a core [m3/s]
    diffusion : conductance of a core by diffusion [m3/s]
    blown : air blown into a core [m3/s]
    factor : what a core's checks have taught [-]
    """

    free: Array
    viscous: Array
    facing: Array
    stack: Array
    diffusion: Array
    blown: Array
    factor: Array

    @classmethod
    def of(
        cls,
        openings: Openings,
        diffusivity_m2_s: FloatOrArray,
        viscosity_m2_s: FloatOrArray,
        forced_flow_m3_s: FloatOrArray = 0.0,
        vent_factor: FloatOrArray = 1.0,
    ) -> Vents:
        """Work out the openings once, for any density of the core's air."""
        area, diameter = openings.area_m2, openings.diameter_m
        level = horizontal_exchange(diameter, openings.neck_length_m, 1.0)
        upright = side_exchange(area, openings.rise_m, 1.0)
        diffusion = opening_conductance(
            area, diameter, openings.neck_length_m, _per_opening(diffusivity_m2_s)
        )
        blown = not_negative("air blown in", forced_flow_m3_s, "m3/s")
        return cls(
            free=np.where(openings.facing == Facing.SIDE, upright, level),
            viscous=np.asarray(viscous_exchange(diameter, 1.0, _per_opening(viscosity_m2_s))),
            facing=openings.facing,
            stack=np.asarray(stack_flow(area, openings.level_m, 1.0)),
            diffusion=np.sum(diffusion, axis=-1),
            # A hose needs an opening to blow through.
            blown=np.where(np.sum(area, axis=-1) > 0.0, blown, 0.0),
            factor=positive("factor of the openings", vent_factor, ""),
        )

    def exchange(self, ratio: FloatOrArray) -> Array:
        """Exchange and draught [m3/s] at a density ratio, above 0 with the heavier core."""
        each = _per_opening(ratio)
        root = np.sqrt(np.abs(each))
        # An opening that faces where the lighter air lies stays layered.
        layered = np.sign(each) * self.facing > 0.0
        drag = self.free + self.viscous * root
        slowed = self.free * self.viscous * root**2 / np.where(drag > 0.0, drag, 1.0)
        local = np.sum(np.where(layered, 0.0, slowed), axis=-1)
        return np.asarray(np.hypot(local, self.stack * np.sqrt(np.abs(ratio))))

    def conductance(self, ratio: FloatOrArray) -> Array:
        """Conductance on vapour density [m3/s] at a density ratio."""
        moved = np.hypot(self.exchange(ratio), self.blown)
        return np.asarray(self.factor * (self.diffusion + moved))


def _per_opening(value: FloatOrArray) -> Array:
    return np.asarray(value, dtype=np.float64)[..., np.newaxis]


def _density_ratio(excess_kg_m3: FloatOrArray, room_kg_m3: FloatOrArray) -> Array:
    excess = within("difference of the densities", excess_kg_m3, -1.0, 1.0, "-1 to 1 kg/m3")
    return np.asarray(np.clip(excess / room_kg_m3, -1.0, 1.0))


def exchange_flow(
    openings: Openings,
    density_excess_kg_m3: FloatOrArray,
    temp_c: FloatOrArray = 20.0,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute how much air a core and the room exchange because one is heavier.

    Parameters
    ----------
    openings : Openings
        The core's openings along the last axis.
    density_excess_kg_m3 : float or array
        Density of the core's air less that of the room's [kg/m3], -1 to 1: above 0 the core is the
        heavier.
    temp_c : float or array, optional
        Air temperature [°C], -40 to 80.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Flow in, equal to the flow out [m3/s], broadcast shape without the axis of openings.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    A heavier core drains through openings that face down or sideways and stays layered under one
    that faces up; a lighter core the other way round. Each opening passes
    ``1/(1/Q_free + 1/Q_viscous)`` with `horizontal_exchange` or `side_exchange` and
    `viscous_exchange`; openings add up. A draught between heights (`stack_flow`) takes the place
    of the exchange where it is stronger: the two are added as squares, as is done for wind and
    stack in buildings. Error about a factor of two below 40 mm, a third above. Room draughts
    across an opening are not computed and can be as strong as all of this.

    References
    ----------
    .. [1] M. Epstein, J. Heat Transfer 110 (1988) 885; W. G. Brown and K. R. Solvason, Int. J. Heat
       Mass Transfer 5 (1962) 859.
    .. [2] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 16 (flows added as squares; from
       memory).

    Examples
    --------
    60 mm in a wall of 8 mm, the core heavier by 0.012 kg/m3, in litres per minute:

    >>> for facing in (Facing.DOWN, Facing.SIDE, Facing.UP):
    ...     opening = Openings.of(0.060, 0.060, 0.008, facing)
    ...     print(facing.name, round(60000 * exchange_flow(opening, 0.012), 2))
    DOWN 0.93
    SIDE 2.13
    UP 0.0
    """
    room = air_density(temp_c, 0.0, pressure_pa)
    vents = Vents.of(openings, vapour_diffusivity(temp_c), air_viscosity(temp_c) / room)
    return plain(vents.exchange(_density_ratio(density_excess_kg_m3, room)))


def vent_conductance(
    openings: Openings,
    density_excess_kg_m3: FloatOrArray,
    temp_c: FloatOrArray = 20.0,
    *,
    forced_flow_m3_s: FloatOrArray = 0.0,
    vent_factor: FloatOrArray = 1.0,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute how readily vapour leaves a core through all its openings.

    Parameters
    ----------
    openings : Openings
        The core's openings along the last axis.
    density_excess_kg_m3 : float or array
        Density of the core's air less that of the room's [kg/m3], -1 to 1.
    temp_c : float or array, optional
        Air temperature [°C], -40 to 80.
    forced_flow_m3_s : float or array, optional
        Air blown into the core [m3/s], 0 or more; 10 L/min is 1.67e-4.
    vent_factor : float or array, optional
        What this core's own checks have taught, above 0; 1 without checks.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Conductance on vapour density [m3/s], broadcast shape without the axis of openings; 0
        without an opening.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``factor (sum D A/(l + pi d/4) + sqrt(exchange^2 + forced^2))``. Blown air drives the exchange
    out of an opening rather than adding to it (Epstein and Kenton), hence the squares; where one of
    the two is ten times the other this is their sum to 10 %. The core's air is well mixed; the hose
    leaves the opening free and needs one to blow through.

    References
    ----------
    .. [1] `opening_conductance`, `exchange_flow` and their sources.
    .. [2] M. Epstein and M. A. Kenton, Combined natural convection and forced flow through small
       openings in a horizontal partition, J. Heat Transfer 111 (1989) 980 (from memory).

    Examples
    --------
    An opening of 20 mm that faces down, of itself and with 10 L/min, in litres per minute:

    >>> opening = Openings.of(0.020, 0.020, 0.008, Facing.DOWN)
    >>> round(60000 * vent_conductance(opening, 0.006), 3)
    0.054
    >>> round(60000 * vent_conductance(opening, 0.006, forced_flow_m3_s=10e-3 / 60), 1)
    10.0
    """
    room = air_density(temp_c, 0.0, pressure_pa)
    vents = Vents.of(
        openings,
        vapour_diffusivity(temp_c, pressure_pa),
        air_viscosity(temp_c) / room,
        forced_flow_m3_s,
        vent_factor,
    )
    return plain(vents.conductance(_density_ratio(density_excess_kg_m3, room)))
