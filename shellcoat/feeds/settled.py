"""A shape with every choice made, as reading needs it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta, timezone, tzinfo
from typing import TypeVar

from shellcoat.feeds.columns import HumidityUnit, TempUnit
from shellcoat.feeds.errors import OpenQuestionError, ShapeMismatchError
from shellcoat.feeds.shape import LoggerShape
from shellcoat.feeds.wall_times import DateOrder, TimeKind

Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class Settled:
    """The parts of a shape that may be open in it but no longer here.

    `columns` are time (one or two), temperature and humidity; `row_cells` the fewest and the
    most cells a row may have.
    """

    shape: LoggerShape
    date_order: DateOrder
    temp_unit: TempUnit
    humidity_unit: HumidityUnit
    columns: tuple[int, ...]
    row_cells: tuple[int, int]

    @classmethod
    def of(cls, shape: LoggerShape) -> Settled:
        """Settle a shape; refuses one with questions open or with impossible columns."""
        chosen = (
            _answered(shape.name, shape.temp_column, "Which column holds the temperature?"),
            _answered(shape.name, shape.humidity_column, "Which column holds the humidity?"),
        )
        columns = (*shape.time_columns, *chosen)
        if len(shape.time_columns) not in (1, 2):
            raise ShapeMismatchError(shape.name, "the time must stand in one column or in two.")
        if not all(0 <= column < shape.row_cells[1] for column in columns):
            raise ShapeMismatchError(
                shape.name, f"a column was chosen that the {shape.row_cells[1]} here do not have."
            )
        name = shape.name
        return cls(
            shape=shape,
            date_order=_answered(name, shape.date_order, "In what order are the dates written?"),
            temp_unit=_answered(name, shape.temp_unit, "In what unit is the temperature?"),
            humidity_unit=_answered(name, shape.humidity_unit, "In what unit is the humidity?"),
            columns=columns,
            row_cells=(max(shape.row_cells[0], *(i + 1 for i in columns)), shape.row_cells[1]),
        )

    def zone(self, local: tzinfo) -> tzinfo:
        """The zone of the file's times: the one it names itself, or the local one."""
        if self.shape.offset_in_rows or self.shape.time_kind is not TimeKind.TEXT:
            return timezone(timedelta(0))
        if self.shape.utc_offset_min is not None:
            return timezone(timedelta(minutes=self.shape.utc_offset_min))
        return local


def _answered(name: str, answer: Answer | None, asks: str) -> Answer:
    if answer is None:
        raise OpenQuestionError(name, asks)
    return answer
