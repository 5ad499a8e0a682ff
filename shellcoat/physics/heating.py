"""Heating a wall through by conduction: how long until its slowest place is nearly as hot.

One dimension, constant properties, one face heated and the other giving nothing off, which is
also half of a wall heated from both sides. A figure to set beside a firing plan, no more: real
fires rise slowly, and wax, water and carbon take their share of the heat first.
"""

from __future__ import annotations

from math import pi, sin, tan

import numpy as np

from shellcoat.physics.constants import STEFAN_BOLTZMANN_W_M2K4, ZERO_CELSIUS_K
from shellcoat.physics.quantities import (
    Array,
    FloatOrArray,
    not_negative,
    plain,
    positive,
    within,
)

_TERMS = 12
_HALVINGS = 60


def biot_number(film_w_m2k: float, thickness_m: float, conductivity_w_mk: float) -> float:
    """Compute how hard the inside of a wall resists heat, against its face.

    Parameters
    ----------
    film_w_m2k : float
        Heat transfer at the heated face, convection and radiation together [W/m2K], above 0.
    thickness_m : float
        Thickness heated from one face [m], above 0; half of a wall heated from both.
    conductivity_w_mk : float
        Thermal conductivity of the wall [W/mK], above 0.

    Returns
    -------
    float
        Biot number ``h L/k`` [-].

    Raises
    ------
    ValueOutOfRangeError
        If an input is not above 0 or not finite.

    Notes
    -----
    Below about 0.1 the wall is nearly as hot inside as at its face.

    References
    ----------
    .. [1] F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., Hoboken 2007,
       eq. 5.9.

    Examples
    --------
    >>> round(biot_number(500.0, 0.040, 63.9), 3)
    0.313
    """
    film = positive("heat transfer", film_w_m2k, "W/m2K")
    thickness = positive("wall thickness", thickness_m, "m")
    return float(film * thickness / positive("conductivity", conductivity_w_mk, "W/mK"))


def plane_wall_root(biot: float, number: int = 1) -> float:
    """Find a root of the plane wall's characteristic equation.

    Parameters
    ----------
    biot : float
        Biot number [-], above 0.
    number : int
        Which root, 1 for the smallest.

    Returns
    -------
    float
        Root zeta [-], between ``(n - 1) pi`` and ``(n - 1/2) pi``.

    Raises
    ------
    ValueOutOfRangeError
        If the Biot number is not above 0, or the number is below 1.

    Notes
    -----
    ``zeta tan(zeta) = Bi``; the left side rises over each interval, so halving finds its root.

    References
    ----------
    .. [1] F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., Hoboken 2007,
       eq. 5.39c and table 5.1.

    Examples
    --------
    >>> round(plane_wall_root(1.0), 4)
    0.8603
    """
    wanted = float(positive("Biot number", biot, ""))
    within("number of the root", number, 1, 1000, "a whole number from 1 to 1000")
    low, high = (number - 1) * pi, (number - 0.5) * pi
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if middle * tan(middle) < wanted:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def plane_wall_excess(
    biot: float, fourier: FloatOrArray, depth: float = 0.0, terms: int = _TERMS
) -> FloatOrArray:
    """Compute how far a place in the wall still is from the fire's temperature.

    Parameters
    ----------
    biot : float
        Biot number [-], above 0.
    fourier : float or array
        Fourier number ``alpha t/L^2`` [-], 0 or more.
    depth : float
        Place in the wall [-], 0 at the face that gives nothing off, 1 at the heated one.
    terms : int
        Terms of the series; 1 is the one-term solution of the charts, good from Fo = 0.2.

    Returns
    -------
    float or array
        ``(T - T_fire)/(T_start - T_fire)`` [-], 1 at the start and 0 when heated through, shape
        of `fourier`.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``sum C_n exp(-zeta_n^2 Fo) cos(zeta_n x)`` with
    ``C_n = 4 sin(zeta_n)/(2 zeta_n + sin(2 zeta_n))``: the exact solution, cut off.

    References
    ----------
    .. [1] F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., Hoboken 2007,
       eq. 5.39 to 5.41.
    .. [2] M. P. Heisler, Temperature charts for induction and constant-temperature heating,
       Trans. ASME 69 (1947) 227-236.

    Examples
    --------
    The wall of a steel pipe, worked in [1] as example 5.4:

    >>> round(plane_wall_excess(0.313, 5.64), 3)
    0.212
    """
    fo = not_negative("Fourier number", fourier, "")
    place = float(within("place in the wall", depth, 0.0, 1.0, "a share from 0 to 1"))
    excess: Array = np.zeros_like(fo)
    for number in range(1, terms + 1):
        root = plane_wall_root(biot, number)
        share = 4.0 * sin(root) / (2.0 * root + sin(2.0 * root))
        excess = excess + share * np.exp(-(root**2) * fo) * np.cos(root * place)
    return plain(excess)


def heat_through_time(
    thickness_m: float,
    film_w_m2k: float,
    conductivity_w_mk: float,
    density_kg_m3: float,
    heat_capacity_j_kgk: float,
    excess: float = 0.05,
) -> float:
    """Compute how long a wall takes until its slowest place is nearly as hot as the fire.

    Parameters
    ----------
    thickness_m : float
        Thickness heated from one face [m], above 0; half of a wall heated from both.
    film_w_m2k : float
        Heat transfer at the heated face, convection and radiation together [W/m2K], above 0.
    conductivity_w_mk, density_kg_m3, heat_capacity_j_kgk : float
        Conductivity [W/mK], density [kg/m3] and heat capacity [J/kgK] of the wall, above 0.
    excess : float
        What is still to go there, of the way from cold to the fire [-], above 0 to 0.9.

    Returns
    -------
    float
        Time [s] in a fire that is hot from the start.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Inverts `plane_wall_excess` by halving, in the first term's own measure of time.

    References
    ----------
    .. [1] F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., Hoboken 2007,
       ch. 5.5.

    Examples
    --------
    A shell wall of 10 mm in a hot kiln, in minutes:

    >>> round(heat_through_time(0.010, 120.0, 0.7, 1700.0, 1050.0) / 60, 1)
    12.6
    """
    biot = biot_number(film_w_m2k, thickness_m, conductivity_w_mk)
    capacity = positive("density", density_kg_m3, "kg/m3") * positive(
        "heat capacity", heat_capacity_j_kgk, "J/kgK"
    )
    wanted = float(within("part of the way to go", excess, 1e-6, 0.9, "a share up to 0.9"))
    fourier = _fourier_to_reach(biot, wanted)
    return float(fourier * thickness_m**2 * capacity / conductivity_w_mk)


def _fourier_to_reach(biot: float, excess: float) -> float:
    low, high = 0.0, 20.0 / plane_wall_root(biot) ** 2
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if float(plane_wall_excess(biot, middle)) > excess:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def radiation_film(fire_c: float, face_c: float, emissivity: float) -> float:
    """Compute the heat transfer that radiation from all around gives a face.

    Parameters
    ----------
    fire_c, face_c : float
        Temperature of the furnace and of the face [°C], from -60 to 2000.
    emissivity : float
        Emissivity of the face [-], above 0 to 1; the furnace counts as black.

    Returns
    -------
    float
        Heat transfer [W/m2K] that multiplies the difference of the two temperatures.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``e sigma (T_f^2 + T_s^2)(T_f + T_s)`` with absolute temperatures.

    References
    ----------
    .. [1] F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., Hoboken 2007,
       eq. 1.9.

    Examples
    --------
    A face at room temperature that an equally black, hardly warmer room radiates on:

    >>> round(radiation_film(20.0, 19.0, 0.95), 1)
    5.4
    """
    allowed = "a temperature from -60 to 2000 °C"
    fire, face = (
        float(within(name, value, -60.0, 2000.0, allowed)) + ZERO_CELSIUS_K
        for name, value in (("furnace temperature", fire_c), ("face temperature", face_c))
    )
    share = float(within("emissivity", emissivity, 1e-3, 1.0, "a share above 0, at most 1"))
    return float(share * STEFAN_BOLTZMANN_W_M2K4 * (fire**2 + face**2) * (fire + face))
