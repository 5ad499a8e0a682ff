"""Reads what a person types: "3/8 in", "72 F", "0,9 mm", "55 %", "2 h 30 min"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from shellcoat.units.compound import read_clock, read_compound, registry_unit, to_stored
from shellcoat.units.displays import DISPLAY_UNITS, DisplayUnit, display_unit_named, settle
from shellcoat.units.entry import Entry
from shellcoat.units.errors import UnreadableQuantityError
from shellcoat.units.limits import require_within
from shellcoat.units.number_entry import read_number, refuse_groups
from shellcoat.units.quantities import KINDS, Measure, Quantity
from shellcoat.units.words import (
    TWO_MEANINGS,
    TypedUnit,
    find_elsewhere,
    find_unit,
    plain_word,
    symbols,
)
from shellcoat.units.writing import DECIMAL_MARKS

_SIGNED = re.compile(r"([+-]?) ?([0-9.,].*)")
_NUMBER_SIGNS = "0123456789.,/ -"
_SWISS_GROUPS = re.compile(r"[0-9]{1,3}(?:'[0-9]{3})+(?:[.,][0-9]+)?(?![0-9])")
_POWER_OF_TEN = re.compile(r"[eE][+-]?[0-9]+")
_UNIT_LIKE = re.compile(r"[^\d_]{1,20}")


@dataclass(frozen=True)
class Reading:
    """A value read, and the unit it was meant in when one is known."""

    value: float
    unit: TypedUnit | None
    bare: bool = False


def read_quantity(
    text: str,
    quantity: Quantity,
    *,
    field: str,
    unit: str | None = None,
    low: float | None = None,
    high: float | None = None,
    decimal_mark: str = ".",
) -> float:
    """Read a typed quantity and return it in its stored unit.

    Parameters
    ----------
    text
        What the person typed.
    quantity
        The kind of quantity asked for.
    field
        Name of the field, for messages.
    unit
        Unit of a number typed without one; without it such a number is refused. Two kinds have
        a rule of their own. A bare humidity above 1 is in per cent and one below 1 a fraction;
        a bare 1 is refused. A time 2:30 is in hours and minutes, and refused if `unit` is
        minutes or seconds.
    low, high
        Smallest and largest value taken, in the stored unit.
    decimal_mark
        The mark the person's screen shows, "." or ",". The other mark is read too, except where
        it could be a group separator: 1,234 is refused beside a point, 1.234 beside a comma.

    Raises
    ------
    UnreadableQuantityError
        If the text is not one number with a unit that fits.
    ValueOutOfRangeError
        If the value lies outside `low` and `high`.
    """
    if decimal_mark not in DECIMAL_MARKS:
        raise ValueError(f'the decimal mark must be "." or ",", not "{decimal_mark}"')
    assumed = _assumed_unit(unit, quantity)
    entry = Entry.of(text, quantity, field, decimal_mark)
    reading = _read(entry, assumed)
    echo = f"{entry.typed} {reading.unit.symbol}" if reading.bare and reading.unit else entry.typed
    shown_in = _limit_unit(quantity, reading.unit, assumed)
    return require_within(entry, settle(reading.value), low, high, shown_in=shown_in, echo=echo)


def _assumed_unit(unit: str | None, quantity: Quantity) -> TypedUnit | None:
    if unit is None:
        return None
    assumed = find_unit(unit, KINDS[quantity].measure)
    if assumed is None:
        raise ValueError(f'"{unit}" is not a unit of {quantity.value}')
    return assumed


def _read(entry: Entry, assumed: TypedUnit | None) -> Reading:
    signed = _SIGNED.fullmatch(entry.text)
    if not signed:
        raise entry.unreadable("does not begin with a number")
    sign = -1.0 if signed[1] == "-" else 1.0
    body = signed[2]
    _refuse_swiss_groups(entry, body)
    clock = read_clock(entry, body, assumed)
    if clock is not None:
        return Reading(sign * clock, assumed)
    run, word = _number_and_word(body)
    if not word or _bare_degree(word, assumed):
        return _read_bare(entry, sign * read_number(entry, run), assumed)
    named = find_unit(word, entry.kind.measure)
    if named:
        number = sign * read_number(entry, run)
        return Reading(to_stored(number, named, entry.quantity), named)
    # "5 ft2" is refused as an area before it can be read as five feet two.
    compound = None if find_elsewhere(word) else read_compound(entry, body)
    if compound is None:
        raise _diagnose(entry, word)
    return Reading(sign * compound, None)


def _number_and_word(body: str) -> tuple[str, str]:
    word = body.lstrip(_NUMBER_SIGNS)
    return body.removesuffix(word), word


def _refuse_swiss_groups(entry: Entry, body: str) -> None:
    groups = _SWISS_GROUPS.match(body)
    if groups:
        refuse_groups(entry, groups[0])


def _bare_degree(word: str, assumed: TypedUnit | None) -> bool:
    """Tell whether the word is a degree sign alone, which leaves the scale to the field."""
    degree = plain_word(word).casefold() in {"°", "deg"}
    return degree and assumed is not None and assumed.measure is Measure.TEMPERATURE


def _read_bare(entry: Entry, number: float, assumed: TypedUnit | None) -> Reading:
    """Read a number without a unit in the unit of the field."""
    if entry.quantity is Quantity.HUMIDITY:
        return _read_bare_humidity(entry, number)
    if assumed is None:
        raise entry.unreadable("has no unit")
    return Reading(to_stored(number, assumed, entry.quantity), assumed, bare=True)


def _read_bare_humidity(entry: Entry, number: float) -> Reading:
    if abs(number) == 1:
        raise entry.ambiguous(entry.text, "1 %", "100 %")
    if abs(number) < 1:
        return Reading(number, None)
    percent = find_unit("%", Measure.PERCENTAGE)
    return Reading(number / 100, percent, bare=True)


def _diagnose(entry: Entry, word: str) -> UnreadableQuantityError:
    """Say as closely as possible why the text behind the number is not a unit that fits."""
    meanings = TWO_MEANINGS.get(entry.kind.measure, {}).get(plain_word(word).casefold())
    if meanings:
        return entry.ambiguous(word, *meanings)
    other = find_elsewhere(word)
    if other:
        return entry.wrong(other)
    if _POWER_OF_TEN.match(word):
        return entry.unreadable("has a power of ten", "Write the number in full.")
    if not _UNIT_LIKE.fullmatch(word):
        return entry.unreadable("is not one number with one unit")
    fitting = ", ".join(symbols(entry.kind.measure))
    return entry.unreadable(f'has the unknown unit "{word}"', f"Units that fit: {fitting}.")


def _limit_unit(
    quantity: Quantity, typed: TypedUnit | None, assumed: TypedUnit | None
) -> DisplayUnit:
    """Choose the unit to tell limits in: the one typed, the field's, or the usual one."""
    named = [registry_unit(unit, quantity) for unit in (typed, assumed) if unit]
    rows = (display_unit_named(quantity, unit) for unit in named)
    return next((row for row in rows if row), DISPLAY_UNITS[quantity][0])
