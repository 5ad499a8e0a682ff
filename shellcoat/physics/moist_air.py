"""Moist air: what temperature, relative humidity and pressure say about the vapour in it.

The equations are those of the ASHRAE Handbook. Saturation and wet bulb are written out on arrays,
because every forecast asks for them at hundreds of readings; dew point and the pressure at an
altitude are left to psychrolib.

References
----------
.. [1] ASHRAE Handbook - Fundamentals (SI), American Society of Heating, Refrigerating and
   Air-Conditioning Engineers, Atlanta 2017, chapter 1.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import psychrolib

from shellcoat.physics.constants import (
    DRY_AIR_GAS_CONSTANT_J_KGK,
    STANDARD_PRESSURE_PA,
    VAPOUR_GAS_CONSTANT_J_KGK,
    WATER_AIR_MOLAR_MASS_RATIO,
    ZERO_CELSIUS_K,
)
from shellcoat.physics.quantities import (
    Array,
    FloatOrArray,
    air_pressure,
    air_temperature,
    not_negative,
    plain,
    relative_humidity,
    wet_surface_temperature,
    within,
)

# ln p [Pa] = c0/T + c1 + c2 T + c3 T^2 + c4 T^3 + c5 T^4 + c6 ln T, T in K.
# ASHRAE 2017 ch. 1 eq. 5 (ice) and 6 (water), after Hyland and Wexler 1983.
_LN_SATURATION_ICE = (
    -5.6745359e3,
    6.3925247,
    -9.677843e-3,
    6.2215701e-7,
    2.0747825e-9,
    -9.484024e-13,
    4.1635019,
)
_LN_SATURATION_WATER = (
    -5.8002206e3,
    1.3914993,
    -4.8640239e-2,
    4.1764768e-5,
    -1.4452093e-8,
    0.0,
    6.5459673,
)
_TRIPLE_POINT_C = 0.01

# ASHRAE 2017 ch. 1 eq. 33 (water) and 35 (ice), in kJ/kg and kJ/kgK: latent heat at 0 °C, the
# coefficient of the wet bulb above the line, and the one below it.
_WET_BULB_WATER = (2501.0, 2.326, 4.186)
_WET_BULB_ICE = (2830.0, 0.24, 2.1)
_WET_BULB_AIR_HEAT = 1.006
_WET_BULB_VAPOUR_HEAT = 1.86
_WET_BULB_TOLERANCE_K = 1e-7
# 8 steps in workshop air, 25 at the worst corner of the allowed range.
_WET_BULB_STEPS = 60


def saturation_pressure(temp_c: FloatOrArray) -> FloatOrArray:
    """Compute the vapour pressure over a flat surface of pure water, or of ice below 0.01 °C.

    Parameters
    ----------
    temp_c : float or array
        Temperature [°C], -60 to 80.

    Returns
    -------
    float or array
        Saturation pressure [Pa], shape of `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If the temperature is outside its range or not finite.

    Notes
    -----
    Equations 5 and 6 of [1]_ (Hyland and Wexler). Within 0.1 % of IAPWS-95 from 0 to 50 °C. The
    two meet at the triple point, not at 0 °C as printed.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 5 and 6.

    Examples
    --------
    >>> round(saturation_pressure(20.0), 1)
    2338.8
    """
    return plain(_saturation_pressure(wet_surface_temperature(temp_c)))


def _saturation_pressure(temp_c: Array) -> Array:
    kelvin = temp_c + ZERO_CELSIUS_K
    over_water = _ln_saturation(kelvin, _LN_SATURATION_WATER)
    over_ice = _ln_saturation(kelvin, _LN_SATURATION_ICE)
    return np.exp(np.where(temp_c > _TRIPLE_POINT_C, over_water, over_ice))


def _ln_saturation(kelvin: Array, c: tuple[float, ...]) -> Array:
    polynomial = c[1] + kelvin * (c[2] + kelvin * (c[3] + kelvin * (c[4] + kelvin * c[5])))
    return np.asarray(c[0] / kelvin + polynomial + c[6] * np.log(kelvin))


def saturation_density(temp_c: FloatOrArray) -> FloatOrArray:
    """Compute the density of saturated vapour.

    Parameters
    ----------
    temp_c : float or array
        Temperature [°C], -60 to 80.

    Returns
    -------
    float or array
        Vapour density at saturation [kg/m3], shape of `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If the temperature is outside its range or not finite.

    Notes
    -----
    Ideal gas, ``p_sat / (461.5 T)``; real vapour is 0.1 % denser at 20 °C, 0.3 % at 50 °C.

    References
    ----------
    .. [1] Incropera et al., Fundamentals of Heat and Mass Transfer, Hoboken 2007, table A.6.
    """
    temp = wet_surface_temperature(temp_c)
    return plain(_density_of(_saturation_pressure(temp), temp))


def _density_of(vapour_pressure_pa: Array, temp_c: Array) -> Array:
    return vapour_pressure_pa / (VAPOUR_GAS_CONSTANT_J_KGK * (temp_c + ZERO_CELSIUS_K))


def vapour_pressure(temp_c: FloatOrArray, rh: FloatOrArray) -> FloatOrArray:
    """Compute the partial pressure of the vapour in air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    rh : float or array
        Relative humidity [-], 0 to 1.

    Returns
    -------
    float or array
        Vapour pressure [Pa], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``rh p_sat``, eq. 12 and 22 of [1]_. Below 0 °C saturation is over ice, as a frost-point meter
    shows; many sensors count over supercooled water there.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 12 and 22.
    """
    return plain(relative_humidity(rh) * _saturation_pressure(air_temperature(temp_c)))


def vapour_density(temp_c: FloatOrArray, rh: FloatOrArray) -> FloatOrArray:
    """Compute the mass of vapour in a cubic metre of air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    rh : float or array
        Relative humidity [-], 0 to 1.

    Returns
    -------
    float or array
        Vapour density [kg/m3], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Ideal gas, ``rh p_sat / (461.5 T)``.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 12, 16 and 22.

    Examples
    --------
    >>> round(1000 * vapour_density(20.7, 0.45), 2)
    8.1
    """
    temp = air_temperature(temp_c)
    return plain(_density_of(relative_humidity(rh) * _saturation_pressure(temp), temp))


def rh_from_vapour_density(
    temp_c: FloatOrArray, vapour_density_kg_m3: FloatOrArray
) -> FloatOrArray:
    """Compute the relative humidity of air that holds so much vapour.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    vapour_density_kg_m3 : float or array
        Vapour density [kg/m3], 0 or more.

    Returns
    -------
    float or array
        Relative humidity [-], broadcast shape. Above 1 where the vapour would condense: whoever
        asks decides what that means.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Inverse of `vapour_density`.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 12, 16 and 22.
    """
    temp = air_temperature(temp_c)
    density = not_negative("vapour density", vapour_density_kg_m3, "kg/m3")
    return plain(density / _density_of(_saturation_pressure(temp), temp))


def humidity_ratio(
    temp_c: FloatOrArray, rh: FloatOrArray, pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA
) -> FloatOrArray:
    """Compute the mass of vapour that goes with a kilogram of dry air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    rh : float or array
        Relative humidity [-], 0 to 1.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Humidity ratio [kg/kg dry air], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Eq. 20 of [1]_. The enhancement factor is left out, as in the handbook's own examples: real
    moist air holds 0.4 to 0.5 % more.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 20.

    Examples
    --------
    >>> round(humidity_ratio(20.7, 0.45), 5)
    0.00682
    """
    vapour_pa = relative_humidity(rh) * _saturation_pressure(air_temperature(temp_c))
    return plain(_humidity_ratio(vapour_pa, air_pressure(pressure_pa)))


def _humidity_ratio(vapour_pa: Array, pressure_pa: Array) -> Array:
    return WATER_AIR_MOLAR_MASS_RATIO * vapour_pa / (pressure_pa - vapour_pa)


def wet_bulb(
    temp_c: FloatOrArray, rh: FloatOrArray, pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA
) -> FloatOrArray:
    """Compute the thermodynamic wet-bulb temperature.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    rh : float or array
        Relative humidity [-], 0 to 1.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Wet bulb [°C], broadcast shape; never above `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Solves eq. 33 (water) or 35 (ice) of [1]_ with Newton's method from the dry bulb down. The
    equation is convex and rises with the wet bulb, so the steps never overshoot. Within 0.001 K of
    psychrolib and 0.015 K of real-gas moist air (ASHRAE RP-1485) in workshop air. Within a
    degree above freezing both equations have a solution; the liquid one is taken.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 33 and 35.

    Examples
    --------
    >>> round(wet_bulb(20.7, 0.45), 2)
    13.64
    """
    temp, humidity, pressure = np.broadcast_arrays(
        air_temperature(temp_c), relative_humidity(rh), air_pressure(pressure_pa)
    )
    ratio = _humidity_ratio(humidity * _saturation_pressure(temp), pressure)
    surplus_at_freezing, _ = _wet_bulb_balance(
        np.zeros_like(temp), temp, ratio, pressure, _WET_BULB_WATER
    )
    on_water = (temp >= 0.0) & (surplus_at_freezing <= 0.0)
    heats = [
        np.where(on_water, water, ice)
        for water, ice in zip(_WET_BULB_WATER, _WET_BULB_ICE, strict=True)
    ]
    start = np.where(on_water, temp, np.minimum(temp, 0.0))
    return plain(np.minimum(_solve_wet_bulb(start, temp, ratio, pressure, heats), temp))


def _solve_wet_bulb(
    start_c: Array, temp_c: Array, ratio: Array, pressure_pa: Array, heats: Sequence[FloatOrArray]
) -> Array:
    wet_c = start_c
    for _ in range(_WET_BULB_STEPS):
        surplus, slope = _wet_bulb_balance(wet_c, temp_c, ratio, pressure_pa, heats)
        step = surplus / slope
        wet_c = wet_c - step
        if np.max(np.abs(step), initial=0.0) < _WET_BULB_TOLERANCE_K:
            break
    return wet_c


def _wet_bulb_balance(
    wet_c: Array, temp_c: Array, ratio: Array, pressure_pa: Array, heats: Sequence[FloatOrArray]
) -> tuple[Array, Array]:
    """Return what eq. 33 or 35 leaves over [kJ/kg] at a trial wet bulb, and its slope."""
    latent_0, latent_fall, wick_heat = heats
    latent = latent_0 - latent_fall * wet_c
    saturated_pa = _saturation_pressure(wet_c)
    saturated = _humidity_ratio(saturated_pa, pressure_pa)
    surplus = (
        latent * saturated
        - _WET_BULB_AIR_HEAT * (temp_c - wet_c)
        - ratio * (latent_0 + _WET_BULB_VAPOUR_HEAT * temp_c - wick_heat * wet_c)
    )
    # Clausius-Clapeyron gives the slope of saturation to 1 %; it steers the steps, not the answer.
    relative_slope = 1000.0 * latent / (VAPOUR_GAS_CONSTANT_J_KGK * (wet_c + ZERO_CELSIUS_K) ** 2)
    rise = saturated * relative_slope * pressure_pa / (pressure_pa - saturated_pa)
    slope = latent * rise - latent_fall * saturated + _WET_BULB_AIR_HEAT + wick_heat * ratio
    return surplus, slope


def dew_point(temp_c: FloatOrArray, rh: FloatOrArray) -> FloatOrArray:
    """Compute the temperature at which the vapour in the air begins to condense.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    rh : float or array
        Relative humidity [-], 0.001 to 1: dry air has no dew point.

    Returns
    -------
    float or array
        Dew point, below 0 °C frost point [°C], broadcast shape; never above `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Inverse of `saturation_pressure`, solved by psychrolib one value at a time (5 us each).

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 5, 6 and 36.

    Examples
    --------
    >>> round(dew_point(20.7, 0.45), 2)
    8.35
    """
    humidity = within(
        "relative humidity", rh, 0.001, 1.0, "a fraction from 0.001 to 1; dry air has no dew point"
    )
    return plain(_in_si(psychrolib.GetTDewPointFromRelHum, air_temperature(temp_c), humidity))


def pressure_at_altitude(altitude_m: FloatOrArray) -> FloatOrArray:
    """Compute the usual air pressure at an altitude.

    Parameters
    ----------
    altitude_m : float or array
        Height above the sea [m], -500 to 5000.

    Returns
    -------
    float or array
        Standard pressure [Pa], shape of `altitude_m`.

    Raises
    ------
    ValueOutOfRangeError
        If the altitude is outside its range or not finite.

    Notes
    -----
    Standard atmosphere, eq. 3 of [1]_. Weather moves it by about 3 %.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 3 and table 1.

    Examples
    --------
    >>> round(pressure_at_altitude(1000.0))
    89875
    """
    altitude = within("altitude", altitude_m, -500.0, 5000.0, "-500 to 5000 m")
    return plain(_in_si(psychrolib.GetStandardAtmPressure, altitude))


def _in_si(formula: Callable[..., float], *values: Array) -> Array:
    """Apply a psychrolib formula to each element.

    Its unit system is one global switch, so it is looked at before every use: whoever else turned
    it to inches and pounds must not turn our answers.
    """
    if psychrolib.GetUnitSystem() is not psychrolib.SI:
        psychrolib.SetUnitSystem(psychrolib.SI)
    return np.asarray(np.frompyfunc(formula, len(values), 1)(*values), dtype=np.float64)


def air_density(
    temp_c: FloatOrArray, rh: FloatOrArray, pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA
) -> FloatOrArray:
    """Compute the density of moist air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    rh : float or array
        Relative humidity [-], 0 to 1.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Density of air and vapour together [kg/m3], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Ideal gases. Within 0.1 % of real-gas moist air from 15 to 35 °C.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 11 and 26.

    Examples
    --------
    >>> round(air_density(20.0, 0.5), 3)
    1.199
    """
    temp = air_temperature(temp_c)
    vapour_pa = relative_humidity(rh) * _saturation_pressure(temp)
    dry = (air_pressure(pressure_pa) - vapour_pa) / DRY_AIR_GAS_CONSTANT_J_KGK
    moist = vapour_pa / VAPOUR_GAS_CONSTANT_J_KGK
    return plain((dry + moist) / (temp + ZERO_CELSIUS_K))
