"""Reads texts of several parts: 5 ft 6 in, 5'6", 3 lb 5 oz, 2 h 30 min, and 2:30 for a time."""

from __future__ import annotations

import re
from typing import NamedTuple

from shellcoat.units.displays import display_unit_named
from shellcoat.units.entry import Entry
from shellcoat.units.number_entry import read_number
from shellcoat.units.quantities import KINDS, Measure, Quantity
from shellcoat.units.registry import convert
from shellcoat.units.words import LADDERS, TypedUnit, find_unit

_PART = re.compile(r"([0-9][0-9.,/ -]*)([A-Za-z'\"]*)\.? *")
_CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9])(?::([0-5][0-9]))?")
_ALMOST = 1 - 1e-9


class Part(NamedTuple):
    """One number of a compound text and its unit."""

    run: str
    unit: TypedUnit


def to_stored(number: float, typed: TypedUnit, quantity: Quantity) -> float:
    """Convert a number in a typed unit to the stored unit; only rare units load pint."""
    unit = registry_unit(typed, quantity)
    row = display_unit_named(quantity, unit)
    return row.stored(number) if row else convert(number, unit, KINDS[quantity].stored)


def registry_unit(typed: TypedUnit, quantity: Quantity) -> str:
    """Name the registry unit meant: a degree of difference has no offset."""
    difference = quantity is Quantity.TEMPERATURE_DIFFERENCE and typed.unit.startswith("deg")
    return f"delta_{typed.unit}" if difference else typed.unit


def read_clock(entry: Entry, body: str, assumed: TypedUnit | None) -> float | None:
    """Read 2:30 as hours and minutes and 2:30:15 with seconds; None if it is neither."""
    clock = _CLOCK.fullmatch(body)
    if not clock or entry.kind.measure is not Measure.TIME:
        return None
    first, second, third = clock.groups()
    if third is None and assumed and assumed.unit in {"minute", "second"}:
        # Beside a field in minutes, 2:30 is as likely two minutes and a half.
        raise entry.ambiguous(body, f"{first} h {second} min", f"{first} min {second} s")
    return int(first) * 3600.0 + int(second) * 60 + int(third or 0)


def read_compound(entry: Entry, body: str) -> float | None:
    """Read parts in units of one ladder, largest first; None if the text is not of that form."""
    parts = _split(body, entry.kind.measure)
    if parts is None:
        return None
    _check_order(entry, parts)
    numbers = [read_number(entry, part.run) for part in parts]
    sizes = [to_stored(1.0, part.unit, entry.quantity) for part in parts]
    for index in range(1, len(parts)):
        if numbers[index] * sizes[index] >= sizes[index - 1] * _ALMOST:
            raise _overfull(entry, parts[index - 1], parts[index])
    return sum(number * size for number, size in zip(numbers, sizes, strict=True))


def _split(body: str, measure: Measure) -> list[Part] | None:
    """Cut a text such as 2 h 30 into parts, each with a unit of the measure's ladder."""
    ladder = LADDERS.get(measure, ())
    parts: list[Part] = []
    text = body.replace("'-", "' ")
    position = 0
    while position < len(text):
        match = _PART.match(text, position)
        unit = match and _rung(match[2], measure, ladder, parts)
        if not match or not unit or unit.unit not in ladder:
            return None
        parts.append(Part(match[1], unit))
        position = match.end()
    return parts if len(parts) > 1 else None


def _rung(
    word: str, measure: Measure, ladder: tuple[str, ...], before: list[Part]
) -> TypedUnit | None:
    """Find a part's unit: the one named, or for a bare number the one below the part before."""
    if word:
        return find_unit(word, measure)
    below = ladder[ladder.index(before[-1].unit.unit) + 1 :] if before else ()
    return find_unit(below[0], measure) if below else None


def _check_order(entry: Entry, parts: list[Part]) -> None:
    ladder = LADDERS[entry.kind.measure]
    rungs = [ladder.index(part.unit.unit) for part in parts]
    if rungs != sorted(set(rungs)):
        raise entry.unreadable("does not go from the larger unit to the smaller")
    if not all(part.run.strip().isdigit() for part in parts[:-1]):
        raise entry.unreadable("has a part of a unit before a smaller unit")


def _overfull(entry: Entry, large: Part, small: Part) -> Exception:
    problem = f"has more {small.unit.symbol} than fit into one {large.unit.symbol}"
    return entry.unreadable(problem)
