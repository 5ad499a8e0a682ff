"""Small checks that every record runs on itself when it is made."""

from __future__ import annotations

import math
import re
from datetime import UTC, datetime, timedelta

from shellcoat.errors import MendableError, ValueOutOfRangeError

UNKEEPABLE = re.compile(r"[\x00-\x08\x0b-\x1f\ud800-\udfff]")
"""Control characters other than tab and line end, and halves of characters."""

NAME_LENGTH = 200
NOTE_LENGTH = 4000
EARLIEST = datetime(1950, 1, 1, tzinfo=UTC)
LATEST = datetime(2200, 1, 1, tzinfo=UTC)


class MissingTextError(MendableError):
    """A name that was left empty or is far too long."""


class NaiveTimeError(MendableError):
    """A time without its zone, which could mean any of twenty-four hours."""


def check_number(field: str, value: float, low: float, high: float, unit: str) -> None:
    """Refuse what is not a finite number between `low` and `high`."""
    if not math.isfinite(value) or not low <= value <= high:
        raise ValueOutOfRangeError(
            field, value, f"a number from {low:g} to {high:g} {unit}".strip()
        )


def check_optional_number(
    field: str, value: float | None, low: float, high: float, unit: str
) -> None:
    """Check a number that may be unknown."""
    if value is not None:
        check_number(field, value, low, high, unit)


def check_name(field: str, text: str) -> None:
    """Refuse an empty, overlong or unprintable name."""
    if not text.strip():
        raise MissingTextError(f"{field} is empty. Give it a name.")
    if len(text) > NAME_LENGTH:
        raise MissingTextError(
            f"{field} has {len(text)} characters. Shorten it to {NAME_LENGTH} or fewer."
        )
    check_text(field, text)


def check_text(field: str, text: str) -> None:
    """Refuse text that cannot be stored or shown: lone surrogates and control characters."""
    if len(text) > NOTE_LENGTH:
        raise MissingTextError(
            f"{field} has {len(text)} characters. Shorten it to {NOTE_LENGTH} or fewer."
        )
    if UNKEEPABLE.search(text):
        raise MissingTextError(f"{field} holds characters that cannot be kept. Type it again.")


def check_time(field: str, moment: datetime) -> None:
    """Refuse a time that is not in UTC or lies outside any shop's life."""
    if moment.tzinfo is None or moment.utcoffset() != timedelta(0):
        raise NaiveTimeError(f"{field}: {moment} carries no UTC zone. Give the time with its zone.")
    if not EARLIEST <= moment <= LATEST:
        raise ValueOutOfRangeError(field, moment.isoformat(), "a date between 1950 and 2200")
