"""Openings that each coat narrows, until the slurry bridges them and locks the water in."""

from __future__ import annotations

import numpy as np

from shellcoat.physics.buildup import capillary_length
from shellcoat.physics.quantities import Array, FloatOrArray, not_negative, plain, positive

# Slurry hangs between two edges most readily about two capillary lengths apart (Cooray 2016).
_CAPILLARY_LENGTHS = 2.0
# Grains wedge in a gap of a few of their size: three is from memory.
_GRAINS = 3.0


def bridging_gap(
    surface_tension_n_m: FloatOrArray,
    density_kg_m3: FloatOrArray,
    stucco_grain_m: FloatOrArray = 0.0,
) -> FloatOrArray:
    """Compute the width below which slurry or stucco closes an opening.

    Parameters
    ----------
    surface_tension_n_m : float or array
        Surface tension of the slurry [N/m], above 0.
    density_kg_m3 : float or array
        Density of the slurry [kg/m3], above 0.
    stucco_grain_m : float or array, optional
        Size of the stucco grains [m], 0 or more; 0 without stucco.

    Returns
    -------
    float or array
        Gap [m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    The larger of twice the capillary length ``sqrt(gamma/(rho g))`` and three grains. The first is
    where a liquid hung between two thin rods holds most; the second is from memory. A thick slurry
    with a yield stress bridges wider gaps, air blown through or a shake opens narrower ones: good
    to about a factor of 1.5.

    References
    ----------
    .. [1] H. Cooray, H. E. Huppert and J. A. Neufeld, Maximal liquid bridges between horizontal
       cylinders, Proc. Royal Society A 472 (2016) 20160233.

    Examples
    --------
    A backup slurry without stucco, and with grains of 1.2 mm, in millimetres:

    >>> [round(1000 * bridging_gap(0.050, 1650.0, grain), 1) for grain in (0.0, 1.2e-3)]
    [3.5, 3.6]
    """
    hung = _CAPILLARY_LENGTHS * capillary_length(surface_tension_n_m, density_kg_m3)
    wedged = _GRAINS * not_negative("size of the stucco", stucco_grain_m, "m")
    return plain(np.maximum(hung, wedged))


def narrowed(width_m: FloatOrArray, coat_thickness_m: FloatOrArray) -> Array:
    """Compute the clear width that each coat leaves.

    Parameters
    ----------
    width_m : float or array
        Clear width of the bare wax, the smaller one of a slot [m], 0 or more.
    coat_thickness_m : array
        Thickness of each coat in the opening, in order along the last axis [m], 0 or more.

    Returns
    -------
    array
        Clear width after each coat [m], never below 0: broadcast shape, coats along the last axis.

    Raises
    ------
    ValueOutOfRangeError
        If an input is negative or not finite.

    Notes
    -----
    Each coat takes twice its thickness. Slurry that gathers in a narrow opening takes more.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> [round(1000 * float(w), 1) for w in narrowed(0.008, [0.5e-3, 0.5e-3, 1.2e-3])]
    [7.0, 6.0, 3.6]
    """
    width = not_negative("width of the opening", width_m, "m")
    coats = np.atleast_1d(not_negative("thickness of the coat", coat_thickness_m, "m"))
    return np.maximum(width[..., np.newaxis] - 2.0 * np.cumsum(coats, axis=-1), 0.0)


def closing_coat(
    width_m: FloatOrArray, coat_thickness_m: FloatOrArray, *, bridging_gap_m: FloatOrArray
) -> FloatOrArray:
    """Find the coat at which an opening closes.

    Parameters
    ----------
    width_m : float or array
        Clear width of the bare wax, the smaller one of a slot [m], 0 or more.
    coat_thickness_m : array
        Thickness of each coat in the opening, in order along the last axis [m], 0 or more.
    bridging_gap_m : float or array
        Width at which the opening is bridged [m], above 0; for each coat along the last axis, or
        one for all.

    Returns
    -------
    float or array
        Number of the coat, the first being 1; infinite where the opening stays open. Shape of
        width and coats together, without the axis of coats.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    The first coat that leaves no more than the gap: the wet film is as thick as the coat, so it is
    while that coat drains that the opening closes. To keep it open, plug it before that coat.

    References
    ----------
    .. [1] `narrowed` and `bridging_gap`.

    Examples
    --------
    Openings of 3, 8, 14 and 30 mm, two prime coats and seven backup coats:

    >>> coats = [0.5e-3] * 2 + [1.2e-3] * 7
    >>> [float(k) for k in closing_coat([3e-3, 8e-3, 14e-3, 30e-3], coats, bridging_gap_m=3.7e-3)]
    [1.0, 3.0, 6.0, inf]
    """
    gap = positive("gap that is bridged", bridging_gap_m, "m")
    bridged = narrowed(width_m, coat_thickness_m) <= gap
    first = np.argmax(bridged, axis=-1) + 1.0
    return plain(np.where(bridged.any(axis=-1), first, np.inf))
