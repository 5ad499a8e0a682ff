"""Where the table stands in a logger's text: delimiter, names, units and the first reading."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from shellcoat.feeds.cells import Row, is_aside, number_in, split_carefully, time_kind
from shellcoat.feeds.columns import humidity_rank, temp_rank, words
from shellcoat.feeds.errors import (
    NoReadingsError,
    NotATableError,
    NoTimeColumnError,
    UnevenColumnsError,
)

DELIMITERS = (",", ";", "\t", "|")
HEAD_ROWS = 300
PATCH_ROWS = 40
LOOK_AHEAD = 5
HIGHEST_HEADER = 60
LONGEST_UNIT = 12
TIME_WORDS = re.compile(
    r"date|time|datum|zeit|uhr|fecha|hora|heure|\bora\b|\btid\b|tijd|\bdata\b|stamp|epoch|unix|"
    r"klok|\bdato\b|\bdia\b|\bjour\b|\bcas\b|czas"
)


@dataclass(frozen=True, slots=True)
class Table:
    """A table of readings as found in the head of a file; lines and columns count from 0."""

    delimiter: str
    columns: tuple[str, ...]
    header_line: int | None
    first_line: int
    preamble: tuple[str, ...]
    row_cells: tuple[int, int]
    rows: list[list[str]]


def find_table(name: str, head: Sequence[str], patches: Sequence[Sequence[str]]) -> Table:
    """Find the table; `patches` are lines from further down, to know the columns better."""
    lines = head[:HEAD_ROWS]
    delimiter, rows = _best_split(name, lines)
    first = _first_reading(rows)
    readings = [row.cells for row in rows[first:] if is_reading(row.cells)]
    for patch in patches:
        more = split_carefully(patch[:PATCH_ROWS], delimiter)
        readings += [row.cells for row in more if is_reading(row.cells)]
    header = _header(rows[:first], len(_trimmed(readings[0])))
    return Table(
        delimiter=delimiter,
        columns=_named_columns(name, delimiter, rows[:first], header, readings),
        header_line=None if header is None else rows[header].line,
        first_line=rows[first].line,
        preamble=tuple(lines[: rows[first if header is None else header].line]),
        row_cells=(min(map(len, readings)), max(map(len, readings))),
        rows=readings,
    )


def is_reading(cells: Sequence[str]) -> bool:
    """True for a row with a time and, beside it, a number."""
    kinds = [time_kind(cell) for cell in cells[:100]]
    if not any(kinds) or is_aside(cells):
        return False
    return any(
        not kind and number_in(cell) is not None for kind, cell in zip(kinds, cells, strict=False)
    )


def _best_split(name: str, lines: Sequence[str]) -> tuple[str, list[Row]]:
    splits = {delimiter: split_carefully(lines, delimiter) for delimiter in DELIMITERS}
    scores = {delimiter: _score(rows) for delimiter, rows in splits.items()}
    best = max(DELIMITERS, key=lambda delimiter: scores[delimiter])
    if scores[best] == (0, 0):
        raise _nothing_found(name, splits)
    return best, splits[best]


def _score(rows: Sequence[Row]) -> tuple[int, int]:
    """How many rows of one width are readings, and that width."""
    widths = Counter(len(row.cells) for row in rows if is_reading(row.cells))
    return max(((count, width) for width, count in widths.items()), default=(0, 0))


def _nothing_found(
    name: str, splits: dict[str, list[Row]]
) -> NoReadingsError | NotATableError | NoTimeColumnError:
    """Say what is missing from a text without readings."""
    rows = [row.cells for found in splits.values() for row in found if len(row.cells) > 1]
    if any(sum(number_in(cell) is not None for cell in cells) > 1 for cells in rows):
        return NoTimeColumnError(name)
    if any(map(_known_names, rows)):
        return NoReadingsError(name)
    return NotATableError(name)


def _first_reading(rows: Sequence[Row]) -> int:
    """The first reading that others of its width follow, not a date in the preamble."""
    found = [(i, row) for i, row in enumerate(rows) if not is_aside(row.cells)]
    readings = [is_reading(row.cells) for _, row in found]
    for at, (i, row) in enumerate(found):
        ahead = found[at : at + LOOK_AHEAD]
        alike = all(len(_trimmed(other.cells)) == len(_trimmed(row.cells)) for _, other in ahead)
        if alike and all(readings[at : at + LOOK_AHEAD]):
            return i
    return found[readings.index(True)][0]


def _trimmed(cells: Sequence[str]) -> list[str]:
    """Cells without the empty ones at the end."""
    kept = [cell.strip() for cell in cells]
    while kept and not kept[-1]:
        kept.pop()
    return kept


def _known_names(cells: Sequence[str]) -> int:
    """How many cells are names of a time, a temperature or a humidity."""
    return sum(
        bool(temp_rank(cell) or humidity_rank(cell) or TIME_WORDS.search(words(cell)))
        for cell in cells[:100]
        if len(cell) <= 100 and number_in(cell) is None and not time_kind(cell)
    )


def _header(above: Sequence[Row], width: int) -> int | None:
    """Which row above the readings names the columns: the one with the most known names."""
    ranked = [
        (_known_names(row.cells), i)
        for i, row in enumerate(above)
        if len(_trimmed(row.cells)) > 1 and len(above) - i <= HIGHEST_HEADER
    ]
    if not ranked:
        return None
    known, best = max(ranked)
    cells = _trimmed(above[best].cells)
    if known >= 2 or (len(cells) >= width - 1 and not any(map(number_in, cells))):
        return best
    return None


def _named_columns(
    name: str,
    delimiter: str,
    above: Sequence[Row],
    header: int | None,
    readings: Sequence[Sequence[str]],
) -> tuple[str, ...]:
    """Names over the cells of a row, each with its unit if a row of units follows."""
    width = max(len(_trimmed(cells)) for cells in readings)
    if header is None:
        return ("",) * width
    names = _trimmed(above[header].cells)
    names[0] = names[0].lstrip("#/ ")
    for row in above[header + 1 :]:
        names = _with_units(names, row.cells)
    if len(names) == width - 1 and all(cells[0].strip().isdigit() for cells in readings):
        names.insert(0, "")
    elif len(names) < width and delimiter == ",":
        _refuse_split_decimals(name, len(names), width, readings)
    return tuple(names + [""] * (width - len(names)))


def _with_units(names: list[str], cells: Sequence[str]) -> list[str]:
    if len(cells) < 2 or any(len(cell) > LONGEST_UNIT for cell in cells):
        return names
    units = [cell.strip() for cell in cells] + [""] * len(names)
    return [f"{name} [{unit}]" if unit else name for name, unit in zip(names, units, strict=False)]


def _refuse_split_decimals(
    name: str, named: int, width: int, readings: Sequence[Sequence[str]]
) -> None:
    """Refuse numbers beyond the last name: a comma in a decimal may have shifted them all."""
    surplus = [cell for cells in readings for cell in cells[named:] if cell.strip()]
    if any(number_in(cell) is not None for cell in surplus):
        raise UnevenColumnsError(name, named, width)
