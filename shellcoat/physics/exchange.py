"""How vapour gets through an opening: it diffuses, and air that differs in weight changes places.

Inflow and outflow of an exchange are equal, so one number says how much core air is replaced by
room air in a second. The density ratio is the difference of the two airs over the room's density;
which of them is the heavier decides only whether an opening exchanges at all, see `cavity`.

The laws of exchange without viscosity were measured on doors and on openings between brine and
water. Below a Grashof number ``g ratio d^3/nu^2`` of some ten thousand, which is an opening of
40 mm at half a percent, viscosity holds the air back and `viscous_exchange` is the limit.
"""

from __future__ import annotations

import numpy as np

from shellcoat.physics.constants import GRAVITY_M_S2, STANDARD_PRESSURE_PA
from shellcoat.physics.quantities import (
    Array,
    FloatOrArray,
    air_pressure,
    not_negative,
    plain,
    positive,
    within,
)

# Brown and Solvason 1962 found 0.6 to 1 in air (from memory); 0.6 is a sharp edge, and models of
# buildings take 0.65 for a doorway.
_DISCHARGE = 0.6

# Epstein 1988: flow through a thin opening, and the four numbers of his curve over neck length
# (0.055 and the regimes from the abstract and from later use; the curve itself from memory).
_THIN_OPENING = 0.055
_NECK_RISE = 400.0
_NECK_FALL = 0.00527
_NECK_MIDDLE = 117.0
_SHORTEST_NECK = 0.01

# Two laminar streams of equal size side by side in a round tube do not drag each other, so each is
# the flow in a half round duct: friction factor times Reynolds number 15.77, hydraulic diameter
# pi d/(pi + 2) (Shah and London 1978, half round duct; from memory), pressure g drho/2 per metre.
_HALF_DUCT_DIAMETER = np.pi / (np.pi + 2.0)
_HALF_DUCT_FRICTION = 15.767
_VISCOUS = _HALF_DUCT_DIAMETER**2 / (4.0 * _HALF_DUCT_FRICTION) * np.pi / 8.0

# Halving steps for the level at which a stack neither blows nor sucks, to the last digit.
_LEVEL_STEPS = 55
_HIGHEST_M = 100.0

# Difference of the logarithmic mean from the arithmetic one is 1e-9 here; its formula loses digits.
_EQUAL_PRESSURES = 1e-4


def opening_conductance(
    area_m2: FloatOrArray,
    equivalent_diameter_m: FloatOrArray,
    neck_length_m: FloatOrArray,
    diffusivity_m2_s: FloatOrArray,
) -> FloatOrArray:
    """Compute how readily vapour diffuses through an opening.

    Parameters
    ----------
    area_m2 : float or array
        Area of the opening [m2], 0 or more; 0 is a closed one.
    equivalent_diameter_m : float or array
        Diameter of the round opening of the same area [m], 0 or more. 0 leaves out the ends.
    neck_length_m : float or array
        Length of the neck, wax and shell together [m], 0 or more.
    diffusivity_m2_s : float or array
        Diffusivity of vapour in air [m2/s], above 0.

    Returns
    -------
    float or array
        Conductance on vapour density [m3/s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``D A / (l + pi d/4)``. The two ends, where the vapour gathers and spreads, count as ``pi d/8``
    of neck each; a hole without a neck passes ``D d``. Exact for a thin round hole, up to 3 % high
    with a neck, whose ends count for 0.41 d each; up to 20 % low for a slot six times as long as
    wide. For small vapour fractions: `stefan_flow_factor` corrects for large ones.

    References
    ----------
    .. [1] J. L. Monteith and M. H. Unsworth, Principles of Environmental Physics, Amsterdam 2008,
       ch. 11 (resistance of a pore, pi d/8 for each end).
    .. [2] C. J. Geankoplis, Transport Processes and Unit Operations, Englewood Cliffs 1993, sec.
       6.2 (diffusion through a neck).

    Examples
    --------
    A round opening of 20 mm in a wall 8 mm thick, in litres per hour:

    >>> round(3.6e6 * opening_conductance(3.14e-4, 0.020, 0.008, 2.5e-5), 2)
    1.19
    """
    area = not_negative("area of the opening", area_m2, "m2")
    ends = not_negative("diameter of the opening", equivalent_diameter_m, "m") * np.pi / 4.0
    path = not_negative("length of the neck", neck_length_m, "m") + ends
    carried = positive("diffusivity", diffusivity_m2_s, "m2/s") * area
    # A closed opening has no path either: nothing goes through.
    return plain(carried / positive("length of the path", np.where(area > 0.0, path, 1.0), "m"))


def stefan_flow_factor(
    vapour_inside_pa: FloatOrArray,
    vapour_outside_pa: FloatOrArray,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute by how much the vapour's own outward flow speeds its diffusion.

    Parameters
    ----------
    vapour_inside_pa : float or array
        Vapour pressure where the vapour comes from [Pa], 0 to below the air pressure.
    vapour_outside_pa : float or array
        Vapour pressure where it goes to [Pa], 0 to below the air pressure.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Factor on the flux [-], broadcast shape; 1 in dry air.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``P / p_BM`` with the logarithmic mean ``p_BM`` of the dry air's pressures at both ends: the air
    stands still, so the mixture moves outward. 1.02 at 22 °C, 1.03 at 30 °C.

    References
    ----------
    .. [1] Geankoplis, Transport Processes and Unit Operations, Englewood Cliffs 1993, eq. 6.2-22.

    Examples
    --------
    >>> round(stefan_flow_factor(2338.0, 0.0), 4)
    1.0117
    """
    pressure = air_pressure(pressure_pa)
    dry = [
        positive("dry air", pressure - not_negative("vapour pressure", vapour, "Pa"), "Pa")
        for vapour in (vapour_inside_pa, vapour_outside_pa)
    ]
    difference = np.log(dry[1] / dry[0])
    equal = np.abs(difference) < _EQUAL_PRESSURES
    logarithmic = (dry[1] - dry[0]) / np.where(equal, 1.0, difference)
    return plain(pressure / np.where(equal, (dry[0] + dry[1]) / 2.0, logarithmic))


def horizontal_exchange(
    diameter_m: FloatOrArray, neck_length_m: FloatOrArray, density_ratio: FloatOrArray
) -> FloatOrArray:
    """Compute the exchange through a level opening with the heavier air above it.

    Parameters
    ----------
    diameter_m : float or array
        Diameter of the round opening of the same area [m], 0 or more.
    neck_length_m : float or array
        Length of the neck [m], 0 or more.
    density_ratio : float or array
        Difference of the densities over the density [-], 0 to 1.

    Returns
    -------
    float or array
        Flow either way [m3/s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``Q = Fr sqrt(g d^5 drho/rho)`` with, for ``x = l/d`` from 0.01 to 10 and ``n = 1 + 400 x^3``,
    ``Fr = 0.055 n^(1/6) / (1 + 0.00527 n^(1/2) (x^6 + 117 x^2)^(3/4))^(1/3)``.

    A thin opening has 0.055; a neck of half a diameter guides the streams apart and passes 0.09; a
    long one mixes them, ``0.32 x^(-3/2)``. Measured with brine over water, free of viscosity. For
    thin openings Cooper takes a third more, ``0.1 sqrt(g A^(5/2) drho/rho)``: that is the error to
    expect. Necks shorter than 0.01 count as that, longer than 10 are extrapolated.

    References
    ----------
    .. [1] M. Epstein, Buoyancy-driven exchange flow through small openings in horizontal
       partitions, J. Heat Transfer 110 (1988) 885 (curve over the neck from memory).
    .. [2] L. Y. Cooper, Calculation of the flow through a horizontal ceiling/floor vent, NISTIR
       89-4052, Gaithersburg 1989.

    Examples
    --------
    60 mm, one percent, thin edge and a wall of 8 mm, in litres per minute:

    >>> round(60000 * horizontal_exchange(0.060, 0.0, 0.01), 2)
    0.91
    >>> round(60000 * horizontal_exchange(0.060, 0.008, 0.01), 2)
    1.01
    """
    diameter = not_negative("diameter of the opening", diameter_m, "m")
    neck = not_negative("length of the neck", neck_length_m, "m")
    ratio = _density_ratio(density_ratio)
    slender = np.maximum(neck / np.where(diameter > 0.0, diameter, 1.0), _SHORTEST_NECK)
    risen = 1.0 + _NECK_RISE * slender**3
    mixing = np.sqrt(risen) * (slender**6 + _NECK_MIDDLE * slender**2) ** 0.75
    froude = _THIN_OPENING * risen ** (1.0 / 6.0) / np.cbrt(1.0 + _NECK_FALL * mixing)
    return plain(froude * np.sqrt(GRAVITY_M_S2 * diameter**5 * ratio))


def side_exchange(
    area_m2: FloatOrArray, height_m: FloatOrArray, density_ratio: FloatOrArray
) -> FloatOrArray:
    """Compute the exchange through an upright opening, one air above the other.

    Parameters
    ----------
    area_m2 : float or array
        Area of the opening [m2], 0 or more.
    height_m : float or array
        Height of the opening from its lowest to its highest point [m], 0 or more.
    density_ratio : float or array
        Difference of the densities over the density [-], 0 to 1.

    Returns
    -------
    float or array
        Flow either way [m3/s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``(C_d/3) A sqrt(g H drho/rho)``, for a rectangle ``(C_d/3) W H^(3/2) sqrt(g drho/rho)``, with
    0.6 for ``C_d``: Bernoulli's speed over each half of the height. For a round opening 9 % high.
    Measured in air on openings of 76 to 305 mm (from memory); the wall's thickness mattered little.

    References
    ----------
    .. [1] W. G. Brown and K. R. Solvason, Natural convection through rectangular openings in
       partitions, 1: vertical partitions, Int. J. Heat Mass Transfer 5 (1962) 859.
    .. [2] W. G. Brown, A. G. Wilson and K. R. Solvason, Heat and moisture flow through openings by
       convection, ASHRAE Transactions 69 (1963) 351.

    Examples
    --------
    60 by 60 mm, one percent, in litres per minute:

    >>> round(60000 * side_exchange(0.0036, 0.060, 0.01), 2)
    3.31
    """
    area = not_negative("area of the opening", area_m2, "m2")
    height = not_negative("height of the opening", height_m, "m")
    speed = np.sqrt(GRAVITY_M_S2 * height * _density_ratio(density_ratio))
    return plain(_DISCHARGE / 3.0 * area * speed)


def viscous_exchange(
    diameter_m: FloatOrArray, density_ratio: FloatOrArray, viscosity_m2_s: FloatOrArray
) -> FloatOrArray:
    """Compute the exchange that viscosity alone would allow.

    Parameters
    ----------
    diameter_m : float or array
        Diameter of the round opening of the same area [m], 0 or more.
    density_ratio : float or array
        Difference of the densities over the density [-], 0 to 1.
    viscosity_m2_s : float or array
        Kinematic viscosity of the air [m2/s], above 0.

    Returns
    -------
    float or array
        Flow either way [m3/s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``0.00232 g d^4 (drho/rho) / nu``: heavy and light air side by side in an upright round neck,
    each half laminar, an exact solution of which the length falls out. Used for openings on the
    side and without a neck too, where the same reckoning gives about 0.0017. An upper limit: real
    streams share the neck less evenly, and below a Rayleigh number ``g ratio d^4 / (16 nu D l)`` of
    68 nothing moves at all, which is where an opening of 20 mm stands. There diffusion carries as
    much as this is wrong by.

    References
    ----------
    .. [1] R. K. Shah and A. L. London, Laminar Flow Forced Convection in Ducts, New York 1978
       (half round duct; from memory).
    .. [2] G. I. Taylor, Diffusion and mass transport in tubes, Proc. Physical Society B 67 (1954)
       857 (onset; from memory).

    Examples
    --------
    20 mm and half a percent, in litres per minute:

    >>> round(60000 * viscous_exchange(0.020, 0.005, 1.52e-5), 3)
    0.072
    """
    diameter = not_negative("diameter of the opening", diameter_m, "m")
    viscosity = positive("viscosity of the air", viscosity_m2_s, "m2/s")
    drive = GRAVITY_M_S2 * _density_ratio(density_ratio)
    return plain(_VISCOUS * drive * diameter**4 / viscosity)


def stack_flow(
    area_m2: FloatOrArray, level_m: FloatOrArray, density_ratio: FloatOrArray
) -> FloatOrArray:
    """Compute the draught through openings at different heights.

    Parameters
    ----------
    area_m2 : float or array
        Areas of a core's openings along the last axis [m2], 0 or more.
    level_m : float or array
        Height of each opening's middle above any common level [m]; same last axis.
    density_ratio : float or array
        Difference of the densities over the density [-], 0 to 1; without the last axis.

    Returns
    -------
    float or array
        Flow in, equal to the flow out [m3/s]: broadcast shape without the last axis.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Each opening passes ``C_d A sqrt(2 g |z - z_0| drho/rho)`` with ``C_d = 0.6``, and the level
    ``z_0`` makes in and out equal. For two openings this is ``C_d A* sqrt(2 g dh drho/rho)`` with
    ``1/A*^2 = 1/A_1^2 + 1/A_2^2``. Well mixed core, sharp edges; below a few millimetres viscosity
    makes it less.

    References
    ----------
    .. [1] P. F. Linden, The fluid mechanics of natural ventilation, Annual Review of Fluid
       Mechanics 31 (1999) 201.
    .. [2] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 16 (stack effect).

    Examples
    --------
    Two openings of 20 mm, one 150 mm above the other, half a percent, in litres per minute:

    >>> round(60000 * stack_flow([3.14e-4, 3.14e-4], [0.0, 0.15], 0.005), 2)
    0.97
    """
    area, level = np.broadcast_arrays(
        np.atleast_1d(not_negative("area of the opening", area_m2, "m2")),
        np.atleast_1d(
            within("level of the opening", level_m, -_HIGHEST_M, _HIGHEST_M, "-100 to 100 m")
        ),
    )
    low, high = _neutral_level(area, level)
    # What goes out above the lower end and comes in below the upper one both bound the flow from
    # above; beside a large opening only the small one's tells it to many digits.
    most_out = _passed(area, level - low[..., np.newaxis])
    most_in = _passed(area, high[..., np.newaxis] - level)
    flow = _DISCHARGE * np.sqrt(2.0 * GRAVITY_M_S2) * np.minimum(most_out, most_in)
    return plain(flow * np.sqrt(_density_ratio(density_ratio)))


def _passed(area: Array, offset: Array) -> Array:
    return np.asarray(np.sum(area * np.sqrt(np.maximum(offset, 0.0)), axis=-1))


def _neutral_level(area: Array, level: Array) -> tuple[Array, Array]:
    """Halve the height of the openings until as much goes out above the level as comes in below."""
    low = np.min(level, axis=-1, where=area > 0.0, initial=_HIGHEST_M)
    high = np.maximum(np.max(level, axis=-1, where=area > 0.0, initial=-_HIGHEST_M), low)
    for _ in range(_LEVEL_STEPS):
        middle = (low + high) / 2.0
        offset = level - middle[..., np.newaxis]
        surplus = _passed(area, offset) - _passed(area, -offset)
        low, high = np.where(surplus > 0.0, middle, low), np.where(surplus > 0.0, high, middle)
    return low, high


def _density_ratio(ratio: FloatOrArray) -> Array:
    return within("difference of the densities", ratio, 0.0, 1.0, "a fraction from 0 to 1")
