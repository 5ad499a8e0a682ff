"""What a coat weighs and how thick that makes it: slurry film, water, dry slurry and stucco.

All masses are per area of wall. The water of the film leaves or soaks away, its solids and the
stucco stay; their mass over their bulk density is the thickness.
"""

from __future__ import annotations

import numpy as np

from shellcoat.physics.constants import WATER_DENSITY_KG_M3
from shellcoat.physics.quantities import FloatOrArray, fraction, not_negative, plain, positive

_SPHERE_SHARE = 2.0 / 3.0
"""Volume of a sphere over that of the upright cylinder around it [-], Archimedes."""


def film_water(film_kg_m2: FloatOrArray, water_share: FloatOrArray) -> FloatOrArray:
    """Compute the water in a film of slurry.

    Parameters
    ----------
    film_kg_m2 : float or array
        Wet slurry per area [kg/m2], 0 or more.
    water_share : float or array
        Water in the slurry by mass [-], above 0 to 1.

    Returns
    -------
    float or array
        Water per area [kg/m2], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``w m``; what is left, ``(1 - w) m``, stays as solids.

    References
    ----------
    .. [1] Mass balance.

    Examples
    --------
    >>> round(film_water(0.94, 0.267), 3)
    0.251
    """
    film = not_negative("film of slurry", film_kg_m2, "kg/m2")
    return plain(film * fraction("water in the slurry", water_share))


def film_solids(film_kg_m2: FloatOrArray, water_share: FloatOrArray) -> FloatOrArray:
    """Compute the solids a film of slurry leaves on the wall.

    Parameters
    ----------
    film_kg_m2 : float or array
        Wet slurry per area [kg/m2], 0 or more.
    water_share : float or array
        Water in the slurry by mass [-], above 0 to 1.

    Returns
    -------
    float or array
        Solids per area [kg/m2], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``(1 - w) m``.

    References
    ----------
    .. [1] Mass balance.

    Examples
    --------
    >>> round(film_solids(0.94, 0.267), 3)
    0.689
    """
    film = not_negative("film of slurry", film_kg_m2, "kg/m2")
    return plain(film * (1.0 - fraction("water in the slurry", water_share)))


def water_share_from_density(
    slurry_kg_m3: FloatOrArray, solids_kg_m3: FloatOrArray
) -> FloatOrArray:
    """Compute the water share of a slurry from its density and that of its solids.

    Parameters
    ----------
    slurry_kg_m3 : float or array
        Density of the slurry [kg/m3], above that of water, below that of its solids.
    solids_kg_m3 : float or array
        Density of flour and dry binder together [kg/m3], above that of water.

    Returns
    -------
    float or array
        Water by mass [-], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If a density is not above 0 or not finite, or the slurry is not between water and solids.

    Notes
    -----
    Volumes add: ``1/rho = w/rho_w + (1 - w)/rho_s``. No air in the slurry; air would make it
    seem wetter.

    References
    ----------
    .. [1] Mass balance.

    Examples
    --------
    1.7 parts of fused silica flour to 1 of 28 % sol:

    >>> round(water_share_from_density(1665.0, 2200.0), 3)
    0.267
    """
    slurry = 1.0 / positive("slurry density", slurry_kg_m3, "kg/m3")
    solids = 1.0 / positive("density of the solids", solids_kg_m3, "kg/m3")
    share = (slurry - solids) / (1.0 / WATER_DENSITY_KG_M3 - solids)
    return plain(fraction("water in the slurry by its density", share))


def stucco_mass(
    grain_m: FloatOrArray, grain_density_kg_m3: FloatOrArray, coverage: FloatOrArray
) -> FloatOrArray:
    """Compute the mass of one layer of stucco.

    Parameters
    ----------
    grain_m : float or array
        Diameter of the grains [m], 0 or more.
    grain_density_kg_m3 : float or array
        Density of a grain [kg/m3], above 0.
    coverage : float or array
        Share of the wall in the shadow of the grains [-], above 0 to 1; 0.55 to 0.85 is usual.

    Returns
    -------
    float or array
        Stucco per area [kg/m2], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``c (2/3) d rho``: spheres side by side, each of volume ``pi d^3 / 6`` over a shadow of
    ``pi d^2 / 4``. Grains that stick on top of others are not counted, so it is a low estimate
    for a thick wet film.

    References
    ----------
    .. [1] Geometry of the sphere.

    Examples
    --------
    Grains of 0.84 mm (16-30 mesh) of fused silica over seven tenths of the wall:

    >>> round(stucco_mass(0.84e-3, 2200.0, 0.7), 2)
    0.86
    """
    grain = not_negative("stucco grain", grain_m, "m")
    density = positive("density of the grains", grain_density_kg_m3, "kg/m3")
    return plain(fraction("stucco coverage", coverage) * _SPHERE_SHARE * grain * density)


def coat_thickness(
    solids_kg_m2: FloatOrArray,
    solids_bulk_kg_m3: FloatOrArray,
    stucco_kg_m2: FloatOrArray = 0.0,
    stucco_bulk_kg_m3: FloatOrArray | None = None,
) -> FloatOrArray:
    """Compute how thick a dry coat is.

    Parameters
    ----------
    solids_kg_m2 : float or array
        Dry slurry per area [kg/m2], 0 or more.
    solids_bulk_kg_m3 : float or array
        Bulk density of a wall of that material, pores included [kg/m3], above 0.
    stucco_kg_m2 : float or array
        Stucco per area [kg/m2], 0 or more.
    stucco_bulk_kg_m3 : float or array, optional
        Bulk density of a wall of the stucco's material [kg/m3], above 0; that of the slurry's
        where both are of one material.

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
    ``(m_solids + m_stucco) / rho_bulk`` for one material; each over its own for two, as if both
    packed like in a wall of their own.

    References
    ----------
    .. [1] Mass balance; the packing of two materials is common practice.

    Examples
    --------
    >>> round(1000 * coat_thickness(0.689, 1650.0, 0.862), 2)
    0.94
    """
    solids = not_negative("dry slurry", solids_kg_m2, "kg/m2")
    stucco = not_negative("stucco", stucco_kg_m2, "kg/m2")
    bulk = positive("bulk density", solids_bulk_kg_m3, "kg/m3")
    other = (
        bulk
        if stucco_bulk_kg_m3 is None
        else positive("bulk density of the stucco", stucco_bulk_kg_m3, "kg/m3")
    )
    return plain(np.asarray(solids / bulk + stucco / other))
