"""Dates and times of day as loggers write them, read to milliseconds.

A logger repeats each date thousands of times and each time of day every day, so both are read
once and looked up after that; a million rows cost little more than their split.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date
from enum import Enum
from typing import TypeVar

import numpy as np
import numpy.typing as npt

MILLISECONDS_PER_DAY = 86_400_000
EPOCH_DAY = date(1970, 1, 1).toordinal()
NO_TIME = np.iinfo(np.int64).min
LONGEST_TIME = 60
MOST_KEPT = 200_000
MOST_UNIX = 1e14

Milliseconds = npt.NDArray[np.int64]
Cell = TypeVar("Cell")


class DateOrder(Enum):
    """Which part of a date written in numbers comes first."""

    YEAR_FIRST = "year first"
    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


class TimeKind(Enum):
    """How a logger writes when it read."""

    TEXT = "date and time"
    UNIX_SECONDS = "seconds since 1970"
    UNIX_MILLISECONDS = "milliseconds since 1970"


NUMBERS = re.compile(r"(\d{1,4})([-/.])\s?(\d{1,2})\2\s?(\d{1,4})\.?")
NAMED_MIDDLE = re.compile(r"(\d{1,4})[-/. ]{0,2}([^\W\d_]{3,10})[-/., ]{0,3}(\d{1,4})")
NAMED_FIRST = re.compile(r"([^\W\d_]{3,10})[-/. ]{1,2}(\d{1,2})[-/., ]{1,2}(\d{2,4})")
COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})")
WEEKDAY = re.compile(r"[^\W\d_]{2,10}[.,]{0,2} (?=\d|[^\W\d_]{3})")
CLOCK = re.compile(
    r"(\d{1,2})([:.h])(\d{2})(?:[:.m](\d{2})(?:[.,](\d{1,9}))?s?)?"
    r"\s?(?:([ap])\.?\s?m\.?)?\s?(Z|UTC|GMT|(?:UTC|GMT)?[+\u2212-]\d{1,2}(?::?\d{2})?)?",
    re.IGNORECASE,
)
COMPACT_CLOCK = re.compile(r"(\d{2})()(\d{2})(\d{2})(?:[.,](\d{1,9}))?()(Z|[+-]\d{2}:?\d{2})?")
DATE_THEN_T = re.compile(r"\d{4}-?\d\d-?\d\dT")
OFFSET = re.compile(r"([+-])(\d{1,2}):?(\d{2})?")
# What a spreadsheet appends to dates whose time of day stands in a column of its own.
MIDNIGHT = re.compile(r"[ T](?:00?:00(?::00)?|12:00(?::00)? AM)$")
# A date, then whatever parts it from the clock.
SPLIT = re.compile(r"(.*\d)[.,]?(?:\s+|[T_]\s*)(\d{1,2}[:.h]?\d{2}.*)", re.DOTALL)

# Beginnings of month names in English, German, Dutch, French, Spanish, Italian, Portuguese and
# the Scandinavian languages, without accents; common practice of logger programs.
MONTHS = {
    "juil": 7, "juin": 6, "jan": 1, "ene": 1, "gen": 1, "feb": 2, "fev": 2, "mar": 3, "mrz": 3,
    "maa": 3, "mrt": 3, "apr": 4, "avr": 4, "abr": 4, "may": 5, "mai": 5, "mei": 5, "maj": 5,
    "mag": 5, "jun": 6, "giu": 6, "jul": 7, "lug": 7, "aug": 8, "aou": 8, "ago": 8, "sep": 9,
    "set": 9, "oct": 10, "okt": 10, "out": 10, "ott": 10, "nov": 11, "dec": 12, "dez": 12,
    "des": 12, "dic": 12,
}  # fmt: skip


def plain(text: str) -> str:
    """Lower case without accents, for comparing words."""
    parts = unicodedata.normalize("NFKD", text)
    return "".join(part for part in parts if not unicodedata.combining(part)).lower()


def _month(name: str) -> int | None:
    word = plain(name)
    return MONTHS.get(word[:4], MONTHS.get(word[:3]))


def date_parts(text: str) -> tuple[str, ...] | None:
    """The three numbers of a date as written, a month's name as its number; None if no date.

    A fourth part tells the order where the text itself does ("y", "d" or "m" first).
    """
    text = text.strip().rstrip(",")
    if match := NUMBERS.fullmatch(text):
        first, _, second, third = match.groups()
        return (first, second, third, "y") if len(first) == 4 else (first, second, third, "")
    if match := COMPACT.fullmatch(text):
        return (*match.groups(), "y")
    return _named_parts(text) or _named_parts(WEEKDAY.sub("", text, count=1))


def _named_parts(text: str) -> tuple[str, ...] | None:
    if match := NAMED_MIDDLE.fullmatch(text):
        first, name, third = match.groups()
        month = _month(name)
        told = "y" if len(first) == 4 else "d"
        return (first, str(month), third, told) if month else None
    if match := NAMED_FIRST.fullmatch(text):
        name, day, year = match.groups()
        month = _month(name)
        return (str(month), day, year, "m") if month else None
    return None


ORDERS = {
    DateOrder.YEAR_FIRST: (0, 1, 2),
    DateOrder.DAY_FIRST: (2, 1, 0),
    DateOrder.MONTH_FIRST: (2, 0, 1),
}
TOLD = {"y": DateOrder.YEAR_FIRST, "d": DateOrder.DAY_FIRST, "m": DateOrder.MONTH_FIRST}


def read_date(text: str, order: DateOrder) -> int:
    """Days since 1970 of a date; ValueError when it is none."""
    parts = date_parts(text)
    if parts is None:
        raise ValueError(text)
    year, month, day = (parts[i] for i in ORDERS[TOLD.get(parts[3], order)])
    if len(year) not in (2, 4) or len(month) > 2 or len(day) > 2:
        raise ValueError(text)
    full_year = int(year) + (2000 if len(year) == 2 else 0)
    return date(full_year, int(month), int(day)).toordinal() - EPOCH_DAY


def read_clock(text: str) -> tuple[int, int | None]:
    """Milliseconds since midnight, and the offset from UTC [min] if the text gives one."""
    text = text.strip()
    match = CLOCK.fullmatch(text) or COMPACT_CLOCK.fullmatch(text)
    if match is None:
        raise ValueError(text)
    hour, _, minute, second, fraction, half, offset = match.groups()
    hours = _hours(int(hour), half)
    seconds = (hours * 60 + int(minute)) * 60 + int(second or 0)
    if int(minute) > 59 or int(second or 0) > 60 or seconds > 86_400:
        raise ValueError(text)
    return seconds * 1000 + int(f"{fraction or 0:0<3}"[:3]), read_offset(offset)


def _hours(hour: int, half: str | None) -> int:
    if not half:
        return hour
    if not 1 <= hour <= 12:
        raise ValueError(hour)
    return hour % 12 + (12 if half.lower() == "p" else 0)


def read_offset(text: str | None) -> int | None:
    """Minutes east of UTC from "Z", "GMT+01:00" or "-0500"; None without text."""
    if not text:
        return None
    match = OFFSET.search(text.replace("\u2212", "-"))
    if match is None:
        return 0
    sign, hours, minutes = match.groups()
    total = int(hours) * 60 + int(minutes or 0)
    if total > 14 * 60:
        raise ValueError(text)
    return -total if sign == "-" else total


def is_date(text: str) -> bool:
    """True for a date in any order."""
    return any(_is_date_as(text, order) for order in DateOrder)


def _is_date_as(text: str, order: DateOrder) -> bool:
    try:
        read_date(text, order)
    except ValueError:
        return False
    return True


class _Dates(dict[str, int]):
    """Milliseconds at the start of every date met so far."""

    def __init__(self, order: DateOrder) -> None:
        self.order = order

    def __missing__(self, text: str) -> int:
        if len(text) > LONGEST_TIME:
            raise ValueError(text)
        if len(self) > MOST_KEPT:
            self.clear()
        plain_date = MIDNIGHT.sub("", text)
        value = self[text] = read_date(plain_date, self.order) * MILLISECONDS_PER_DAY
        return value


class _Clocks(dict[str, int]):
    """Milliseconds since midnight of every time of day met so far, in UTC if offsets stand by."""

    def __init__(self, *, with_offset: bool) -> None:
        self.with_offset = with_offset

    def __missing__(self, text: str) -> int:
        if len(text) > LONGEST_TIME:
            raise ValueError(text)
        if len(self) > MOST_KEPT:
            self.clear()
        value, offset = read_clock(text)
        if (offset is not None) != self.with_offset:
            raise ValueError(text)
        self[text] = value = value - (offset or 0) * 60_000
        return value


def _unix(text: str) -> float:
    value = float(text)
    if not abs(value) < MOST_UNIX:
        raise ValueError(text)
    return value


def _by_row(read: Callable[[Cell], int], cells: Sequence[Cell]) -> Milliseconds:
    moments = np.full(len(cells), NO_TIME, np.int64)
    for i, cell in enumerate(cells):
        with suppress(ValueError):
            moments[i] = read(cell)
    return moments


class TimeReader:
    """Reads whole columns of times; what cannot be read comes back as NO_TIME."""

    def __init__(self, kind: TimeKind, order: DateOrder, *, offset_in_rows: bool) -> None:
        self._kind = kind
        self._dates = _Dates(order)
        self._clocks = _Clocks(with_offset=offset_in_rows)

    def read(self, columns: Sequence[Sequence[str]]) -> Milliseconds:
        """Times of one column, or of a date and a clock column together."""
        if self._kind is not TimeKind.TEXT:
            return self._read_unix(columns[0])
        if len(columns) == 2:
            return self._read_pairs(columns[0], columns[1])
        try:
            return self._read_alike(columns[0])
        except ValueError:
            return _by_row(self._one, columns[0])

    def _read_alike(self, texts: Sequence[str]) -> Milliseconds:
        """Times that all part at the first space or T, as nearly every logger writes them."""
        parting = "T" if texts and DATE_THEN_T.match(texts[0]) else " "
        joined = "\n".join(texts).replace(" AM", "AM").replace(" PM", "PM")
        parts = joined.replace(parting, "\n").split("\n")
        if len(parts) != 2 * len(texts):
            raise ValueError(len(parts))
        return self._looked_up(parts[0::2], parts[1::2])

    def _read_pairs(self, dates: Sequence[str], clocks: Sequence[str]) -> Milliseconds:
        try:
            return self._looked_up(dates, clocks)
        except ValueError:
            pairs = list(zip(dates, clocks, strict=True))
            return _by_row(lambda pair: self._dates[pair[0]] + self._clocks[pair[1]], pairs)

    def _looked_up(self, dates: Sequence[str], clocks: Sequence[str]) -> Milliseconds:
        days = np.fromiter(map(self._dates.__getitem__, dates), np.int64, len(dates))
        return days + np.fromiter(map(self._clocks.__getitem__, clocks), np.int64, len(clocks))

    def _one(self, text: str) -> int:
        match = SPLIT.fullmatch(text.strip()) if len(text) <= LONGEST_TIME else None
        if match is None:
            raise ValueError(text)
        return self._dates[match[1]] + self._clocks[match[2]]

    def _read_unix(self, texts: Sequence[str]) -> Milliseconds:
        factor = 1000 if self._kind is TimeKind.UNIX_SECONDS else 1
        try:
            moments = np.array(list(map(float, texts)))
        except ValueError:
            return _by_row(lambda text: round(_unix(text) * factor), texts)
        fair = np.abs(moments) < MOST_UNIX
        return np.where(fair, np.rint(np.where(fair, moments, 0) * factor), NO_TIME).astype(
            np.int64
        )
