"""Lines to cells, also where quotes are broken, and what single cells look like."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from shellcoat.feeds.text_file import LONGEST_LINE
from shellcoat.feeds.wall_times import (
    LONGEST_TIME,
    SPLIT,
    is_date,
    read_clock,
)

MOST_JOINED = 10
ANY_WIDTH = range(2, LONGEST_LINE)
NUMBER = re.compile(
    r"([+\u2212-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?)"
    r"\s*(?:[°º˚\ufffd]?\s?[CFK]|%\s*r?\.?\s?[HF]?\.?)?",
    re.IGNORECASE | re.ASCII,
)
COMMENT = ("#", "//")
UNIX = re.compile(r"\d{9,10}(?:\.\d+)?|\d{12,13}")


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one row and the index of the line it begins on."""

    line: int
    cells: list[str]
    text: str


def split_unquoted(lines: Sequence[str], delimiter: str, width: int) -> list[str] | None:
    """All cells in one list, one more for each line end; None if a row is not `width` wide.

    The fastest way: no list for every row, and column `i` is every `width + 1`th from `i` on.
    """
    text = "\n".join(lines)
    if '"' in text:
        return None
    end = "\n"
    cells = text.replace(end, f"{delimiter}{end}{delimiter}").split(delimiter)
    even = len(cells) == len(lines) * (width + 1) - 1
    return cells if even and cells[width :: width + 1].count(end) == len(lines) - 1 else None


def split_evenly(lines: Sequence[str], delimiter: str) -> list[list[str]] | None:
    """Cells of lines that are a row each, at full speed; None where any is not."""
    try:
        rows = list(csv.reader(lines, delimiter=delimiter, skipinitialspace=True))
    except csv.Error:
        return None
    return rows if len(rows) == len(lines) else None


def split_carefully(lines: Sequence[str], delimiter: str, widths: range = ANY_WIDTH) -> list[Row]:
    """Cells of lines among which are broken ones.

    A cell with line ends is put together if the row then has one of the `widths`; two stray
    quotes must not swallow the rows between them.
    """
    rows = []
    at = 0
    while at < len(lines):
        taken, cells = _split_one(lines, at, delimiter, widths)
        rows.append(Row(at, cells, lines[at]))
        at += taken
    return rows


def _split_one(
    lines: Sequence[str], at: int, delimiter: str, widths: range
) -> tuple[int, list[str]]:
    """The row that begins here and how many lines it takes."""
    if len(lines[at]) > LONGEST_LINE:
        return 1, [lines[at]]
    taken = _lines_to_close(lines, at)
    cells = _strictly(lines[at : at + taken], delimiter) if taken else None
    if cells is not None and (taken == 1 or len(cells) in widths):
        return taken, cells
    return 1, _loosely(lines[at], delimiter)


def _lines_to_close(lines: Sequence[str], at: int) -> int:
    """How many lines until every quote opened here is closed; 0 if none of the next closes it."""
    quotes = 0
    for taken, line in enumerate(lines[at : at + MOST_JOINED], start=1):
        quotes += line.count('"')
        if quotes % 2 == 0:
            return taken
    return 0


def _strictly(lines: Sequence[str], delimiter: str) -> list[str] | None:
    text = "\n".join(lines)
    if len(text) > LONGEST_LINE:
        return None
    kept = [line + "\n" for line in lines]
    try:
        rows = list(csv.reader(kept, delimiter=delimiter, skipinitialspace=True, strict=True))
    except csv.Error:
        return None
    return rows[0] if len(rows) == 1 else None


def _loosely(line: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error:
        return [line]


def is_aside(cells: Sequence[str]) -> bool:
    """True for blank and comment rows, which are no readings and no faults."""
    return not any(cell.strip() for cell in cells) or cells[0].startswith(COMMENT)


def number_in(cell: str) -> str | None:
    """The number in a cell without its unit, or None."""
    match = NUMBER.fullmatch(cell.strip()) if len(cell) <= LONGEST_TIME else None
    return match[1].replace("\u2212", "-") if match else None


def is_clock(text: str) -> bool:
    """True for a time of day that cannot be a decimal number."""
    try:
        read_clock(text)
    except ValueError:
        return False
    return number_in(text) is None and not text.strip().isdigit()


def has_offset(text: str) -> bool:
    """True if a time carries its offset from UTC."""
    match = SPLIT.fullmatch(text.strip())
    try:
        return read_clock(match[2] if match else text)[1] is not None
    except ValueError:
        return False


def time_kind(cell: str) -> str:
    """What a cell tells of time: "moment", "date", "clock", "unix" or nothing."""
    text = cell.strip()
    if not text or len(text) > LONGEST_TIME or not any(map(str.isdigit, text)):
        return ""
    if number_in(text) is not None:
        return "unix" if UNIX.fullmatch(text) else ""
    if is_date(text):
        return "date"
    if is_clock(text):
        return "clock"
    match = SPLIT.fullmatch(text)
    return "moment" if match and is_date(match[1]) and is_clock(match[2]) else ""
