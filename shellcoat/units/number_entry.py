"""Reads the number in a typed text: decimals with either mark, and fractions of an inch.

Only the ten plain digits count. A text that group separators could be hiding in is refused, never
guessed at, because a guess that is wrong is wrong a thousandfold.
"""

from __future__ import annotations

import re

from shellcoat.units.entry import Entry

# 1 3/8 and 1-3/8, but not "1 - 3/8", which is a subtraction.
_FRACTION = re.compile(r"(?:([0-9]+)(?: |- ?))?([0-9]+) ?/ ?([0-9]+)")
_DECIMAL = re.compile(r"([0-9]*)(?:([.,])([0-9]+))?")
_GROUPED = re.compile(r"[0-9]+(?:[ .,'][0-9]+)+")
_SEPARATOR = re.compile(r"[ .,']")


def read_number(entry: Entry, run: str) -> float:
    """Read an unsigned number from the part of the text that should be one."""
    run = run.strip()
    fraction = _FRACTION.fullmatch(run)
    if fraction:
        return _fraction(entry, *fraction.groups())
    decimal = _DECIMAL.fullmatch(run)
    if decimal:
        return _decimal(entry, run, *decimal.groups())
    if _GROUPED.fullmatch(run):
        refuse_groups(entry, run)
    raise entry.unreadable("is not one number")


def refuse_groups(entry: Entry, run: str) -> None:
    """Refuse a number with group separators and show it without them."""
    *front, last = _SEPARATOR.split(run)
    marks = _SEPARATOR.findall(run)
    grouped = all(len(group) == 3 for group in front[1:])
    if grouped and len(last) == 3 and len(set(marks)) == 1:
        raise entry.ambiguous(run, "".join([*front, last]))
    if grouped and len(marks) > 1 and marks[-1] in ".," and marks[-1] not in marks[:-1]:
        raise entry.ambiguous(run, f"{''.join(front)}.{last}")


def _fraction(entry: Entry, whole: str | None, numerator: str, denominator: str) -> float:
    above, below = int(numerator), int(denominator)
    if below == 0:
        raise entry.unreadable("divides by nought")
    if whole and above >= below:
        raise entry.unreadable("has a fraction of one or more behind a whole number")
    return int(whole or 0) + above / below


def _decimal(entry: Entry, run: str, whole: str, mark: str | None, part: str | None) -> float:
    if mark and part and _may_be_group(entry, whole, mark, part):
        raise entry.ambiguous(run, f"{whole}.{part}", whole + part)
    return float(f"{whole or 0}.{part or 0}")


def _may_be_group(entry: Entry, whole: str, mark: str, part: str) -> bool:
    """Tell whether another mark than the person's own stands where a group separator would."""
    groups_fit = len(part) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")
    return groups_fit and mark != entry.decimal_mark
