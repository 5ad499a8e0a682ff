"""How thick a coat a dip leaves, and how deep its water soaks in.

A film is dragged out of the slurry by the withdrawal, drains until a yield stress or the next step
stops it, and soaks the wall below. The shop's own plate test, where there is one, replaces all but
the last of these.
"""

from __future__ import annotations

import numpy as np

from shellcoat.physics.constants import GRAVITY_M_S2, WATER_DENSITY_KG_M3
from shellcoat.physics.quantities import (
    Array,
    FloatOrArray,
    fraction,
    not_negative,
    plain,
    positive,
)

# Landau and Levich 1942; White and Tallmadge 1965 keep it.
_LANDAU_LEVICH = 0.944
_NEWTON_STEPS = 30
_NEWTON_TOLERANCE = 1e-12


def capillary_length(
    surface_tension_n_m: FloatOrArray, density_kg_m3: FloatOrArray
) -> FloatOrArray:
    """Compute the length at which surface tension and weight are equal.

    Parameters
    ----------
    surface_tension_n_m : float or array
        Surface tension [N/m], above 0.
    density_kg_m3 : float or array
        Density of the liquid [kg/m3], above 0.

    Returns
    -------
    float or array
        Capillary length [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is not above 0 or not finite.

    Notes
    -----
    ``sqrt(gamma / (rho g))``.

    References
    ----------
    .. [1] L. Landau and B. Levich, Dragging of a liquid by a moving plate, Acta Physicochimica
       URSS 17 (1942) 42.

    Examples
    --------
    Water at 20 °C:

    >>> round(1000 * capillary_length(0.0728, 998.2), 3)
    2.727
    """
    tension = positive("surface tension", surface_tension_n_m, "N/m")
    return plain(np.sqrt(tension / (positive("density", density_kg_m3, "kg/m3") * GRAVITY_M_S2)))


def capillary_number(
    viscosity_pa_s: FloatOrArray, speed_m_s: FloatOrArray, surface_tension_n_m: FloatOrArray
) -> FloatOrArray:
    """Compute the ratio of viscous drag to surface tension.

    Parameters
    ----------
    viscosity_pa_s : float or array
        Viscosity of the slurry [Pa s], above 0.
    speed_m_s : float or array
        Withdrawal speed [m/s], 0 or more.
    surface_tension_n_m : float or array
        Surface tension [N/m], above 0.

    Returns
    -------
    float or array
        Capillary number [-], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``mu U / gamma``.

    References
    ----------
    .. [1] Landau and Levich, Acta Physicochimica URSS 17 (1942) 42.
    """
    drag = positive("viscosity", viscosity_pa_s, "Pa s") * not_negative(
        "withdrawal speed", speed_m_s, "m/s"
    )
    return plain(drag / positive("surface tension", surface_tension_n_m, "N/m"))


def landau_levich_film(
    viscosity_pa_s: FloatOrArray,
    density_kg_m3: FloatOrArray,
    surface_tension_n_m: FloatOrArray,
    speed_m_s: FloatOrArray,
) -> FloatOrArray:
    """Compute the film a slow withdrawal drags out, with gravity only in the meniscus.

    Parameters
    ----------
    viscosity_pa_s : float or array
        Viscosity [Pa s], above 0.
    density_kg_m3 : float or array
        Density [kg/m3], above 0.
    surface_tension_n_m : float or array
        Surface tension [N/m], above 0.
    speed_m_s : float or array
        Withdrawal speed [m/s], 0 or more.

    Returns
    -------
    float or array
        Film thickness [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``0.944 l_c Ca^(2/3)`` for a capillary number below about 0.01; slurries are far above, for
    which `withdrawal_film` is meant.

    References
    ----------
    .. [1] Landau and Levich, Acta Physicochimica URSS 17 (1942) 42.
    """
    number = capillary_number(viscosity_pa_s, speed_m_s, surface_tension_n_m)
    length = capillary_length(surface_tension_n_m, density_kg_m3)
    return plain(_LANDAU_LEVICH * length * np.cbrt(number) ** 2)


def withdrawal_film(
    viscosity_pa_s: FloatOrArray,
    density_kg_m3: FloatOrArray,
    surface_tension_n_m: FloatOrArray,
    speed_m_s: FloatOrArray,
) -> FloatOrArray:
    """Compute the film a withdrawal drags out of the tank, gravity in the film included.

    Parameters
    ----------
    viscosity_pa_s : float or array
        Viscosity [Pa s], above 0.
    density_kg_m3 : float or array
        Density [kg/m3], above 0.
    surface_tension_n_m : float or array
        Surface tension [N/m], above 0.
    speed_m_s : float or array
        Withdrawal speed [m/s], 0 or more.

    Returns
    -------
    float or array
        Film thickness [m], broadcast shape; below ``sqrt(mu U / (rho g))``.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    With ``T = h sqrt(rho g / (mu U))``, ``T = 0.944 Ca^(1/6) (1 - T^2)^(2/3)``. Newtonian
    liquid, flat plate straight up, no inertia: meant for a capillary number up to about 2.

    References
    ----------
    .. [1] D. A. White and J. A. Tallmadge, Theory of drag out of liquids on flat plates, Chemical
       Engineering Science 20 (1965) 33 (form of the equation from memory).

    Examples
    --------
    A backup slurry drawn out at 50 mm/s, in millimetres:

    >>> round(1000 * withdrawal_film(0.35, 1650.0, 0.050, 0.050), 3)
    0.617
    """
    number = np.asarray(capillary_number(viscosity_pa_s, speed_m_s, surface_tension_n_m))
    drag = number * positive("surface tension", surface_tension_n_m, "N/m")
    thickest = np.sqrt(drag / (positive("density", density_kg_m3, "kg/m3") * GRAVITY_M_S2))
    without_gravity = _LANDAU_LEVICH * number ** (1.0 / 6.0)
    return plain(without_gravity * _gravity_share(without_gravity) * thickest)


def _gravity_share(without_gravity: Array) -> Array:
    """Solve u = (1 - (a u)^2)^(2/3), the share of the film that gravity leaves.

    Written as u^(3/2) + (a u)^2 = 1 the left side rises and is convex, so Newton's steps from the
    right never overshoot.
    """
    share = np.ones_like(without_gravity)
    for _ in range(_NEWTON_STEPS):
        surplus = share**1.5 + (without_gravity * share) ** 2 - 1.0
        step = surplus / (1.5 * np.sqrt(share) + 2.0 * without_gravity**2 * share)
        share = share - step
        if np.max(np.abs(step), initial=0.0) < _NEWTON_TOLERANCE:
            break
    return share


def drained_film(
    viscosity_pa_s: FloatOrArray,
    density_kg_m3: FloatOrArray,
    height_m: FloatOrArray,
    drain_time_s: FloatOrArray,
) -> FloatOrArray:
    """Compute the film left on an upright wall after draining.

    Parameters
    ----------
    viscosity_pa_s : float or array
        Viscosity [Pa s], above 0.
    density_kg_m3 : float or array
        Density [kg/m3], above 0.
    height_m : float or array
        Distance below the upper edge of the film [m], 0 or more.
    drain_time_s : float or array
        Time of draining [s], above 0.

    Returns
    -------
    float or array
        Film thickness [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``sqrt(mu z / (rho g t))``, thicker towards the bottom. Newtonian liquid, no surface tension.

    References
    ----------
    .. [1] H. Jeffreys, The draining of a vertical plate, Proc. Cambridge Philosophical Society 26
       (1930) 204.

    Examples
    --------
    >>> round(1000 * drained_film(0.35, 1650.0, 0.10, 60.0), 2)
    0.19
    """
    held = positive("viscosity", viscosity_pa_s, "Pa s") * not_negative("height", height_m, "m")
    weight = positive("density", density_kg_m3, "kg/m3") * GRAVITY_M_S2
    return plain(np.sqrt(held / (weight * positive("drain time", drain_time_s, "s"))))


def yield_film(yield_stress_pa: FloatOrArray, density_kg_m3: FloatOrArray) -> FloatOrArray:
    """Compute the film that a yield stress holds up for good.

    Parameters
    ----------
    yield_stress_pa : float or array
        Yield stress [Pa], 0 or more.
    density_kg_m3 : float or array
        Density [kg/m3], above 0.

    Returns
    -------
    float or array
        Film thickness [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``tau_y / (rho g)`` on an upright wall: the weight of the film equals the stress at the wall.

    References
    ----------
    .. [1] R. B. Bird, G. C. Dai and B. J. Yarusso, The rheology and flow of viscoplastic materials,
       Reviews in Chemical Engineering 1 (1983) 1 (falling film of a Bingham fluid; from memory).

    Examples
    --------
    >>> round(1000 * yield_film(5.0, 1650.0), 3)
    0.309
    """
    weight = positive("density", density_kg_m3, "kg/m3") * GRAVITY_M_S2
    return plain(not_negative("yield stress", yield_stress_pa, "Pa") / weight)


def film_thickness(
    viscosity_pa_s: FloatOrArray,
    density_kg_m3: FloatOrArray,
    surface_tension_n_m: FloatOrArray,
    yield_stress_pa: FloatOrArray,
    *,
    speed_m_s: FloatOrArray,
    height_m: FloatOrArray,
    drain_time_s: FloatOrArray,
) -> FloatOrArray:
    """Compute the slurry film on a wall when stucco goes on.

    Parameters
    ----------
    viscosity_pa_s : float or array
        Viscosity [Pa s], above 0.
    density_kg_m3 : float or array
        Density [kg/m3], above 0.
    surface_tension_n_m : float or array
        Surface tension [N/m], above 0.
    yield_stress_pa : float or array
        Yield stress [Pa], 0 or more.
    speed_m_s : float or array
        Withdrawal speed [m/s], 0 or more.
    height_m : float or array
        Distance below the upper edge of the film [m], 0 or more.
    drain_time_s : float or array
        Time of draining [s], above 0.

    Returns
    -------
    float or array
        Film thickness [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    The thicker of the drained film and the film the yield stress holds, but no more than was
    dragged out. A first estimate: real slurries thin under shear, and edges and corners hold more.

    References
    ----------
    .. [1] The parts: `withdrawal_film`, `drained_film`, `yield_film`; their combination is common
       practice.

    Examples
    --------
    A backup slurry with 5 Pa yield stress, 0.10 m down, after 30 s, in millimetres:

    >>> film = film_thickness(0.35, 1650.0, 0.050, 5.0, speed_m_s=0.05, height_m=0.10,
    ...                       drain_time_s=30.0)
    >>> round(1000 * film, 3)
    0.309
    """
    left = np.maximum(
        drained_film(viscosity_pa_s, density_kg_m3, height_m, drain_time_s),
        yield_film(yield_stress_pa, density_kg_m3),
    )
    dragged_out = withdrawal_film(viscosity_pa_s, density_kg_m3, surface_tension_n_m, speed_m_s)
    return plain(np.minimum(left, dragged_out))


def wetted_depth(
    water_kg_m2: FloatOrArray,
    porosity: FloatOrArray,
    saturation: FloatOrArray,
    wall_so_far_m: FloatOrArray,
) -> FloatOrArray:
    """Compute how deep the water of a dip soaks into the wall.

    Parameters
    ----------
    water_kg_m2 : float or array
        Water the dip brings [kg/m2], 0 or more.
    porosity : float or array
        Open porosity of the shell [-], above 0 to 1; 0.2 to 0.3 is usual.
    saturation : float or array
        Share of the pores the water fills [-], above 0 to 1.
    wall_so_far_m : float or array
        Thickness of the shell, the new coat included [m], 0 or more.

    Returns
    -------
    float or array
        Wetted depth [m], broadcast shape; never more than the wall.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``min(wall, W / (rho_w porosity S))``, a mass balance with a sharp front. The wax stops it.

    References
    ----------
    .. [1] Mass balance; the porosities are published in International Journal of Metalcasting
       (2016), doi 10.1007/s40962-016-0052-4 (10 to 30 %).

    Examples
    --------
    >>> round(1000 * wetted_depth(0.25, 0.25, 0.9, 0.007), 2)
    1.11
    """
    water = not_negative("water of the dip", water_kg_m2, "kg/m2")
    pores = fraction("porosity", porosity) * fraction("saturation", saturation)
    wall = not_negative("wall thickness", wall_so_far_m, "m")
    return plain(np.minimum(wall, water / (WATER_DENSITY_KG_M3 * pores)))
