"""The numbers physics takes and gives: floats or arrays, within what a real shop can have.

Every formula checks its inputs here, computes on arrays, and hands a plain float back when a
plain float came in.
"""

from __future__ import annotations

import sys
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from shellcoat.errors import ValueOutOfRangeError

Array: TypeAlias = npt.NDArray[np.float64]
FloatOrArray: TypeAlias = float | Array

AIR_TEMPERATURE_C = (-40.0, 80.0)
# Wet bulb and dew point lie below the air they belong to.
SURFACE_TEMPERATURE_C = (-60.0, 80.0)
# At 50 kPa (5,500 m) air of 80 °C is still short of boiling, so no formula divides by zero.
PRESSURE_PA = (50_000.0, 120_000.0)

_LARGEST = sys.float_info.max
_SMALLEST = sys.float_info.min


def within(field: str, value: FloatOrArray, low: float, high: float, allowed: str) -> Array:
    """Return the value as an array, or refuse it.

    Parameters
    ----------
    field : str
        What the value is, in words a person knows.
    value : float or array
        The value or values; integers are taken as floats.
    low, high : float
        Smallest and largest allowed value, both included.
    allowed : str
        The allowed range in words, for the message.

    Returns
    -------
    array
        The value as float64, shape kept (0-d for a float).

    Raises
    ------
    ValueOutOfRangeError
        If any element is outside, infinite or not a number; the first such element is named.
    """
    array = np.asarray(value, dtype=np.float64)
    # Written as "not inside" so that NaN, which fails every comparison, is refused too.
    outside = ~((array >= low) & (array <= high))
    if outside.any():
        raise ValueOutOfRangeError(field, float(array[outside][0]), allowed)
    return array


def plain(result: FloatOrArray) -> FloatOrArray:
    """Return a float for a single number, the array otherwise."""
    return result if np.ndim(result) else float(result)


def air_temperature(temp_c: FloatOrArray) -> Array:
    """Check an air temperature [°C]."""
    low, high = AIR_TEMPERATURE_C
    return within("air temperature", temp_c, low, high, f"{low:g} to {high:g} °C")


def wet_surface_temperature(temp_c: FloatOrArray, field: str = "temperature") -> Array:
    """Check the temperature [°C] of a wet surface, a wet bulb or a dew point."""
    low, high = SURFACE_TEMPERATURE_C
    return within(field, temp_c, low, high, f"{low:g} to {high:g} °C")


def relative_humidity(rh: FloatOrArray) -> Array:
    """Check a relative humidity [-], a fraction."""
    return within("relative humidity", rh, 0.0, 1.0, "a fraction from 0 to 1 (0.45 for 45 %)")


def air_pressure(pressure_pa: FloatOrArray) -> Array:
    """Check an air pressure [Pa]."""
    low, high = PRESSURE_PA
    return within("air pressure", pressure_pa, low, high, f"{low:g} to {high:g} Pa")


def fraction(field: str, value: FloatOrArray) -> Array:
    """Check a share [-] that must be above 0 and at most 1."""
    return within(field, value, _SMALLEST, 1.0, "a fraction above 0, at most 1")


def positive(field: str, value: FloatOrArray, unit: str) -> Array:
    """Check a value that must be finite and above 0."""
    return within(field, value, _SMALLEST, _LARGEST, f"a number above 0 {unit}")


def not_negative(field: str, value: FloatOrArray, unit: str) -> Array:
    """Check a value that must be finite and at least 0."""
    return within(field, value, 0.0, _LARGEST, f"0 {unit} or more")
