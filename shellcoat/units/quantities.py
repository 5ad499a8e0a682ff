"""The kinds of quantity the program asks for and shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum


class Measure(Enum):
    """What a unit measures; the value is the noun used in messages."""

    LENGTH = "a length"
    TEMPERATURE = "a temperature"
    PERCENTAGE = "a percentage"
    MASS = "a mass"
    MASS_PER_AREA = "a mass per area"
    VOLUME = "a volume"
    AREA = "an area"
    SPEED = "a speed"
    PRESSURE = "a pressure"
    DENSITY = "a density"
    FLOW = "a flow"
    VISCOSITY = "a viscosity"
    TIME = "a time"


class Quantity(Enum):
    """A kind of quantity; the value is its name in settings files."""

    THICKNESS = "thickness"
    LENGTH = "length"
    HEIGHT = "height"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature_difference"
    HUMIDITY = "humidity"
    MASS = "mass"
    MASS_PER_AREA = "mass_per_area"
    VOLUME = "volume"
    AREA = "area"
    SPEED = "speed"
    PRESSURE = "pressure"
    DENSITY = "density"
    FLOW = "flow"
    VISCOSITY = "viscosity"
    TIME = "time"
    SMALL_MASS = "small_mass"
    YIELD_STRESS = "yield_stress"
    SHORT_TIME = "short_time"


@dataclass(frozen=True)
class Kind:
    """What is known of a quantity: its measure, its stored unit, how to write one."""

    measure: Measure
    stored: str
    """Name of the stored unit in the pint registry."""
    examples: tuple[str, str, str]


KINDS: Mapping[Quantity, Kind] = {
    Quantity.THICKNESS: Kind(Measure.LENGTH, "meter", ("8 mm", "3/8 in", "0.8 cm")),
    Quantity.LENGTH: Kind(Measure.LENGTH, "meter", ("250 mm", "9 3/4 in", "25 cm")),
    Quantity.HEIGHT: Kind(Measure.LENGTH, "meter", ("350 m", "1150 ft", "0.35 km")),
    Quantity.TEMPERATURE: Kind(Measure.TEMPERATURE, "degC", ("22 °C", "72 °F", "22.5 C")),
    Quantity.TEMPERATURE_DIFFERENCE: Kind(Measure.TEMPERATURE, "kelvin", ("2 °C", "3 °F", "1.5 K")),
    Quantity.HUMIDITY: Kind(Measure.PERCENTAGE, "dimensionless", ("55 %", "55", "0.55")),
    Quantity.MASS: Kind(Measure.MASS, "kilogram", ("1.5 kg", "800 g", "3 lb 5 oz")),
    Quantity.MASS_PER_AREA: Kind(
        Measure.MASS_PER_AREA, "kilogram/meter**2", ("1.2 kg/m2", "900 g/m2", "4 oz/ft2")
    ),
    Quantity.VOLUME: Kind(Measure.VOLUME, "meter**3", ("20 L", "5 gal", "750 ml")),
    Quantity.AREA: Kind(Measure.AREA, "meter**2", ("450 cm2", "70 in2", "0.05 m2")),
    Quantity.SPEED: Kind(Measure.SPEED, "meter/second", ("1.5 m/s", "300 ft/min", "5 km/h")),
    Quantity.PRESSURE: Kind(Measure.PRESSURE, "pascal", ("101.3 kPa", "14.7 psi", "1013 hPa")),
    Quantity.DENSITY: Kind(
        Measure.DENSITY, "kilogram/meter**3", ("1.65 g/cm3", "13.8 lb/gal", "1650 kg/m3")
    ),
    Quantity.FLOW: Kind(Measure.FLOW, "meter**3/second", ("12 L/min", "150 cfm", "5 m3/h")),
    Quantity.VISCOSITY: Kind(
        Measure.VISCOSITY, "pascal*second", ("350 mPa s", "350 cP", "0.35 Pa s")
    ),
    Quantity.TIME: Kind(Measure.TIME, "second", ("2 h 30 min", "90 min", "2:30")),
    # What a plate holds, a slurry's yield and a drain are far below what their measures are
    # usually shown in: in kg, kPa or hours they would be written as nought.
    Quantity.SMALL_MASS: Kind(Measure.MASS, "kilogram", ("12.5 g", "0.44 oz", "0.0125 kg")),
    Quantity.YIELD_STRESS: Kind(Measure.PRESSURE, "pascal", ("4 Pa", "4.5 Pa", "0.004 kPa")),
    Quantity.SHORT_TIME: Kind(Measure.TIME, "second", ("30 s", "1 min 30 s", "0.5 min")),
}
