"""Logger readings in columns: checked, vouched for by a digest, stored and fetched."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from sqlite3 import Connection
from typing import Any, cast
from uuid import UUID

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shellcoat.book.codec import from_milliseconds, to_milliseconds
from shellcoat.book.faults import ReadingsError
from shellcoat.book.tables import ReadingRow
from shellcoat.shop import ReadingBatch
from shellcoat.shop.air import COLDEST_C, HOTTEST_C
from shellcoat.shop.checks import EARLIEST, LATEST

ROWS_AT_ONCE = 250
"""Rows one statement writes: measured, half the time of a statement a row; more gain nothing."""

COLUMNS = len(ReadingRow._fields)
OF_BATCH = "SELECT at_ms, temp_c, rh FROM air_reading WHERE batch_seq = ? ORDER BY at_ms"
IN_SPAN = OF_BATCH.replace("ORDER", "AND at_ms BETWEEN ? AND ? ORDER")


@dataclass(frozen=True, slots=True, eq=False)
class ReadingColumns:
    """Readings as three columns of one length, by rising time.

    `at_ms` [ms since 1970, UTC] int64, `temp_c` [°C], `rh` a fraction from 0 to 1.
    """

    at_ms: NDArray[np.int64]
    temp_c: NDArray[np.float64]
    rh: NDArray[np.float64]

    @classmethod
    def of(cls, at_ms: ArrayLike, temp_c: ArrayLike, rh: ArrayLike) -> ReadingColumns:
        """Make columns of plain lists or arrays; minus zero becomes zero, as it is stored."""
        return cls(
            np.asarray(at_ms, dtype=np.int64),
            np.asarray(temp_c, dtype=np.float64) + 0.0,
            np.asarray(rh, dtype=np.float64) + 0.0,
        )

    @classmethod
    def of_rows(cls, rows: Sequence[tuple[int, float, float]]) -> ReadingColumns:
        """Make columns of rows as fetched."""
        at_ms, temp_c, rh = zip(*rows, strict=True) if rows else ((), (), ())
        return cls.of(at_ms, temp_c, rh)

    def __len__(self) -> int:
        return len(self.at_ms)

    @property
    def digest(self) -> str:
        """The SHA-256 over the three columns, packed little-endian one after the other."""
        digest = hashlib.sha256(self.at_ms.astype("<i8").tobytes())
        digest.update(self.temp_c.astype("<f8").tobytes())
        digest.update(self.rh.astype("<f8").tobytes())
        return digest.hexdigest()

    def head(
        self, *, batch_id: UUID, room_id: UUID, import_id: UUID, source_name: str
    ) -> ReadingBatch:
        """Make the batch that vouches for these readings."""
        self.check()
        return ReadingBatch(
            id=batch_id,
            room_id=room_id,
            import_id=import_id,
            source_name=source_name,
            count=len(self),
            first_at=from_milliseconds(int(self.at_ms[0])),
            last_at=from_milliseconds(int(self.at_ms[-1])),
            digest=self.digest,
        )

    def check(self) -> None:
        """Refuse readings that no logger in a shop can have given."""
        if not len(self):
            raise ReadingsError("There are no readings in the batch.")
        if not len(self.at_ms) == len(self.temp_c) == len(self.rh):
            raise ReadingsError("Times, temperatures and humidities differ in number.")
        rises = np.diff(self.at_ms) > 0
        if not rises.all():
            self._refuse(int(np.argmin(rises)) + 1, "is not later than the one before it")
        self._check_range("time", self.at_ms, to_milliseconds(EARLIEST), to_milliseconds(LATEST))
        self._check_range("temperature", self.temp_c, COLDEST_C, HOTTEST_C)
        self._check_range("relative humidity", self.rh, 0.0, 1.0)

    def _check_range(self, name: str, column: NDArray[Any], low: float, high: float) -> None:
        # Written so that NaN, which is neither inside nor outside, is refused as well.
        inside = (column >= low) & (column <= high)
        if not inside.all():
            at = int(np.argmin(inside))
            self._refuse(at, f"has the {name} {column[at]}, not {low:g} to {high:g}")

    def _refuse(self, at: int, what: str) -> None:
        raise ReadingsError(f"Reading {at + 1} {what}. Leave it out or put it right.")

    def check_against(self, batch: ReadingBatch) -> None:
        """Refuse readings that are not those their batch vouches for."""
        self.check()
        own = (len(self), int(self.at_ms[0]), int(self.at_ms[-1]), self.digest)
        first, last = to_milliseconds(batch.first_at), to_milliseconds(batch.last_at)
        names = ("number", "first time", "last time", "digest")
        for name, mine, told in zip(
            names, own, (batch.count, first, last, batch.digest), strict=True
        ):
            if mine != told:
                raise ReadingsError(f"The readings' {name} is {mine}, their batch says {told}.")


def store_batch(connection: Connection, seq: int, readings: ReadingColumns) -> None:
    """Write the readings of the batch that will stand at `seq`."""
    values: list[float] = [seq] * (COLUMNS * len(readings))
    columns = (readings.at_ms, readings.temp_c, readings.rh)
    for place, column in enumerate(columns, start=1):
        values[place::COLUMNS] = column.tolist()
    per_statement = COLUMNS * ROWS_AT_ONCE
    whole = len(values) // per_statement * per_statement
    portions = (values[i : i + per_statement] for i in range(0, whole, per_statement))
    connection.executemany(_insert(ROWS_AT_ONCE), portions)
    if whole < len(values):
        connection.execute(_insert((len(values) - whole) // COLUMNS), values[whole:])


def _insert(rows: int) -> str:
    """Give the statement that writes so many rows at once."""
    one = f"({', '.join('?' * COLUMNS)})"
    names = ", ".join(ReadingRow._fields)
    return f"INSERT INTO air_reading ({names}) VALUES {', '.join([one] * rows)}"  # noqa: S608


def fetch_batch(connection: Connection, seq: int) -> ReadingColumns:
    """Read the readings of one batch."""
    return ReadingColumns.of_rows(connection.execute(OF_BATCH, (seq,)).fetchall())


def fetch_span(
    connection: Connection, seq: int, first_ms: int, last_ms: int
) -> list[tuple[int, float, float]]:
    """Read the rows of one batch that lie in a span of time, both ends included."""
    rows = connection.execute(IN_SPAN, (seq, first_ms, last_ms)).fetchall()
    return cast("list[tuple[int, float, float]]", rows)
