"""One typed text on its way to a value: tidied once, and the errors that quote it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from shellcoat.units.errors import (
    AmbiguousNumberError,
    UnreadableQuantityError,
    WrongQuantityError,
)
from shellcoat.units.quantities import KINDS, Kind, Quantity
from shellcoat.units.words import TypedUnit

LONGEST_TEXT = 60
QUOTED_LENGTH = 40

_FRACTIONS = (
    "½ 1/2, ⅓ 1/3, ⅔ 2/3, ¼ 1/4, ¾ 3/4, ⅕ 1/5, ⅖ 2/5, ⅗ 3/5, ⅘ 4/5, ⅙ 1/6, ⅚ 5/6, "
    "⅐ 1/7, ⅛ 1/8, ⅜ 3/8, ⅝ 5/8, ⅞ 7/8, ⅑ 1/9, ⅒ 1/10"
)
# Signs that word processors, phones and this program itself put for the plain ones.
_PLAIN = (
    {"−": "-", "‐": "-", "‑": "-", "⁄": "/", "∕": "/"}
    | {"”": '"', "“": '"', "″": '"', "’": "'", "‘": "'", "′": "'"}
    | {sign: f" {plain}" for sign, plain in (pair.split() for pair in _FRACTIONS.split(", "))}
)
_PLAIN_TABLE = str.maketrans(_PLAIN)


@dataclass(frozen=True)
class Entry:
    """A typed text, what it should be and where it was typed."""

    typed: str
    text: str
    quantity: Quantity
    field: str
    decimal_mark: str

    @classmethod
    def of(cls, typed: str, quantity: Quantity, field: str, decimal_mark: str) -> Entry:
        """Tidy a typed text, refusing one that is empty or too long to be a quantity."""
        entry = cls(_quotable(typed), tidy(typed), quantity, field, decimal_mark)
        if not entry.text:
            raise entry.unreadable("is empty")
        if len(typed) > LONGEST_TEXT:
            raise entry.unreadable("is too long")
        return entry

    @property
    def kind(self) -> Kind:
        """Return what is known of the quantity asked for."""
        return KINDS[self.quantity]

    def advice(self) -> str:
        """Show how the quantity can be written, in the person's decimal mark."""
        first, second, third = (
            example.replace(".", self.decimal_mark) for example in self.kind.examples
        )
        return f"Write for example {first}, {second} or {third}."

    def unreadable(self, problem: str, advice: str = "") -> UnreadableQuantityError:
        """Make the error for a text that is not a number with a unit."""
        return UnreadableQuantityError(self.field, self.typed, problem, advice or self.advice())

    def wrong(self, found: TypedUnit) -> WrongQuantityError:
        """Make the error for a unit that measures something else."""
        nouns = found.measure.value, self.kind.measure.value
        return WrongQuantityError(self.field, self.typed, *nouns, self.advice())

    def ambiguous(self, part: str, *ways: str) -> AmbiguousNumberError:
        """Make the error for a part of the text with more than one meaning."""
        written = (self.text.replace(part, way.replace(".", self.decimal_mark)) for way in ways)
        return AmbiguousNumberError(self.field, self.typed, tuple(written))


def tidy(typed: str) -> str:
    """Put plain signs for typographic ones and one space for any run of blanks."""
    return " ".join(typed.translate(_PLAIN_TABLE).split())


def _quotable(typed: str) -> str:
    one_line = re.sub(r"\s+", " ", typed).strip()
    shown = "".join(
        sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in one_line
    )
    return shown if len(shown) <= QUOTED_LENGTH else f"{shown[:QUOTED_LENGTH]}…"
