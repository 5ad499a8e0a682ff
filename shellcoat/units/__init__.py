"""Reading what a person types and writing it back in the units they chose.

Inside the program every value is a plain float in its stored unit: SI, but for temperatures in °C
and humidity as a fraction from 0 to 1.
"""

from shellcoat.units.errors import (
    AmbiguousNumberError,
    UnreadableQuantityError,
    WrongQuantityError,
)
from shellcoat.units.preferences import UnitPreferenceError, UnitPreferences, UnitSystem
from shellcoat.units.quantities import Quantity
from shellcoat.units.reading import read_quantity
from shellcoat.units.writing import (
    display_value,
    from_display,
    write_band,
    write_duration,
    write_quantity,
)

__all__ = [
    "AmbiguousNumberError",
    "Quantity",
    "UnitPreferenceError",
    "UnitPreferences",
    "UnitSystem",
    "UnreadableQuantityError",
    "WrongQuantityError",
    "display_value",
    "from_display",
    "read_quantity",
    "write_band",
    "write_duration",
    "write_quantity",
]
