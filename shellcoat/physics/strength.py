"""Bending of a shell's flat faces and stretching of its round ones under the weight of metal.

Stresses to set beside a strength, with the band that strength has. A shell is brittle, layered and
uneven: such a comparison says which face is the worst and how far a coat more would go, and no more
than that. Experienced practice and the foundry's own pours come first.
"""

from __future__ import annotations

from enum import Enum

import numpy as np

from shellcoat.physics.constants import GRAVITY_M_S2
from shellcoat.physics.quantities import (
    Array,
    FloatOrArray,
    not_negative,
    plain,
    positive,
    within,
)


class PlateEdge(Enum):
    """How a flat face is held along its edges."""

    SIMPLY_SUPPORTED = "simply supported"
    CLAMPED = "clamped"


# Roark 7th ed. table 11.4, cases 1a and 8a, Poisson's ratio 0.3: long over short side, and beta of
# the largest stress (centre of the plate; middle of the long edge).
_RATIOS = {
    PlateEdge.SIMPLY_SUPPORTED: (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0, 4.0, 5.0, np.inf),
    PlateEdge.CLAMPED: (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, np.inf),
}
_COEFFICIENTS = {
    PlateEdge.SIMPLY_SUPPORTED: (
        *(0.2874, 0.3762, 0.4530, 0.5172, 0.5688, 0.6102),
        *(0.7134, 0.7410, 0.7476, 0.7500),
    ),
    PlateEdge.CLAMPED: (0.3078, 0.3834, 0.4356, 0.4680, 0.4872, 0.4974, 0.5000),
}
# Up to here the table is close enough for straight lines over the ratio.
_CLOSE_TABLE = 2.0


def metal_head_pressure(density_kg_m3: FloatOrArray, head_m: FloatOrArray) -> FloatOrArray:
    """Compute the pressure of liquid metal on the wall.

    Parameters
    ----------
    density_kg_m3 : float or array
        Density of the liquid metal [kg/m3], above 0.
    head_m : float or array
        Height of metal above the place, up to the level in the cup [m], 0 or more.

    Returns
    -------
    float or array
        Pressure [Pa], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``rho g h``, metal at rest. The jolt when the mould fills comes on top and is not computed.

    References
    ----------
    .. [1] F. M. White, Fluid Mechanics, New York 2003, ch. 2 (hydrostatics).

    Examples
    --------
    Half a metre of bronze, in kilopascals:

    >>> round(metal_head_pressure(8400.0, 0.5) / 1000, 1)
    41.2
    """
    density = positive("density of the metal", density_kg_m3, "kg/m3")
    return plain(density * GRAVITY_M_S2 * not_negative("head of metal", head_m, "m"))


def plate_coefficient(a_over_b: FloatOrArray, edge: PlateEdge) -> FloatOrArray:
    """Look up the bending coefficient of a rectangular face under even pressure.

    Parameters
    ----------
    a_over_b : float or array
        Long side over short side [-], 1 or more; infinite for a long strip.
    edge : PlateEdge
        How the face is held along all four edges.

    Returns
    -------
    float or array
        Coefficient beta of ``sigma = beta p b^2/t^2`` [-], shape of `a_over_b`.

    Raises
    ------
    ValueOutOfRangeError
        If the ratio is below 1 or not a number.

    Notes
    -----
    The table, and straight lines between its points: over ``a/b`` to 2, over ``b/a`` beyond. They
    lie at most 0.9 % below Navier's series for a simply supported plate. Poisson's ratio 0.3; at
    0.15, nearer to ceramics, a simply supported square has 12 % less, a strip and a clamped edge
    the same. A face of a shell is held somewhere between the two.

    References
    ----------
    .. [1] W. C. Young and R. G. Budynas, Roark's Formulas for Stress and Strain, 7th ed., New York
       2002, table 11.4, cases 1a and 8a.

    Examples
    --------
    >>> [round(plate_coefficient(1.5, edge), 4) for edge in PlateEdge]
    [0.4851, 0.4518]
    """
    ratio = within("long side over short side", a_over_b, 1.0, np.inf, "1 or more")
    ratios, betas = np.array(_RATIOS[edge]), np.array(_COEFFICIENTS[edge])
    close = np.interp(ratio, ratios[:-1], betas[:-1])
    # np.interp wants rising positions: the reciprocals, last row first.
    far = np.interp(1.0 / ratio, 1.0 / ratios[::-1], betas[::-1])
    return plain(np.where(ratio <= _CLOSE_TABLE, close, far))


def bending_stress(
    pressure_pa: FloatOrArray,
    short_side_m: FloatOrArray,
    thickness_m: FloatOrArray,
    coefficient: FloatOrArray,
) -> FloatOrArray:
    """Compute the largest bending stress in a flat face of known coefficient.

    Parameters
    ----------
    pressure_pa : float or array
        Even pressure [Pa], 0 or more.
    short_side_m : float or array
        Short side between its supports [m], above 0.
    thickness_m : float or array
        Thickness of the wall [m], above 0.
    coefficient : float or array
        Coefficient beta [-], above 0, from `plate_coefficient` or another source; six times that
        of a moment ``M = k p b^2``.

    Returns
    -------
    float or array
        Stress [Pa], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``beta p b^2/t^2``. Thin elastic plate: thickness up to about a quarter of the short side,
    deflection below half the thickness.

    References
    ----------
    .. [1] Young and Budynas, Roark's Formulas for Stress and Strain, New York 2002, table 11.4.
    """
    slender = positive("short side", short_side_m, "m") / positive("thickness", thickness_m, "m")
    load = not_negative("pressure", pressure_pa, "Pa") * positive("coefficient", coefficient, "")
    return plain(load * slender**2)


def bending_thickness(
    pressure_pa: FloatOrArray,
    short_side_m: FloatOrArray,
    strength_pa: FloatOrArray,
    coefficient: FloatOrArray,
    margin: FloatOrArray = 1.0,
) -> FloatOrArray:
    """Compute the thickness at which the bending stress of a flat face equals a strength.

    Parameters
    ----------
    pressure_pa : float or array
        Even pressure [Pa], 0 or more.
    short_side_m : float or array
        Short side between its supports [m], above 0.
    strength_pa : float or array
        Flexural strength of the wall [Pa], above 0.
    coefficient : float or array
        Coefficient beta [-], above 0.
    margin : float or array, optional
        Strength over stress that is asked for [-], above 0.

    Returns
    -------
    float or array
        Thickness [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``b sqrt(beta p margin/sigma)``, the inverse of `bending_stress`.

    References
    ----------
    .. [1] A. P. Boresi and R. J. Schmidt, Advanced Mechanics of Materials, Hoboken 2003, ch. 13.

    Examples
    --------
    Boresi and Schmidt's steel panel of example 13.2, moment 0.04 p b^2, in millimetres:

    >>> round(1000 * bending_thickness(29400.0, 0.9, 124e6, 6 * 0.04), 2)
    6.79
    """
    load = not_negative("pressure", pressure_pa, "Pa") * positive("coefficient", coefficient, "")
    carried = positive("strength", strength_pa, "Pa") / positive("margin", margin, "")
    return plain(positive("short side", short_side_m, "m") * np.sqrt(load / carried))


def plate_stress(
    pressure_pa: FloatOrArray,
    long_side_m: FloatOrArray,
    short_side_m: FloatOrArray,
    thickness_m: FloatOrArray,
    edge: PlateEdge,
) -> FloatOrArray:
    """Compute the largest bending stress in a flat rectangular face.

    Parameters
    ----------
    pressure_pa : float or array
        Even pressure [Pa], 0 or more.
    long_side_m : float or array
        Long side between its supports [m], at least the short one; infinite for a strip.
    short_side_m : float or array
        Short side [m], above 0.
    thickness_m : float or array
        Thickness of the wall [m], above 0.
    edge : PlateEdge
        How the face is held.

    Returns
    -------
    float or array
        Stress [Pa], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range, the long side the shorter, or a value not a number.

    Notes
    -----
    `bending_stress` with `plate_coefficient`. Wire and ribs carry part of it; no published figure
    says how much.

    References
    ----------
    .. [1] Young and Budynas, Roark's Formulas for Stress and Strain, New York 2002, table 11.4.

    Examples
    --------
    A face of 100 by 150 mm, 8 mm thick, under 41 kPa, in megapascals:

    >>> [round(plate_stress(41e3, 0.15, 0.10, 0.008, edge) / 1e6, 2) for edge in PlateEdge]
    [3.11, 2.89]
    """
    coefficient = plate_coefficient(_long_over_short(long_side_m, short_side_m), edge)
    return bending_stress(pressure_pa, short_side_m, thickness_m, coefficient)


def required_thickness(
    pressure_pa: FloatOrArray,
    long_side_m: FloatOrArray,
    short_side_m: FloatOrArray,
    strength_pa: FloatOrArray,
    edge: PlateEdge,
    margin: FloatOrArray = 1.0,
) -> FloatOrArray:
    """Compute the thickness at which the stress in a flat rectangular face equals a strength.

    Parameters
    ----------
    pressure_pa : float or array
        Even pressure [Pa], 0 or more.
    long_side_m : float or array
        Long side between its supports [m], at least the short one; infinite for a strip.
    short_side_m : float or array
        Short side [m], above 0.
    strength_pa : float or array
        Flexural strength of the wall [Pa], above 0.
    edge : PlateEdge
        How the face is held.
    margin : float or array, optional
        Strength over stress that is asked for [-], above 0.

    Returns
    -------
    float or array
        Thickness [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range, the long side the shorter, or a value not a number.

    Notes
    -----
    Inverse of `plate_stress`. Strength enters by its root: a strength known to a factor of four
    gives a thickness known to a factor of two.

    References
    ----------
    .. [1] Young and Budynas, Roark's Formulas for Stress and Strain, New York 2002, table 11.4.

    Examples
    --------
    A face of 100 by 150 mm under 41 kPa, at 1, 2 and 3 MPa, in millimetres:

    >>> [round(1000 * required_thickness(41e3, 0.15, 0.10, s * 1e6, PlateEdge.SIMPLY_SUPPORTED), 2)
    ...  for s in (1, 2, 3)]
    [14.1, 9.97, 8.14]
    """
    coefficient = plate_coefficient(_long_over_short(long_side_m, short_side_m), edge)
    return bending_thickness(pressure_pa, short_side_m, strength_pa, coefficient, margin)


def _long_over_short(long_side_m: FloatOrArray, short_side_m: FloatOrArray) -> Array:
    long = within("long side", long_side_m, 0.0, np.inf, "a number above 0 m")
    return np.asarray(long / positive("short side", short_side_m, "m"))


def round_wall_stress(
    pressure_pa: FloatOrArray, radius_m: FloatOrArray, thickness_m: FloatOrArray
) -> FloatOrArray:
    """Compute the hoop stress in a round wall under pressure from inside.

    Parameters
    ----------
    pressure_pa : float or array
        Pressure of the metal [Pa], 0 or more.
    radius_m : float or array
        Radius of the wall's inner face [m], above 0.
    thickness_m : float or array
        Thickness of the wall [m], above 0.

    Returns
    -------
    float or array
        Tensile stress [Pa], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``p r/t`` of a cylinder, thin wall: with the inner radius 5 % low at a thickness of a tenth of
    it, 20 % at four tenths. A ball has half of it. Metal outside a core presses its wall together
    instead; ceramic bears several times more of that (from memory).

    References
    ----------
    .. [1] Young and Budynas, Roark's Formulas for Stress and Strain, New York 2002, table 13.1.

    Examples
    --------
    An arm of 60 mm across, 8 mm wall, 41 kPa, in megapascals:

    >>> round(round_wall_stress(41e3, 0.030, 0.008) / 1e6, 2)
    0.15
    """
    hoop = not_negative("pressure", pressure_pa, "Pa") * positive("radius", radius_m, "m")
    return plain(hoop / positive("thickness", thickness_m, "m"))


def round_wall_thickness(
    pressure_pa: FloatOrArray,
    radius_m: FloatOrArray,
    strength_pa: FloatOrArray,
    margin: FloatOrArray = 1.0,
) -> FloatOrArray:
    """Compute the thickness at which the hoop stress of a round wall equals a strength.

    Parameters
    ----------
    pressure_pa : float or array
        Pressure of the metal [Pa], 0 or more.
    radius_m : float or array
        Radius of the wall's inner face [m], above 0.
    strength_pa : float or array
        Tensile strength of the wall [Pa], above 0; ceramics pull apart at half to two thirds of
        their flexural strength (from memory).
    margin : float or array, optional
        Strength over stress that is asked for [-], above 0.

    Returns
    -------
    float or array
        Thickness [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``p r margin/sigma``, the inverse of `round_wall_stress`.

    References
    ----------
    .. [1] Young and Budynas, Roark's Formulas for Stress and Strain, New York 2002, table 13.1.
    """
    hoop = not_negative("pressure", pressure_pa, "Pa") * positive("radius", radius_m, "m")
    carried = positive("strength", strength_pa, "Pa") / positive("margin", margin, "")
    return plain(hoop / carried)
