"""How well air carries momentum, heat and vapour, and what it costs to evaporate water.

Dry-air values: the vapour in workshop air changes viscosity and conductivity by less than 1 %.
"""

from __future__ import annotations

from shellcoat.physics.constants import (
    AIR_HEAT_CAPACITY_J_KGK,
    STANDARD_PRESSURE_PA,
    ZERO_CELSIUS_K,
)
from shellcoat.physics.quantities import (
    FloatOrArray,
    air_pressure,
    air_temperature,
    plain,
    wet_surface_temperature,
)

# Massman 1998: D [m2/s] at 0 °C and 1 atm, and the exponent of T.
_DIFFUSIVITY_0 = 2.178e-5
_DIFFUSIVITY_EXPONENT = 1.81

# Stull 1988 p. 641: latent heat [J/kg] at 0 °C and its fall per kelvin.
_LATENT_HEAT_0 = 2.501e6
_LATENT_HEAT_FALL = 2370.0

# U.S. Standard Atmosphere 1976 eq. 51 and 53, T in K.
_VISCOSITY_BETA = 1.458e-6
_VISCOSITY_SUTHERLAND_K = 110.4
_CONDUCTIVITY_BETA = 2.64638e-3
_CONDUCTIVITY_K = 245.4


def vapour_diffusivity(
    temp_c: FloatOrArray, pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA
) -> FloatOrArray:
    """Compute the diffusivity of water vapour in air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Diffusivity [m2/s], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    ``D = 2.178e-5 (T/273.15)^1.81`` m2/s at 1 atm, inverse to pressure; Massman states 7 %. The
    fit of Marrero and Mason 1972 lies 2 to 4 % lower from 0 to 30 °C.

    References
    ----------
    .. [1] W. J. Massman, A review of the molecular diffusivities of H2O, CO2, CH4, CO, O3, SO2,
       NH3, N2O, NO, and NO2 in air, O2 and N2 near STP, Atmospheric Environment 32 (1998) 1111,
       table 5.

    Examples
    --------
    >>> vapour_diffusivity(0.0)
    2.178e-05
    """
    ratio = (air_temperature(temp_c) + ZERO_CELSIUS_K) / ZERO_CELSIUS_K
    at_one_atmosphere = _DIFFUSIVITY_0 * ratio**_DIFFUSIVITY_EXPONENT
    return plain(at_one_atmosphere * STANDARD_PRESSURE_PA / air_pressure(pressure_pa))


def latent_heat(temp_c: FloatOrArray) -> FloatOrArray:
    """Compute the heat it takes to evaporate water at a temperature.

    Parameters
    ----------
    temp_c : float or array
        Temperature of the wet surface [°C], -60 to 80.

    Returns
    -------
    float or array
        Latent heat [J/kg], shape of `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If the temperature is outside its range or not finite.

    Notes
    -----
    ``2.501e6 - 2370 T``, liquid water; within 0.03 % of IAPWS-95 from 0 to 50 °C. Below 0 °C it
    stays the value of supercooled water: a frozen slurry is spoilt before it dries.

    References
    ----------
    .. [1] R. B. Stull, An Introduction to Boundary Layer Meteorology, Dordrecht 1988, p. 641.

    Examples
    --------
    >>> round(latent_heat(20.0))
    2453600
    """
    return plain(_LATENT_HEAT_0 - _LATENT_HEAT_FALL * wet_surface_temperature(temp_c))


def air_viscosity(temp_c: FloatOrArray) -> FloatOrArray:
    """Compute the dynamic viscosity of air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.

    Returns
    -------
    float or array
        Viscosity [Pa s], shape of `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If the temperature is outside its range or not finite.

    Notes
    -----
    Sutherland's law; 0.3 to 0.6 % below the CoolProp reference from 0 to 50 °C.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, NASA-TM-X-74335, Washington 1976, eq. 51.
    """
    kelvin = air_temperature(temp_c) + ZERO_CELSIUS_K
    return plain(_VISCOSITY_BETA * kelvin**1.5 / (kelvin + _VISCOSITY_SUTHERLAND_K))


def air_conductivity(temp_c: FloatOrArray) -> FloatOrArray:
    """Compute the thermal conductivity of air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.

    Returns
    -------
    float or array
        Conductivity [W/mK], shape of `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If the temperature is outside its range or not finite.

    Notes
    -----
    0.1 to 1 % below the CoolProp reference from 0 to 50 °C.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, NASA-TM-X-74335, Washington 1976, eq. 53.
    """
    kelvin = air_temperature(temp_c) + ZERO_CELSIUS_K
    damping = _CONDUCTIVITY_K * 10.0 ** (-12.0 / kelvin)
    return plain(_CONDUCTIVITY_BETA * kelvin**1.5 / (kelvin + damping))


def prandtl(temp_c: FloatOrArray) -> FloatOrArray:
    """Compute the Prandtl number of air.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -40 to 80.

    Returns
    -------
    float or array
        Prandtl number [-], shape of `temp_c`.

    Raises
    ------
    ValueOutOfRangeError
        If the temperature is outside its range or not finite.

    Notes
    -----
    ``cp mu / k``; within 0.7 % of the CoolProp reference from 0 to 50 °C.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, NASA-TM-X-74335, Washington 1976, eq. 51 and 53.
    """
    return plain(AIR_HEAT_CAPACITY_J_KGK * air_viscosity(temp_c) / air_conductivity(temp_c))
