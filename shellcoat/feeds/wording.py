"""A logger file's shape in plain sentences, to read before anything is imported."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from shellcoat.feeds.shape import LoggerShape, SampleRow
from shellcoat.feeds.wall_times import TimeKind

DELIMITER_WORDS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright strokes"}
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def column_words(columns: Sequence[str], column: int) -> str:
    """A column by its place, counted from 1, and its name if it has one."""
    label = " ".join(columns[column].split()) if column < len(columns) else ""
    return f'column {column + 1} "{label}"' if label else f"column {column + 1}"


def describe(shape: LoggerShape) -> list[str]:
    """Say how the file will be read, what was found, and what is still to be answered."""
    return [
        _table_words(shape),
        _time_words(shape),
        _zone_words(shape),
        _quantity_words("Temperature", shape, shape.temp_column, shape.temp_unit),
        _quantity_words("Humidity", shape, shape.humidity_column, shape.humidity_unit),
        *_sample_words(shape.sample),
        *shape.findings,
        *(f"Still to be answered: {question.asks}" for question in shape.open_questions),
    ]


def _table_words(shape: LoggerShape) -> str:
    between = DELIMITER_WORDS.get(shape.delimiter, repr(shape.delimiter))
    mark = "a comma" if shape.decimal_mark == "," else "a point"
    return (
        f"{shape.name} is text in {shape.encoding}, cells parted by {between}, decimals written "
        f"with {mark}; readings begin on line {shape.first_line + 1}."
    )


def _time_words(shape: LoggerShape) -> str:
    where = " and ".join(column_words(shape.columns, i) for i in shape.time_columns)
    if shape.time_kind is not TimeKind.TEXT:
        return f"Time: {where}, {shape.time_kind.value}."
    order = shape.date_order.value if shape.date_order else "order of day and month unknown"
    return f"Time: {where}, {order}."


def _zone_words(shape: LoggerShape) -> str:
    if shape.offset_in_rows:
        return "Every time carries its own offset from UTC."
    if shape.time_kind is not TimeKind.TEXT:
        return "Times are in UTC."
    if shape.utc_offset_min is not None:
        sign = "-" if shape.utc_offset_min < 0 else "+"
        hours, minutes = divmod(abs(shape.utc_offset_min), 60)
        return f"Times are at UTC{sign}{hours:02}:{minutes:02} throughout."
    return "Times are local and follow the clock of the shop, summer time included."


def _quantity_words(name: str, shape: LoggerShape, column: int | None, unit: object) -> str:
    where = "column not chosen yet" if column is None else column_words(shape.columns, column)
    said = getattr(unit, "value", "unit not known yet")
    return f"{name}: {where}, {said}."


def _sample_words(rows: Sequence[SampleRow]) -> list[str]:
    row = next((r for r in rows if None not in (r.at_ms, r.temp_c, r.rh)), None)
    if row is None or row.at_ms is None or row.temp_c is None or row.rh is None:
        return []
    try:
        moment = EPOCH + timedelta(milliseconds=row.at_ms)
    except OverflowError:
        return []
    return [f"First reading: {moment:%Y-%m-%d %H:%M:%S}, {row.temp_c:.1f} °C, {row.rh:.1%}."]
