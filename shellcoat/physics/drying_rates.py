"""The textbook's drying times: constant rate, falling rate, and any measured rate curve.

Moisture is in kilograms of water for a kilogram of dry solid, free moisture throughout. Any
consistent unit of time serves; SI gives seconds.

References
----------
.. [1] C. J. Geankoplis, Transport Processes and Unit Operations, 3rd ed., Englewood Cliffs 1993,
   sec. 9.6 and 9.7.
.. [2] R. E. Treybal, Mass-Transfer Operations, 3rd ed., New York 1980, ch. 12.
"""

from __future__ import annotations

import numpy as np

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics.quantities import Array, FloatOrArray, not_negative, plain, positive

# Below this relative difference of two rates their logarithmic mean is the arithmetic one to
# better than 1e-9, and its own formula loses digits.
_EQUAL_RATES = 1e-4


def constant_rate_time(
    dry_mass_per_area: FloatOrArray,
    moisture_start: FloatOrArray,
    moisture_end: FloatOrArray,
    rate: FloatOrArray,
) -> FloatOrArray:
    """Compute how long drying at constant rate takes.

    Parameters
    ----------
    dry_mass_per_area : float or array
        Dry solid on the drying area [kg/m2], above 0.
    moisture_start, moisture_end : float or array
        Moisture at the start and at the end [kg/kg dry], end at least 0 and at most start.
    rate : float or array
        Drying rate [kg/m2s], above 0.

    Returns
    -------
    float or array
        Time [s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``t = L_s (X_1 - X_2) / (A R_c)``, while the surface stays wet.

    References
    ----------
    .. [1] Geankoplis, Transport Processes and Unit Operations, 1993, eq. 9.6-3.

    Examples
    --------
    Geankoplis example 9.6-2, in hours:

    >>> round(constant_rate_time(21.5, 0.38, 0.25, 1.51), 2)
    1.85
    """
    solid = positive("dry mass per area", dry_mass_per_area, "kg/m2")
    start, end = _falling(moisture_start, moisture_end)
    return plain(solid * (start - end) / positive("drying rate", rate, "kg/m2s"))


def falling_rate_time(
    dry_mass_per_area: FloatOrArray,
    moisture_critical: FloatOrArray,
    moisture_end: FloatOrArray,
    critical_rate: FloatOrArray,
) -> FloatOrArray:
    """Compute how long drying takes while the rate falls in proportion to the moisture.

    Parameters
    ----------
    dry_mass_per_area : float or array
        Dry solid on the drying area [kg/m2], above 0.
    moisture_critical : float or array
        Moisture at which the rate begins to fall [kg/kg dry].
    moisture_end : float or array
        Moisture at the end [kg/kg dry], above 0 and at most `moisture_critical`.
    critical_rate : float or array
        Rate at the critical moisture [kg/m2s], above 0.

    Returns
    -------
    float or array
        Time [s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``t = L_s X_c / (A R_c) ln(X_c / X_2)``: a straight line through the origin, which it never
    reaches.

    References
    ----------
    .. [1] Geankoplis, Transport Processes and Unit Operations, 1993, eq. 9.7-8.

    Examples
    --------
    Geankoplis example 9.7-2, in hours:

    >>> round(falling_rate_time(399 / 18.58, 0.195, 0.040, 1.51), 2)
    4.39
    """
    solid = positive("dry mass per area", dry_mass_per_area, "kg/m2")
    critical, end = _falling(
        moisture_critical, positive("moisture at the end", moisture_end, "kg/kg")
    )
    rate = positive("drying rate", critical_rate, "kg/m2s")
    return plain(solid * critical / rate * np.log(critical / end))


def time_from_rate_curve(
    dry_mass_per_area: float, moisture: FloatOrArray, rate: FloatOrArray
) -> float:
    """Compute how long drying along a measured rate curve takes.

    Parameters
    ----------
    dry_mass_per_area : float
        Dry solid on the drying area [kg/m2], above 0.
    moisture : array
        Moisture at each point [kg/kg dry], at least two, falling from one to the next.
    rate : array
        Drying rate at each point [kg/m2s], above 0, as many as `moisture`.

    Returns
    -------
    float
        Time from the first point to the last [s].

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite, if the moisture does not fall, or if the
        two lists differ in length.

    Notes
    -----
    ``t = L_s/A`` times the integral of ``dX/R``. Between two points the rate is taken as a straight
    line in the moisture, for which the integral is exact: the difference in moisture over the
    logarithmic mean of the rates. The trapezium rule on ``1/R``, as often used by hand, is longer.

    References
    ----------
    .. [1] Geankoplis, Transport Processes and Unit Operations, 1993, eq. 9.7-1 and example 9.7-1.
    .. [2] Treybal, Mass-Transfer Operations, 1980, illustration 12.3.

    Examples
    --------
    Two points on a line through the origin give the falling-rate formula:

    >>> curve = time_from_rate_curve(399 / 18.58, [0.195, 0.040], [1.51, 1.51 * 0.040 / 0.195])
    >>> round(curve, 2)
    4.39
    """
    solid = float(positive("dry mass per area", dry_mass_per_area, "kg/m2"))
    points = not_negative("moisture", moisture, "kg/kg")
    rates = positive("drying rate", rate, "kg/m2s")
    if points.ndim != 1 or points.shape != rates.shape or points.size < 2:
        raise ValueOutOfRangeError(
            "drying-rate curve",
            f"{points.size} moistures with {rates.size} rates",
            "two or more moistures with one rate each",
        )
    _falling(points[:-1], points[1:])
    return solid * float(np.sum(-np.diff(points) / _logarithmic_mean(rates[:-1], rates[1:])))


def _falling(start: FloatOrArray, end: FloatOrArray) -> tuple[Array, Array]:
    """Check that moisture does not rise from start to end."""
    first = not_negative("moisture at the start", start, "kg/kg")
    last = not_negative("moisture at the end", end, "kg/kg")
    rising = last > first
    if np.any(rising):
        worst = float(np.max(last - first))
        raise ValueOutOfRangeError(
            "moisture at the end",
            f"{worst:g} kg/kg above the start",
            "at most the moisture at the start",
        )
    return first, last


def _logarithmic_mean(a: Array, b: Array) -> Array:
    near = np.abs(a - b) <= _EQUAL_RATES * (a + b)
    ratio = np.where(near, 2.0, a / b)
    return np.where(near, (a + b) / 2.0, (a - b) / np.log(ratio))
