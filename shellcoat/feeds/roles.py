"""Which columns of a table hold time, temperature and humidity, and how to read them."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from shellcoat.feeds.cells import has_offset, number_in, time_kind
from shellcoat.feeds.columns import (
    HumidityUnit,
    TempUnit,
    humidity_rank,
    offset_of,
    temp_rank,
    unit_of_humidity,
    unit_of_temp,
)
from shellcoat.feeds.date_order import possible_orders
from shellcoat.feeds.errors import MissingQuantityError, NoTimeColumnError
from shellcoat.feeds.quantities import numbers
from shellcoat.feeds.table import Table
from shellcoat.feeds.wall_times import MIDNIGHT, NO_TIME, SPLIT, DateOrder, TimeKind, TimeReader

NEARLY_ALL = 0.8
MOSTLY = 0.5
MOST_CHOICES = 12
ROWS_JUDGED = 400
ROWS_PACED = 200
LEAST_COUNTED = 4
MOST_COUNTED = 20


@dataclass(frozen=True, slots=True)
class TimeRole:
    """The time of a table: its columns, and the orders its dates may be in."""

    columns: tuple[int, ...]
    kind: TimeKind
    orders: list[DateOrder]
    offset_in_rows: bool = False
    utc_offset_min: int | None = None
    newest_first: bool = False
    interval_ms: int = 0


def column_of(table: Table, column: int) -> list[str]:
    """The cells of one column, as far down as they are judged by."""
    rows = table.rows[:: max(1, len(table.rows) // ROWS_JUDGED)]
    return [cells[column] if column < len(cells) else "" for cells in rows]


def _paced(table: Table, column: int) -> list[str]:
    """The first cells of one column, row after row."""
    return [cells[column] if column < len(cells) else "" for cells in table.rows[:ROWS_PACED]]


def _share(cells: Sequence[str], fits: Callable[[str], bool]) -> float:
    filled = [cell for cell in cells if cell.strip()]
    return sum(map(fits, filled)) / len(filled) if filled else 0.0


def find_time(name: str, table: Table) -> TimeRole:
    """Find date and time of day, in one column or two, or seconds since 1970."""
    kinds = [_kind_of_column(column_of(table, column)) for column in range(len(table.columns))]
    of_kind = {
        kind: [i for i, found in enumerate(kinds) if found == kind]
        for kind in ("moment", "date", "clock", "unix")
    }
    if of_kind["moment"] and of_kind["clock"] and _only_midnights(table, of_kind["moment"][0]):
        return _text_role(name, table, [of_kind["moment"][0], of_kind["clock"][0]])
    if of_kind["moment"]:
        in_utc = [i for i in of_kind["moment"] if offset_of(table.columns[i]) is not None]
        return _text_role(name, table, (in_utc or of_kind["moment"])[:1])
    if of_kind["date"] and of_kind["clock"]:
        return _text_role(name, table, [of_kind["date"][0], of_kind["clock"][0]])
    if of_kind["unix"]:
        return _unix_role(table, of_kind["unix"][0])
    raise NoTimeColumnError(name)


def _only_midnights(table: Table, column: int) -> bool:
    return _share(column_of(table, column), lambda cell: bool(MIDNIGHT.search(cell))) == 1.0


def _kind_of_column(cells: Sequence[str]) -> str:
    found = [time_kind(cell) for cell in cells if cell.strip()]
    most = max(set(found), key=found.count, default="")
    return most if found and found.count(most) >= NEARLY_ALL * len(found) else ""


def _text_role(name: str, table: Table, columns: Sequence[int]) -> TimeRole:
    label = " ".join(table.columns[i] for i in columns)
    cells = [_paced(table, i) for i in columns]
    # The dates of all rows, not only the judged ones: one 13th tells the day from the month.
    dates = [row[columns[0]].strip() for row in table.rows if columns[0] < len(row)]
    dates = [match[1] if (match := SPLIT.fullmatch(text)) else text for text in dates]
    orders = possible_orders(dates, label)
    if not orders:
        raise NoTimeColumnError(name)
    with_offset = _share(cells[-1], has_offset) >= NEARLY_ALL
    offset = None if with_offset else _named_offset(table, label)
    role = TimeRole(tuple(columns), TimeKind.TEXT, orders, with_offset, offset)
    return _with_pace(role, cells)


def _named_offset(table: Table, label: str) -> int | None:
    zoned = [line for line in table.preamble if re.search(r"zone|zona|fuseau", line, re.I)]
    found = [offset_of(text) for text in (label, *zoned)]
    return next((offset for offset in found if offset is not None), None)


def _unix_role(table: Table, column: int) -> TimeRole:
    cells = _paced(table, column)
    longest = max(len(cell.strip().partition(".")[0]) for cell in cells)
    kind = TimeKind.UNIX_MILLISECONDS if longest > 10 else TimeKind.UNIX_SECONDS
    role = TimeRole((column,), kind, [DateOrder.YEAR_FIRST], utc_offset_min=0)
    return _with_pace(role, [cells])


def _with_pace(role: TimeRole, cells: Sequence[Sequence[str]]) -> TimeRole:
    """Add the usual step between readings and whether the newest come first."""
    reader = TimeReader(role.kind, role.orders[0], offset_in_rows=role.offset_in_rows)
    moments = reader.read(cells)
    steps = np.diff(moments[moments != NO_TIME])
    steps = steps[steps != 0]
    if not len(steps):
        return role
    return TimeRole(
        role.columns,
        role.kind,
        role.orders,
        role.offset_in_rows,
        role.utc_offset_min,
        newest_first=bool(np.median(np.sign(steps)) < 0),
        interval_ms=int(np.median(np.abs(steps))),
    )


def _numeric_shares(table: Table, taken: Sequence[int]) -> dict[int, float]:
    """Columns with numbers in them that are not taken yet, and how many of their cells are."""
    shares = {
        i: _share(column_of(table, i), lambda cell: number_in(cell) is not None)
        for i in range(len(table.columns))
        if i not in taken
    }
    return {i: share for i, share in shares.items() if share > 0}


def _counts_rows(table: Table, column: int) -> bool:
    """True for whole numbers that rise by one from row to row."""
    cells = [cells[column] for cells in table.rows[:MOST_COUNTED] if column < len(cells)]
    found = [int(cell) for cell in cells if cell.strip().isdecimal() and len(cell) < 10]
    return len(found) == len(cells) >= LEAST_COUNTED and bool(np.all(np.diff(found) == 1))


def find_quantity(
    name: str, table: Table, taken: Sequence[int], quantity: str
) -> tuple[int | None, list[int]]:
    """The column whose name speaks most plainly for a quantity, and all it might be.

    A named column may be mostly faults, as a logger with a loose sensor writes them; a column
    without a name must be mostly numbers to be offered.
    """
    rank, other = temp_rank, humidity_rank
    if quantity == "humidity":
        rank, other = other, rank
    shares = _numeric_shares(table, taken)
    ranks = {i: rank(table.columns[i]) for i in shares}
    named = [i for i in shares if ranks[i]]
    if named:
        return max(named, key=lambda i: (ranks[i], shares[i] > MOSTLY)), named
    unnamed = [
        i
        for i, share in shares.items()
        if share > MOSTLY and other(table.columns[i]) < 2 and not _counts_rows(table, i)
    ]
    if not unnamed:
        raise MissingQuantityError(name, quantity)
    return None, unnamed[:MOST_CHOICES]


def find_decimal_mark(table: Table, columns: Sequence[int]) -> str:
    """The decimal mark most numbers of some columns have."""
    cells = [cell for i in columns for cell in column_of(table, i) if number_in(cell)]
    commas, points = (sum(mark in cell for cell in cells) for mark in ",.")
    if commas == points == 0:
        return "," if table.delimiter == ";" else "."
    return "," if commas > points else "."


def find_temp_unit(table: Table, column: int, decimal_mark: str) -> tuple[TempUnit | None, bool]:
    """The unit of a temperature column, and whether it is only judged by its values."""
    cells = column_of(table, column)
    notes = [line for line in table.preamble if temp_rank(line)]
    named = (unit_of_temp(text) for text in (table.columns[column], *cells[:20], *notes))
    unit = next((found for found in named if found is not None), None)
    return (unit, False) if unit else (_plausible_temp_unit(cells, decimal_mark), True)


def _plausible_temp_unit(cells: Sequence[str], decimal_mark: str) -> TempUnit | None:
    """Shop air lies near 20 °C, 70 °F or 295 K; between, a person must say. Common practice."""
    found = numbers(cells, decimal_mark)
    found = found[np.isfinite(found)]
    if not len(found):
        return None
    usual = float(np.median(found))
    if -30 <= usual <= 33:
        return TempUnit.CELSIUS
    if 55 <= usual <= 130:
        return TempUnit.FAHRENHEIT
    return TempUnit.KELVIN if 240 <= usual <= 345 else None


def find_humidity_unit(table: Table, column: int, decimal_mark: str) -> tuple[HumidityUnit, bool]:
    """The unit of a humidity column, and whether its values rather than its name tell it.

    Air drier than 1 % is not met in a shop, so values up to 1 are fractions whatever the name
    says.
    """
    found = numbers(column_of(table, column), decimal_mark)
    found = found[np.isfinite(found)]
    highest = max(found.tolist(), default=0.0)
    named = unit_of_humidity(table.columns[column])
    if highest <= 0:
        return named or HumidityUnit.PERCENT, named is None
    told = HumidityUnit.FRACTION if highest <= 1.03 else HumidityUnit.PERCENT
    return told, told is not named
