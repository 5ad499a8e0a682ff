"""Look at a logger file and find out by itself how it is to be read."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shellcoat.feeds.columns import HumidityUnit, TempUnit
from shellcoat.feeds.questions import (
    ask_for_column,
    ask_for_date_order,
    ask_for_humidity_unit,
    ask_for_temp_unit,
)
from shellcoat.feeds.roles import (
    TimeRole,
    find_decimal_mark,
    find_humidity_unit,
    find_quantity,
    find_temp_unit,
    find_time,
)
from shellcoat.feeds.shape import Choice, LoggerShape, Question, SampleRow
from shellcoat.feeds.table import Table, find_table
from shellcoat.feeds.text_file import (
    HEAD_BYTES,
    checked_size,
    detect_encoding,
    lines_of,
    read_head,
    read_patches,
)
from shellcoat.feeds.wording import column_words, describe

__all__ = ["Choice", "LoggerShape", "Question", "SampleRow", "describe", "inspect_file"]

SAMPLE_ROWS = 8
LONGEST_CELL = 200


@dataclass(slots=True)
class _Notes:
    """What is found and what is left open along the way."""

    findings: list[str]
    questions: list[Question]

    def ask(self, question: Question) -> None:
        self.questions.append(question)

    def say(self, *, when: bool, finding: str) -> None:
        if when:
            self.findings.append(finding)


def inspect_file(path: Path) -> LoggerShape:
    """Find encoding, table, columns, units and date order of a logger file.

    What the file cannot tell is left None and asked for in `questions`.
    """
    size = checked_size(path)
    head = read_head(path)
    encoding = detect_encoding(path.name, head)
    lines = lines_of(head, encoding)
    whole = lines[:-1] if size > HEAD_BYTES and len(lines) > 1 else lines
    table = find_table(path.name, whole, read_patches(path, encoding, size))
    return _shape_of(path.name, encoding, table)


def _shape_of(name: str, encoding: str, table: Table) -> LoggerShape:
    notes = _Notes([], [])
    time = find_time(name, table)
    temp = _column(name, table, time.columns, "temperature", notes)
    taken = time.columns if temp is None else (*time.columns, temp)
    humidity = _column(name, table, taken, "humidity", notes)
    chosen = [column for column in (temp, humidity) if column is not None]
    mark = find_decimal_mark(table, chosen or range(len(table.columns)))
    _note_table(table, notes)
    _note_time(time, notes)
    temp_unit = _temp_unit(table, temp, mark, notes)
    humidity_unit = _humidity_unit(table, humidity, mark, notes)
    return LoggerShape(
        name=name,
        encoding=encoding,
        delimiter=table.delimiter,
        decimal_mark=mark,
        header_line=table.header_line,
        first_line=table.first_line,
        columns=table.columns,
        row_cells=table.row_cells,
        time_columns=time.columns,
        time_kind=time.kind,
        date_order=time.orders[0] if len(time.orders) == 1 else None,
        offset_in_rows=time.offset_in_rows,
        utc_offset_min=time.utc_offset_min,
        newest_first=time.newest_first,
        interval_ms=time.interval_ms,
        temp_column=temp,
        temp_unit=temp_unit,
        humidity_column=humidity,
        humidity_unit=humidity_unit,
        sample_cells=tuple(
            tuple(cell[:LONGEST_CELL] for cell in row) for row in table.rows[:SAMPLE_ROWS]
        ),
        questions=tuple(notes.questions),
        findings=tuple(notes.findings),
    )


def _column(
    name: str, table: Table, taken: tuple[int, ...], quantity: str, notes: _Notes
) -> int | None:
    column, others = find_quantity(name, table, taken, quantity)
    if column is None:
        notes.ask(ask_for_column(table, quantity, others))
        return None
    left = [column_words(table.columns, i) for i in others if i != column]
    notes.say(when=bool(left), finding=f"Not used for the {quantity}: {', '.join(left)}.")
    return column


def _temp_unit(table: Table, column: int | None, mark: str, notes: _Notes) -> TempUnit | None:
    unit, judged = (None, False) if column is None else find_temp_unit(table, column, mark)
    if unit is None:
        notes.ask(ask_for_temp_unit())
        return None
    notes.say(when=judged, finding=f"The temperature is taken as {unit.value} from its values.")
    return unit


def _humidity_unit(
    table: Table, column: int | None, mark: str, notes: _Notes
) -> HumidityUnit | None:
    if column is None:
        notes.ask(ask_for_humidity_unit())
        return None
    unit, judged = find_humidity_unit(table, column, mark)
    notes.say(when=judged, finding=f"The humidity is taken as {unit.value} from its values.")
    return unit


def _note_table(table: Table, notes: _Notes) -> None:
    above = sum(1 for line in table.preamble if line.strip())
    notes.say(when=above > 0, finding=f"Lines passed over above the table: {above}.")
    notes.say(when=table.header_line is None, finding="The columns have no names.")
    notes.say(
        when=table.header_line is not None and not table.columns[0],
        finding="The first column has no name; it counts the rows and is not used.",
    )


def _note_time(time: TimeRole, notes: _Notes) -> None:
    notes.say(when=time.newest_first, finding="The newest readings come first.")
    if len(time.orders) > 1:
        notes.ask(ask_for_date_order(time.orders))
