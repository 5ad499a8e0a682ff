"""Writes values in a person's units. Never loads pint, so it costs nothing at start-up."""

from __future__ import annotations

import math

from shellcoat.units.displays import DisplayUnit, display_unit, settle
from shellcoat.units.preferences import UnitPreferences
from shellcoat.units.quantities import Quantity

NO_BREAK_SPACE = "\u00a0"
MINUS = "\u2212"
DECIMAL_MARKS = (".", ",")

MINUTE_S = 60
HOUR_S = 60 * MINUTE_S
DAY_S = 24 * HOUR_S
SECONDS_SHOWN_BELOW_S = 10 * MINUTE_S
"""Below this a duration shows seconds; above, they would claim more than anyone knows."""


def display_value(value: float, quantity: Quantity, preferences: UnitPreferences) -> float:
    """Convert a stored value to the person's unit, for plots and spin boxes."""
    return _unit(quantity, preferences).shown(value)


def from_display(value: float, quantity: Quantity, preferences: UnitPreferences) -> float:
    """Convert a value in the person's unit to the stored one."""
    return settle(_unit(quantity, preferences).stored(value))


def write_quantity(
    value: float,
    quantity: Quantity,
    preferences: UnitPreferences,
    *,
    decimals: int | None = None,
    decimal_mark: str = ".",
) -> str:
    """Write a stored value with its unit, such as "0.90 mm"."""
    unit = _unit(quantity, preferences)
    number = _write_number(value, unit, decimals, decimal_mark)
    return f"{number}{NO_BREAK_SPACE}{unit.symbol}"


def write_band(
    low: float,
    high: float,
    quantity: Quantity,
    preferences: UnitPreferences,
    *,
    decimals: int | None = None,
    decimal_mark: str = ".",
) -> str:
    """Write a spread of stored values, such as "0.80–1.50 mm"; equal ends are written once."""
    if low > high:
        raise ValueError(f"a band must run upwards, not from {low} to {high}")
    unit = _unit(quantity, preferences)
    ends = [_write_number(end, unit, decimals, decimal_mark) for end in (low, high)]
    numbers = ends[0] if ends[0] == ends[1] else _dash(ends).join(ends)
    return f"{numbers}{NO_BREAK_SPACE}{unit.symbol}"


def write_duration(seconds: float) -> str:
    """Write a span of time in at most two units, such as "3 h 40 min" or "2 d 4 h"."""
    _require_finite(seconds)
    span = abs(seconds)
    if round(span) < SECONDS_SHOWN_BELOW_S:
        parts = _split(span, (MINUTE_S, "min"), (1, "s"))
    elif round(span / MINUTE_S) * MINUTE_S < DAY_S:
        parts = _split(span, (HOUR_S, "h"), (MINUTE_S, "min"))
    else:
        parts = _split(span, (DAY_S, "d"), (HOUR_S, "h"))
    sign = MINUS if seconds < 0 and parts != _NOTHING else ""
    return sign + " ".join(f"{count}{NO_BREAK_SPACE}{unit}" for count, unit in parts)


_NOTHING = [(0, "s")]


def _split(span: float, large: tuple[int, str], small: tuple[int, str]) -> list[tuple[int, str]]:
    """Split a span into whole large and small units, leaving out a part that is nought."""
    count = round(span / small[0])
    wholes, rest = divmod(count, large[0] // small[0])
    parts = [(wholes, large[1]), (rest, small[1])]
    return [part for part in parts if part[0]] or [(0, small[1])]


def _unit(quantity: Quantity, preferences: UnitPreferences) -> DisplayUnit:
    return display_unit(quantity, preferences.unit_for(quantity))


def _write_number(value: float, unit: DisplayUnit, decimals: int | None, mark: str) -> str:
    _require_finite(value)
    if mark not in DECIMAL_MARKS:
        raise ValueError(f'the decimal mark must be "." or ",", not "{mark}"')
    places = unit.decimals if decimals is None else decimals
    # The "z" keeps a small negative value from becoming "-0.0".
    number = f"{unit.shown(value):z.{places}f}"
    return number.replace("-", MINUS).replace(".", mark)


def _dash(ends: list[str]) -> str:
    """Return the dash of a band, set apart where a minus sign could run into it."""
    apart = any(end.startswith(MINUS) for end in ends)
    return f"{NO_BREAK_SPACE}–{NO_BREAK_SPACE}" if apart else "–"


def _require_finite(value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be written as a quantity")
