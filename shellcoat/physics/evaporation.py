"""One evaporation law: resistances in series between a wet wall and the room.

The air film, the layer that is already dry, the heat that must flow in, and for a core its way
out, stand one after the other like resistors; the humidity still missing in the air drives the
vapour through them all.
"""

from __future__ import annotations

import numpy as np

from shellcoat.physics.constants import (
    AIR_HEAT_CAPACITY_J_KGK,
    GRAVITY_M_S2,
    LEWIS_NUMBER,
    SHELL_EMISSIVITY,
    STANDARD_PRESSURE_PA,
    STEFAN_BOLTZMANN_W_M2K4,
    ZERO_CELSIUS_K,
)
from shellcoat.physics.moist_air import (
    air_density,
    saturation_density,
    vapour_density,
    wet_bulb,
)
from shellcoat.physics.quantities import (
    FloatOrArray,
    air_temperature,
    fraction,
    not_negative,
    plain,
    positive,
    wet_surface_temperature,
    within,
)
from shellcoat.physics.transport import air_conductivity, air_viscosity, latent_heat, prandtl

# Between air and a wet surface in a workshop at half humidity, from wet-bulb tables.
_USUAL_TEMPERATURE_DROP_K = 5.0
# In saturated air both ends of the secant meet; it is then taken over this much.
_SHORTEST_SECANT_K = 0.01


def laminar_plate_nusselt(reynolds: FloatOrArray, prandtl_number: FloatOrArray) -> FloatOrArray:
    """Compute the mean Nusselt number of a flat plate in laminar flow along it.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number on the whole length [-], 0 or more; laminar below about 5e5.
    prandtl_number : float or array
        Prandtl number [-], 0.6 to 50 for the formula.

    Returns
    -------
    float or array
        Nusselt number averaged over the length [-], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is negative or not finite.

    Notes
    -----
    ``Nu = 0.664 Re^(1/2) Pr^(1/3)``. The local value at the far end is half of it. Turbulence of
    the room's own air and blunt shapes give more.

    References
    ----------
    .. [1] Incropera et al., Fundamentals of Heat and Mass Transfer, Hoboken 2007, eq. 7.30.
    """
    re = not_negative("Reynolds number", reynolds, "")
    pr = positive("Prandtl number", prandtl_number, "")
    return plain(0.664 * np.sqrt(re) * np.cbrt(pr))


def vertical_plate_nusselt(rayleigh: FloatOrArray, prandtl_number: FloatOrArray) -> FloatOrArray:
    """Compute the mean Nusselt number of a vertical plate in air that only its cold moves.

    Parameters
    ----------
    rayleigh : float or array
        Rayleigh number on the height [-], 0 to 1e12 for the formula.
    prandtl_number : float or array
        Prandtl number [-], above 0.

    Returns
    -------
    float or array
        Nusselt number averaged over the height [-], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is negative or not finite.

    Notes
    -----
    ``Nu = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2``, laminar and turbulent.

    References
    ----------
    .. [1] S. W. Churchill and H. H. S. Chu, Correlating equations for laminar and turbulent free
       convection from a vertical plate, Int. J. Heat Mass Transfer 18 (1975) 1323, eq. 9.
    """
    ra = not_negative("Rayleigh number", rayleigh, "")
    pr = positive("Prandtl number", prandtl_number, "")
    damping = (1.0 + (0.492 / pr) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    return plain((0.825 + 0.387 * ra ** (1.0 / 6.0) / damping) ** 2)


def film_coefficient(
    air_speed_m_s: FloatOrArray,
    length_m: FloatOrArray,
    temp_c: FloatOrArray = 20.0,
    *,
    wet_temp_drop_k: FloatOrArray = _USUAL_TEMPERATURE_DROP_K,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute the convective heat-transfer coefficient of the air film on a wet wall.

    Parameters
    ----------
    air_speed_m_s : float or array
        Air speed along the wall [m/s], 0 to 30.
    length_m : float or array
        Length of the wall along the air [m], 0.001 to 10.
    temp_c : float or array, optional
        Air temperature [°C], -40 to 80.
    wet_temp_drop_k : float or array, optional
        How much colder the wall is than the air [K], 0 to 60. 5 K is usual at half humidity; 0
        leaves forced flow alone.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Coefficient averaged over the wall [W/m2K], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Laminar plate and vertical plate, blended as ``(h_forced^3 + h_natural^3)^(1/3)``; properties
    of dry air halfway between wall and air. Published correlations for slow air differ by a factor
    of up to four, so this is a starting point for what the shop's own checks teach. Beyond a
    Reynolds number of 5e5 the flow is turbulent and the value too low.

    References
    ----------
    .. [1] Incropera et al., Fundamentals of Heat and Mass Transfer, Hoboken 2007, eq. 7.30, 9.26
       and 9.64 (blending).
    .. [2] M. M. Shah, Rate of evaporation from undisturbed water pools to quiet air: evaluation of
       available correlations, Int. J. HVAC&R Research 8 (2002) 125.

    Examples
    --------
    Forced flow alone, then with the wall 5 K colder than the air:

    >>> round(film_coefficient(0.6, 0.1, 20.7, wet_temp_drop_k=0.0), 1)
    9.6
    >>> round(film_coefficient(0.6, 0.1, 20.7), 1)
    9.8
    """
    speed = within("air speed", air_speed_m_s, 0.0, 30.0, "0 to 30 m/s")
    length = within("length", length_m, 0.001, 10.0, "0.001 to 10 m")
    drop = within("temperature drop", wet_temp_drop_k, 0.0, 60.0, "0 to 60 K")
    film_c = air_temperature(temp_c) - drop / 2.0
    viscosity = air_viscosity(film_c) / air_density(film_c, 0.0, pressure_pa)
    pr = prandtl(film_c)
    expansion = 1.0 / (film_c + ZERO_CELSIUS_K)
    rayleigh = GRAVITY_M_S2 * expansion * drop * length**3 * pr / viscosity**2
    forced = laminar_plate_nusselt(speed * length / viscosity, pr)
    natural = vertical_plate_nusselt(rayleigh, pr)
    return plain(np.cbrt(forced**3 + natural**3) * air_conductivity(film_c) / length)


def radiation_coefficient(
    temp_c: FloatOrArray, emissivity: FloatOrArray = SHELL_EMISSIVITY
) -> FloatOrArray:
    """Compute the coefficient of radiation between a small wall and a room of nearly its warmth.

    Parameters
    ----------
    temp_c : float or array
        Mean temperature of wall and room [°C], -40 to 80.
    emissivity : float or array, optional
        Emissivity of the wall [-], above 0 to 1.

    Returns
    -------
    float or array
        Coefficient [W/m2K], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``4 eps sigma T^3``, the tangent of the fourth-power law: within 0.02 % for a wall 8 K colder
    than the room, 1.4 % for one 80 K colder.

    References
    ----------
    .. [1] Incropera et al., Fundamentals of Heat and Mass Transfer, Hoboken 2007, eq. 1.9.

    Examples
    --------
    >>> round(radiation_coefficient(20.7), 1), round(radiation_coefficient(20.7, 0.95), 1)
    (5.2, 5.5)
    """
    kelvin = air_temperature(temp_c) + ZERO_CELSIUS_K
    return plain(4.0 * fraction("emissivity", emissivity) * STEFAN_BOLTZMANN_W_M2K4 * kelvin**3)


def mass_transfer_coefficient(
    h_c: FloatOrArray,
    temp_c: FloatOrArray,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute the mass-transfer coefficient of the air film from that of heat.

    Parameters
    ----------
    h_c : float or array
        Convective coefficient of heat [W/m2K], above 0. Radiation carries no vapour: leave it out.
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Coefficient on vapour density [m/s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Heat-mass analogy ``h_m = h_c / (rho c_p Le^(2/3))`` with dry air, for small vapour fractions.

    References
    ----------
    .. [1] Incropera et al., Fundamentals of Heat and Mass Transfer, Hoboken 2007, eq. 6.60.
    .. [2] Y. A. Cengel, Heat and Mass Transfer, New York 2007, ch. 14.

    Examples
    --------
    >>> round(mass_transfer_coefficient(9.6, 20.7), 5)
    0.00876
    """
    heat_per_kelvin = air_density(temp_c, 0.0, pressure_pa) * AIR_HEAT_CAPACITY_J_KGK
    coefficient = positive("heat-transfer coefficient", h_c, "W/m2K")
    return plain(coefficient / (heat_per_kelvin * LEWIS_NUMBER ** (2.0 / 3.0)))


def saturation_slope(temp_c: FloatOrArray, wet_bulb_c: FloatOrArray) -> FloatOrArray:
    """Compute the secant slope of the saturation density between wet bulb and air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    wet_bulb_c : float or array
        Wet-bulb temperature [°C], at most `temp_c`; a higher one counts as equal.

    Returns
    -------
    float or array
        Slope [kg/m3K], broadcast shape; the tangent in saturated air.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Penman took the tangent at the air; the secant keeps the answer right at the wet bulb too.

    References
    ----------
    .. [1] H. L. Penman, Natural evaporation from open water, bare soil and grass, Proc. Royal
       Society A 193 (1948) 120.
    """
    air_c = air_temperature(temp_c)
    wet_c = wet_surface_temperature(wet_bulb_c, "wet bulb")
    low_c = np.minimum(wet_c, air_c - _SHORTEST_SECANT_K)
    return plain((saturation_density(air_c) - saturation_density(low_c)) / (air_c - low_c))


def heat_resistance(
    temp_c: FloatOrArray,
    wet_bulb_c: FloatOrArray,
    h_c: FloatOrArray,
    h_r: FloatOrArray = 0.0,
) -> FloatOrArray:
    """Compute the resistance that the supply of heat puts in the way of the vapour.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    wet_bulb_c : float or array
        Wet-bulb temperature [°C], at most `temp_c`.
    h_c : float or array
        Convective coefficient [W/m2K], above 0.
    h_r : float or array, optional
        Radiation coefficient [W/m2K], 0 or more.

    Returns
    -------
    float or array
        Resistance [s/m], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``s h_fg / (h_c + h_r)``: each kilogram that leaves cools the surface, and a colder surface
    offers less vapour.

    References
    ----------
    .. [1] H. L. Penman, Natural evaporation from open water, bare soil and grass, Proc. Royal
       Society A 193 (1948) 120.
    """
    heat_path = positive("heat-transfer coefficient", h_c, "W/m2K") + not_negative(
        "radiation coefficient", h_r, "W/m2K"
    )
    return plain(saturation_slope(temp_c, wet_bulb_c) * latent_heat(wet_bulb_c) / heat_path)


def evaporation_flux(
    temp_c: FloatOrArray,
    rh: FloatOrArray,
    h_c: FloatOrArray,
    h_r: FloatOrArray = 0.0,
    *,
    crust_resistance: FloatOrArray = 0.0,
    cavity_resistance: FloatOrArray = 0.0,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute how fast water leaves a wet wall.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    rh : float or array
        Relative humidity [-], 0 to 1.
    h_c : float or array
        Convective coefficient [W/m2K], above 0.
    h_r : float or array, optional
        Radiation coefficient [W/m2K], 0 or more; 0 where the wall sees only its like.
    crust_resistance : float or array, optional
        Depth of the dry layer over its diffusivity [s/m], 0 or more.
    cavity_resistance : float or array, optional
        Wet area of a core over the conductance of its openings [s/m], 0 or more.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Evaporation [kg/m2s], broadcast shape; 0 in saturated air.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``(rho_sat - rho_v) / (1/h_m + crust + s h_fg/(h_c + h_r) + cavity)``. Penman's closed form, in
    which heat supply is one more resistance. Against the exact heat balance from 15 to 30 °C and
    20 to 80 %: 0.2 to 1.5 % low on a bare wet wall without radiation; up to 6 % high with radiation
    or a crust, most in dry air, because the surface is then warmer than the wet bulb.
    The dry layer is taken to carry heat freely. Never negative: condensation is
    not computed.

    References
    ----------
    .. [1] H. L. Penman, Natural evaporation from open water, bare soil and grass, Proc. Royal
       Society A 193 (1948) 120.
    .. [2] J. L. Monteith, Evaporation and environment, Symp. Soc. Experimental Biology 19 (1965)
       205 (resistances in series).

    Examples
    --------
    Moving air at 20.7 °C and 45 %, in kg per square metre and hour, without and with radiation:

    >>> round(3600 * evaporation_flux(20.7, 0.45, 9.6), 3)
    0.105
    >>> round(3600 * evaporation_flux(20.7, 0.45, 9.6, 5.5), 3)
    0.138
    """
    film = 1.0 / mass_transfer_coefficient(h_c, temp_c, pressure_pa)
    heat = heat_resistance(temp_c, wet_bulb(temp_c, rh, pressure_pa), h_c, h_r)
    crust = not_negative("crust resistance", crust_resistance, "s/m")
    cavity = not_negative("cavity resistance", cavity_resistance, "s/m")
    missing_vapour = saturation_density(temp_c) - vapour_density(temp_c, rh)
    return plain(missing_vapour / (film + crust + heat + cavity))


def surface_temperature(
    temp_c: FloatOrArray, flux: FloatOrArray, h_c: FloatOrArray, h_r: FloatOrArray = 0.0
) -> FloatOrArray:
    """Compute the temperature of the evaporating surface.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    flux : float or array
        Evaporation [kg/m2s], 0 or more.
    h_c : float or array
        Convective coefficient [W/m2K], above 0.
    h_r : float or array, optional
        Radiation coefficient [W/m2K], 0 or more.

    Returns
    -------
    float or array
        Surface temperature [°C], broadcast shape: what an infrared thermometer should read.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``T_air - flux h_fg / (h_c + h_r)``, with the latent heat of the air's temperature: 0.1 K off at
    10 K drop.

    References
    ----------
    .. [1] Incropera et al., Fundamentals of Heat and Mass Transfer, Hoboken 2007, sec. 6.7.2.

    Examples
    --------
    >>> round(surface_temperature(20.7, 0.104 / 3600, 9.6), 1)
    13.3
    """
    air_c = air_temperature(temp_c)
    heat_path = positive("heat-transfer coefficient", h_c, "W/m2K") + not_negative(
        "radiation coefficient", h_r, "W/m2K"
    )
    return plain(air_c - not_negative("flux", flux, "kg/m2s") * latent_heat(air_c) / heat_path)
