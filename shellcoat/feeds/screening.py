"""Columns of the rows of the right width, and the rows that are not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from operator import itemgetter

from shellcoat.feeds.cells import (
    Row,
    is_aside,
    split_carefully,
    split_evenly,
    split_unquoted,
)
from shellcoat.feeds.settled import Settled
from shellcoat.feeds.text_file import LONGEST_LINE, LineBlock

LONGEST_SHOWN = 120


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that is not taken in: its line counted from 1, how it begins, and why."""

    line: int
    text: str
    reason: str

    @classmethod
    def at(cls, line: int, text: str, reason: str) -> BadRow:
        """Keep as much of a row as helps to find it."""
        return cls(line, text[:LONGEST_SHOWN], reason)


@dataclass(slots=True)
class ScreenedRows:
    """The wanted columns of all rows of the right width, their lines, and the other rows."""

    columns: Sequence[Sequence[str]]
    lines: Sequence[int]
    texts: Sequence[str]
    bad: list[BadRow] = field(default_factory=list)


def screen(block: LineBlock, settled: Settled) -> ScreenedRows:
    """Part rows of the right width from others, at full speed where all are right."""
    texts, lines = _without_blanks(block)
    if not texts:
        return ScreenedRows([[]] * len(settled.columns), [], [])
    if max(map(len, texts)) > LONGEST_LINE:
        return _sorted_out(_carefully(texts, settled), lines, settled)
    wide = settled.shape.row_cells
    flat = split_unquoted(texts, settled.shape.delimiter, wide[1]) if wide[0] == wide[1] else None
    if flat is not None:
        return ScreenedRows([flat[i :: wide[1] + 1] for i in settled.columns], lines, texts)
    return _from_quoted(texts, lines, settled)


def _without_blanks(block: LineBlock) -> tuple[Sequence[str], Sequence[int]]:
    if "" not in block.lines:
        return block.lines, range(block.first, block.first + len(block.lines))
    kept = [i for i, line in enumerate(block.lines) if line]
    return [block.lines[i] for i in kept], [block.first + i for i in kept]


def _from_quoted(texts: Sequence[str], lines: Sequence[int], settled: Settled) -> ScreenedRows:
    """Columns of rows with quotes, or of unlike widths."""
    cells = split_evenly(texts, settled.shape.delimiter)
    if cells is None:
        return _sorted_out(_carefully(texts, settled), lines, settled)
    widths = set(map(len, cells))
    if settled.row_cells[0] <= min(widths) and max(widths) <= settled.row_cells[1]:
        return ScreenedRows(_picked(cells, settled), lines, texts)
    rows = [Row(i, found, text) for i, (found, text) in enumerate(zip(cells, texts, strict=True))]
    return _sorted_out(rows, lines, settled)


def _carefully(texts: Sequence[str], settled: Settled) -> list[Row]:
    least, most = settled.row_cells
    return split_carefully(texts, settled.shape.delimiter, range(least, most + 1))


def _picked(cells: Sequence[Sequence[str]], settled: Settled) -> list[tuple[str, ...]]:
    return list(zip(*map(itemgetter(*settled.columns), cells), strict=True))


def _sorted_out(rows: Sequence[Row], lines: Sequence[int], settled: Settled) -> ScreenedRows:
    fit: list[Row] = []
    bad: list[BadRow] = []
    for row in rows:
        fault = _width_fault(row, settled.row_cells)
        if not fault:
            fit.append(row)
        elif not is_passed_over(row.cells, settled):
            bad.append(BadRow.at(lines[row.line], row.text, fault))
    columns = _picked([row.cells for row in fit], settled) if fit else [()] * len(settled.columns)
    return ScreenedRows(columns, [lines[row.line] for row in fit], [row.text for row in fit], bad)


def _width_fault(row: Row, row_cells: tuple[int, int]) -> str:
    least, most = row_cells
    if len(row.text) > LONGEST_LINE:
        return f"the line is longer than {LONGEST_LINE:,} characters"
    if len(row.cells) < least:
        return f"the row has {len(row.cells)} of {least} cells; it may be cut off"
    if len(row.cells) > most and any(cell.strip() for cell in row.cells[most:]):
        return f"the row has {len(row.cells)} cells where {most} are expected"
    return ""


def is_passed_over(cells: Sequence[str], settled: Settled) -> bool:
    """True for blank rows, comments, and the column names where they come again."""
    if is_aside(cells):
        return True
    names = [_at(settled.shape.columns, i) for i in settled.columns]
    return any(names) and names == [_at(cells, i).strip() for i in settled.columns]


def _at(cells: Sequence[str], column: int) -> str:
    return cells[column] if column < len(cells) else ""
