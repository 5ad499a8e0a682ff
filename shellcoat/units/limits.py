"""Holds a value to its limits and tells them in the person's unit."""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.units.displays import DisplayUnit
from shellcoat.units.entry import Entry
from shellcoat.units.writing import MINUS, NO_BREAK_SPACE

# Converting "0.3 mm" may end a hair beside 0.0003; that hair is no reason to refuse it.
HAIR = 1e-9
OFFSET_HAIR = 1e-12
LIMIT_DIGITS = 4


def require_within(
    entry: Entry,
    value: float,
    low: float | None,
    high: float | None,
    *,
    shown_in: DisplayUnit,
    echo: str,
) -> float:
    """Return the value, or the limit it meets but for rounding; refuse one beyond a limit."""
    for limit in (low, high):
        if limit is not None and math.isclose(value, limit, rel_tol=HAIR):
            return limit
    below = low is not None and value < low
    above = high is not None and value > high
    if below or above:
        allowed = _allowed(low, high, shown_in, entry.decimal_mark)
        raise ValueOutOfRangeError(entry.field, echo, allowed)
    return value


def _allowed(low: float | None, high: float | None, unit: DisplayUnit, mark: str) -> str:
    """Tell the limits, each rounded into the allowed span so that typing it is accepted."""
    least = None if low is None else _written(low, unit, ROUND_CEILING, mark)
    most = None if high is None else _written(high, unit, ROUND_FLOOR, mark)
    if least and most:
        return f"{least} to {most}"
    return f"at least {least}" if least else f"at most {most}"


def _written(limit: float, unit: DisplayUnit, rounding: str, mark: str) -> str:
    shown = unit.shown(limit)
    # Taking the offset off may leave a hair of 0 °F.
    number = Decimal(f"{shown:.9g}") if abs(shown) > OFFSET_HAIR else Decimal(0)
    quantum = Decimal(1).scaleb(number.adjusted() + 1 - LIMIT_DIGITS)
    rounded = number.quantize(quantum, rounding=rounding).normalize()
    text = f"{rounded:f}".replace("-", MINUS).replace(".", mark)
    return f"{text}{NO_BREAK_SPACE}{unit.symbol}"
