"""Every spelling of a unit that a person may type, and the unit it stands for.

US trade spellings mean US customary units: a gallon is 231 cubic inches.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shellcoat.units.quantities import Measure

# measure -> unit in the pint registry -> spellings, the one shown to people first.
# Letter case, spaces and dots are ignored ("Fl. Oz.", "sq in"), m2 and m^2 mean m².
SPELLINGS: Mapping[Measure, Mapping[str, str]] = {
    Measure.LENGTH: {
        "micrometer": "µm um micron microns micrometre micrometres micrometer micrometers",
        "millimeter": "mm millimetre millimetres millimeter millimeters",
        "centimeter": "cm centimetre centimetres centimeter centimeters",
        "meter": "m metre metres meter meters",
        "kilometer": "km kilometre kilometres kilometer kilometers",
        "thou": "thou",
        "inch": 'in inch inches "',
        "foot": "ft foot feet '",
        "yard": "yd yard yards",
    },
    Measure.TEMPERATURE: {
        "degC": "°C C degC celsius",
        "degF": "°F F degF fahrenheit",
        "kelvin": "K kelvin",
    },
    Measure.PERCENTAGE: {"percent": "% %RH RH% pct percent"},
    Measure.MASS: {
        "milligram": "mg milligram milligrams",
        "gram": "g gram grams gramme grammes",
        "kilogram": "kg kgs kilo kilos kilogram kilograms",
        "ounce": "oz ounce ounces",
        "pound": "lb lbs pound pounds",
    },
    Measure.MASS_PER_AREA: {
        "kilogram/meter**2": "kg/m²",
        "gram/meter**2": "g/m² gsm",
        "gram/centimeter**2": "g/cm²",
        "ounce/foot**2": "oz/ft² oz/sqft",
        "pound/foot**2": "lb/ft² lb/sqft lbs/ft² lbs/sqft",
    },
    Measure.VOLUME: {
        "milliliter": "mL cc cm³ millilitre millilitres milliliter milliliters",
        "liter": "L dm³ litre litres liter liters",
        "meter**3": "m³",
        "fluid_ounce": "floz flounce",
        "cup": "cup cups",
        "pint": "pt pint pints",
        "quart": "qt qts quart quarts",
        "gallon": "gal gals gallon gallons",
        "inch**3": "in³ cuin",
        "foot**3": "ft³ cuft",
    },
    Measure.AREA: {
        "millimeter**2": "mm²",
        "centimeter**2": "cm² sqcm",
        "meter**2": "m² sqm",
        "inch**2": "in² sqin",
        "foot**2": "ft² sqft",
    },
    Measure.SPEED: {
        "meter/second": "m/s",
        "centimeter/second": "cm/s",
        "kilometer/hour": "km/h kph",
        "foot/minute": "ft/min fpm",
        "foot/second": "ft/s fps",
        "mile/hour": "mph",
    },
    Measure.PRESSURE: {
        "pascal": "Pa",
        "hectopascal": "hPa",
        "kilopascal": "kPa",
        "megapascal": "MPa",
        "millibar": "mbar",
        "bar": "bar",
        "pound_force_per_square_inch": "psi",
        "inch_Hg": 'inHg "Hg',
        "millimeter_Hg": "mmHg torr",
    },
    Measure.DENSITY: {
        "kilogram/meter**3": "kg/m³ g/L",
        "gram/centimeter**3": "g/cm³ g/cc g/mL kg/L kg/dm³",
        "pound/gallon": "lb/gal lbs/gal ppg",
        "pound/foot**3": "lb/ft³ lbs/ft³ pcf",
    },
    Measure.FLOW: {
        "liter/minute": "L/min lpm",
        "liter/second": "L/s",
        "meter**3/hour": "m³/h",
        "meter**3/second": "m³/s",
        "foot**3/minute": "ft³/min cfm",
        "gallon/minute": "gal/min gpm",
    },
    Measure.VISCOSITY: {
        "millipascal*second": "mPa·s mPas",
        "pascal*second": "Pa·s Pas",
        "centipoise": "cP cps centipoise",
        "poise": "P poise",
    },
    Measure.TIME: {
        "second": "s sec secs second seconds",
        "minute": "min mins minute minutes m",
        "hour": "h hr hrs hour hours",
        "day": "d day days",
    },
}

# "mPa" is not "MPa", and a lone "k" is more likely a thousand than a kelvin.
CASE_MATTERS = frozenset({"MPa", "mPa·s", "mPas", "K"})

# "Mil" is a thousandth of an inch to some and a millimetre to others.
TWO_MEANINGS: Mapping[Measure, Mapping[str, tuple[str, str]]] = {
    Measure.LENGTH: {"mil": ("thou", "mm"), "mils": ("thou", "mm")},
}

# Units a person may add up in one text, largest first: 5 ft 6 in, 3 lb 5 oz, 2 h 30 min.
LADDERS: Mapping[Measure, tuple[str, ...]] = {
    Measure.LENGTH: ("foot", "inch"),
    Measure.MASS: ("pound", "ounce"),
    Measure.VOLUME: ("gallon", "quart", "fluid_ounce"),
    Measure.TIME: ("day", "hour", "minute", "second"),
}

_SAME_WORD = str.maketrans(
    {" ": None, ".": None, "^": None, "²": "2", "³": "3", "μ": "µ", "º": "°", "˚": "°"}
    | {"℃": "°C", "℉": "°F"}
)


@dataclass(frozen=True)
class TypedUnit:
    """A unit a person named: how it is shown, its registry name and what it measures."""

    symbol: str
    unit: str
    measure: Measure


def plain_word(text: str) -> str:
    """Reduce a unit's spelling to the form the tables are searched by, keeping its case."""
    word = text.translate(_SAME_WORD)
    return f"°{word[3:]}" if word[:3].casefold() == "deg" and len(word) == 4 else word


def find_unit(text: str, measure: Measure) -> TypedUnit | None:
    """Find a spelling among the units of a measure."""
    word = plain_word(text)
    known = _UNITS[measure]
    return known.get(word) or known.get(word.casefold())


def find_elsewhere(text: str) -> TypedUnit | None:
    """Find a spelling in any measure, to say what was typed instead."""
    found = (find_unit(text, measure) for measure in Measure)
    return next((unit for unit in found if unit), None)


def symbols(measure: Measure) -> tuple[str, ...]:
    """List the units of a measure as they are shown to people."""
    return tuple(spellings.split()[0] for spellings in SPELLINGS[measure].values())


def _keys(word: str) -> set[str]:
    plain = plain_word(word)
    return {plain} if word in CASE_MATTERS else {plain, plain.casefold()}


def _searchable(measure: Measure) -> dict[str, TypedUnit]:
    return {
        key: TypedUnit(spellings.split()[0], unit, measure)
        for unit, spellings in SPELLINGS[measure].items()
        for word in spellings.split()
        for key in _keys(word)
    }


_UNITS: Mapping[Measure, Mapping[str, TypedUnit]] = {
    measure: _searchable(measure) for measure in Measure
}
