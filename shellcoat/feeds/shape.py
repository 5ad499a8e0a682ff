"""The shape of a logger file: how it is written, what each column means, what is still open."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan

from shellcoat.feeds.columns import HumidityUnit, TempUnit
from shellcoat.feeds.quantities import humidities, temperatures
from shellcoat.feeds.wall_times import NO_TIME, DateOrder, TimeKind, TimeReader


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: its words, and the value the shape's field takes with it."""

    label: str
    value: DateOrder | TempUnit | HumidityUnit | int


@dataclass(frozen=True, slots=True)
class Question:
    """Something the file does not tell: the field of the shape it leaves open, and answers."""

    field: str
    asks: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class SampleRow:
    """A row as it is understood: `at_ms` [ms] on the logger's own clock, None where unreadable."""

    at_ms: int | None
    temp_c: float | None
    rh: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerShape:
    """How a logger file is to be read. Any field may be replaced by a person's choice.

    Columns count from 0, lines too. `row_cells` are the fewest and the most cells of a row.
    `utc_offset_min` [min] holds where one offset is named for the whole file, `offset_in_rows`
    where every time carries its own. `interval_ms` [ms] is the usual step between readings.
    A field that is None though reading needs it is open: `questions` asks for it.
    """

    name: str
    encoding: str
    delimiter: str
    decimal_mark: str
    header_line: int | None
    first_line: int
    columns: tuple[str, ...]
    row_cells: tuple[int, int]
    time_columns: tuple[int, ...]
    time_kind: TimeKind
    date_order: DateOrder | None
    offset_in_rows: bool = False
    utc_offset_min: int | None = None
    newest_first: bool = False
    interval_ms: int = 0
    temp_column: int | None
    temp_unit: TempUnit | None
    humidity_column: int | None
    humidity_unit: HumidityUnit | None
    sample_cells: tuple[tuple[str, ...], ...] = ()
    questions: tuple[Question, ...] = ()
    findings: tuple[str, ...] = ()

    @property
    def open_questions(self) -> tuple[Question, ...]:
        """The questions nobody has answered yet."""
        return tuple(q for q in self.questions if getattr(self, q.field) is None)

    @property
    def used_columns(self) -> tuple[int, ...]:
        """Time, temperature and humidity columns, in this order."""
        chosen = (*self.time_columns, self.temp_column, self.humidity_column)
        return tuple(column for column in chosen if column is not None)

    @property
    def sample(self) -> tuple[SampleRow, ...]:
        """Some rows as they are understood with the choices made so far."""
        return tuple(
            SampleRow(*values)
            for values in zip(
                self._sample_times(), self._sample_temps(), self._sample_humidities(), strict=True
            )
        )

    def _sample_column(self, column: int) -> list[str]:
        return [row[column] if column < len(row) else "" for row in self.sample_cells]

    def _sample_times(self) -> list[int | None]:
        if self.date_order is None or not self.sample_cells:
            return [None] * len(self.sample_cells)
        reader = TimeReader(self.time_kind, self.date_order, offset_in_rows=self.offset_in_rows)
        moments = reader.read([self._sample_column(column) for column in self.time_columns])
        return [None if moment == NO_TIME else moment for moment in moments.tolist()]

    def _sample_temps(self) -> list[float | None]:
        if self.temp_column is None or self.temp_unit is None:
            return [None] * len(self.sample_cells)
        texts = self._sample_column(self.temp_column)
        found = temperatures(texts, self.decimal_mark, self.temp_unit)
        return [None if isnan(value) else value for value in found.tolist()]

    def _sample_humidities(self) -> list[float | None]:
        if self.humidity_column is None or self.humidity_unit is None:
            return [None] * len(self.sample_cells)
        texts = self._sample_column(self.humidity_column)
        found = humidities(texts, self.decimal_mark, self.humidity_unit)
        return [None if isnan(value) else value for value in found.tolist()]
