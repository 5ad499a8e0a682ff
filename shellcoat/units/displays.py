"""The units values are shown in: factor, offset and usual decimals of each.

A plain table, so that showing a value never loads pint. The exact values of the US units are
those of NIST Special Publication 811, Guide for the Use of the International System of Units,
A. Thompson and B. N. Taylor, Gaithersburg, 2008, Appendix B. Decimals are common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shellcoat.units.quantities import Quantity

INCH_M = 0.0254  # exact
FOOT_M = 0.3048  # exact
POUND_KG = 0.45359237  # exact
OUNCE_KG = POUND_KG / 16
GALLON_M3 = 231 * INCH_M**3  # exact: US gallon of 231 cubic inches
GRAVITY_M_S2 = 9.80665  # exact: standard acceleration of free fall
MERCURY_KG_M3 = 13595.1  # conventional density of mercury, as in "conventional inch of mercury"
ONE_F_K = 5 / 9


@dataclass(frozen=True)
class DisplayUnit:
    """One unit a quantity can be shown in: stored value = shown value * factor + offset."""

    symbol: str
    unit: str
    """Name in the pint registry."""
    factor: float
    decimals: int
    offset: float = 0.0

    def shown(self, stored: float) -> float:
        """Convert a stored value to the one shown."""
        return (stored - self.offset) / self.factor

    def stored(self, shown: float) -> float:
        """Convert a shown value to the one stored."""
        return shown * self.factor + self.offset


# The first unit is the usual one where metric units are used.
DISPLAY_UNITS: Mapping[Quantity, tuple[DisplayUnit, ...]] = {
    Quantity.THICKNESS: (
        DisplayUnit("mm", "millimeter", 1e-3, 2),
        DisplayUnit("in", "inch", INCH_M, 3),
    ),
    Quantity.LENGTH: (
        DisplayUnit("mm", "millimeter", 1e-3, 0),
        DisplayUnit("cm", "centimeter", 1e-2, 1),
        DisplayUnit("in", "inch", INCH_M, 2),
    ),
    Quantity.HEIGHT: (
        DisplayUnit("m", "meter", 1.0, 0),
        DisplayUnit("ft", "foot", FOOT_M, 0),
    ),
    Quantity.TEMPERATURE: (
        DisplayUnit("°C", "degC", 1.0, 1),
        DisplayUnit("°F", "degF", ONE_F_K, 1, offset=-32 * ONE_F_K),
    ),
    Quantity.TEMPERATURE_DIFFERENCE: (
        DisplayUnit("K", "kelvin", 1.0, 1),
        DisplayUnit("°C", "delta_degC", 1.0, 1),
        DisplayUnit("°F", "delta_degF", ONE_F_K, 1),
    ),
    Quantity.HUMIDITY: (DisplayUnit("%", "percent", 1e-2, 0),),
    Quantity.MASS: (
        DisplayUnit("kg", "kilogram", 1.0, 3),
        DisplayUnit("g", "gram", 1e-3, 0),
        DisplayUnit("lb", "pound", POUND_KG, 2),
        DisplayUnit("oz", "ounce", OUNCE_KG, 1),
    ),
    Quantity.MASS_PER_AREA: (
        DisplayUnit("kg/m²", "kilogram/meter**2", 1.0, 2),
        DisplayUnit("g/m²", "gram/meter**2", 1e-3, 0),
        DisplayUnit("oz/ft²", "ounce/foot**2", OUNCE_KG / FOOT_M**2, 2),
    ),
    Quantity.VOLUME: (
        DisplayUnit("L", "liter", 1e-3, 2),
        DisplayUnit("mL", "milliliter", 1e-6, 0),
        DisplayUnit("gal", "gallon", GALLON_M3, 2),
        DisplayUnit("qt", "quart", GALLON_M3 / 4, 2),
    ),
    Quantity.AREA: (
        DisplayUnit("cm²", "centimeter**2", 1e-4, 0),
        DisplayUnit("m²", "meter**2", 1.0, 3),
        DisplayUnit("in²", "inch**2", INCH_M**2, 1),
        DisplayUnit("ft²", "foot**2", FOOT_M**2, 2),
    ),
    Quantity.SPEED: (
        DisplayUnit("m/s", "meter/second", 1.0, 2),
        DisplayUnit("ft/min", "foot/minute", FOOT_M / 60, 0),
    ),
    Quantity.PRESSURE: (
        DisplayUnit("kPa", "kilopascal", 1e3, 1),
        DisplayUnit("hPa", "hectopascal", 1e2, 0),
        DisplayUnit("psi", "pound_force_per_square_inch", POUND_KG * GRAVITY_M_S2 / INCH_M**2, 2),
        DisplayUnit("inHg", "inch_Hg", MERCURY_KG_M3 * GRAVITY_M_S2 * INCH_M, 2),
    ),
    Quantity.DENSITY: (
        DisplayUnit("g/cm³", "gram/centimeter**3", 1e3, 2),
        DisplayUnit("kg/m³", "kilogram/meter**3", 1.0, 0),
        DisplayUnit("lb/gal", "pound/gallon", POUND_KG / GALLON_M3, 2),
    ),
    Quantity.FLOW: (
        DisplayUnit("L/min", "liter/minute", 1e-3 / 60, 1),
        DisplayUnit("m³/h", "meter**3/hour", 1 / 3600, 1),
        DisplayUnit("ft³/min", "foot**3/minute", FOOT_M**3 / 60, 1),
    ),
    Quantity.VISCOSITY: (
        DisplayUnit("mPa·s", "millipascal*second", 1e-3, 0),
        DisplayUnit("cP", "centipoise", 1e-3, 0),
        DisplayUnit("Pa·s", "pascal*second", 1.0, 3),
    ),
    Quantity.TIME: (
        DisplayUnit("h", "hour", 3600.0, 1),
        DisplayUnit("min", "minute", 60.0, 0),
    ),
    Quantity.SMALL_MASS: (
        DisplayUnit("g", "gram", 1e-3, 1),
        DisplayUnit("oz", "ounce", OUNCE_KG, 2),
    ),
    Quantity.YIELD_STRESS: (DisplayUnit("Pa", "pascal", 1.0, 1),),
    Quantity.SHORT_TIME: (
        DisplayUnit("s", "second", 1.0, 0),
        DisplayUnit("min", "minute", 60.0, 1),
    ),
}

# The usual unit of each quantity in a shop that works in US units, where it differs.
US_SYMBOLS: Mapping[Quantity, str] = {
    Quantity.THICKNESS: "in",
    Quantity.LENGTH: "in",
    Quantity.HEIGHT: "ft",
    Quantity.TEMPERATURE: "°F",
    Quantity.TEMPERATURE_DIFFERENCE: "°F",
    Quantity.MASS: "lb",
    Quantity.MASS_PER_AREA: "oz/ft²",
    Quantity.VOLUME: "gal",
    Quantity.AREA: "in²",
    Quantity.SPEED: "ft/min",
    Quantity.PRESSURE: "psi",
    Quantity.DENSITY: "lb/gal",
    Quantity.FLOW: "ft³/min",
    Quantity.VISCOSITY: "cP",
    Quantity.SMALL_MASS: "oz",
}


def settle(value: float) -> float:
    """Drop the last binary hair of a conversion, so that 0.9 mm is stored as 0.0009."""
    return float(f"{value:.15g}")


def display_unit(quantity: Quantity, symbol: str) -> DisplayUnit:
    """Return the display unit with this symbol; a symbol not in the table is a `KeyError`."""
    return _BY_SYMBOL[quantity][symbol]


def display_unit_named(quantity: Quantity, unit: str) -> DisplayUnit | None:
    """Return the display unit with this registry name, if the quantity is shown in it."""
    return next((row for row in DISPLAY_UNITS[quantity] if row.unit == unit), None)


_BY_SYMBOL = {
    quantity: {row.symbol: row for row in rows} for quantity, rows in DISPLAY_UNITS.items()
}
