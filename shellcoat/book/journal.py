"""The journal: entries as rows of the book, in and out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Row, bindparam, func, insert, select

from shellcoat.book import chain
from shellcoat.book.codec import decode, encode, from_microseconds, to_microseconds
from shellcoat.book.faults import DamagedBookError, ReadingsError
from shellcoat.book.readings import ReadingColumns, fetch_batch, store_batch
from shellcoat.book.tables import book_meta
from shellcoat.book.tables import entry as entries
from shellcoat.shop import Entry, ReadingBatch
from shellcoat.shop.checks import check_name

MOST_AT_ONCE = 10_000  # SQLite takes 32,766 values in one statement, from memory

_insert = insert(entries)
_after = select(entries).where(entries.c.seq > bindparam("seq")).order_by(entries.c.seq)
_known = select(entries.c.id).where(entries.c.id.in_(bindparam("ids", expanding=True)))
_in_slot = select(entries.c.id, entries.c.slot).where(
    entries.c.slot.in_(bindparam("slots", expanding=True))
)


@dataclass(frozen=True, slots=True)
class Line:
    """An entry with all that goes into the book beside it.

    `body` is the record's text where it has one already: written by an older program, it may
    lack what a record has today, and only the same text has the same hash.
    """

    entry: Entry
    slot: str | None = None
    readings: ReadingColumns | None = None
    body: str | None = None

    def check(self) -> None:
        """Refuse a line whose parts do not belong together."""
        if self.slot is not None:
            check_name("Slot", self.slot)
        record = self.entry.record
        if isinstance(record, ReadingBatch):
            if self.readings is None:
                raise ReadingsError("A batch of readings cannot be kept without its readings.")
            self.readings.check_against(record)
        elif self.readings is not None:
            raise ReadingsError("Readings belong to a batch, not to another record.")


@dataclass(frozen=True, slots=True)
class End:
    """Where the book ends: the last entry's number and hash."""

    seq: int
    hash: str


def envelope(seq: int, line: Line) -> dict[str, Any]:
    """Lay a line out as the columns that are hashed."""
    entry = line.entry
    return {
        "seq": seq,
        "id": str(entry.id),
        "kind": entry.kind,
        "record_id": str(entry.record.id),
        "recorded_at": to_microseconds(entry.recorded_at),
        "who": entry.who,
        "station": entry.station,
        "replaces": None if entry.replaces is None else str(entry.replaces),
        "reason": entry.reason,
        "body": line.body or encode(entry.record),
        "slot": line.slot,
    }


def rows_of(lines: Iterable[Line], end: End) -> list[dict[str, Any]]:
    """Number and chain lines onto the end of the book."""
    rows: list[dict[str, Any]] = []
    previous = end.hash
    for seq, line in enumerate(lines, start=end.seq + 1):
        row = envelope(seq, line)
        row |= {"previous_hash": previous, "hash": chain.link(previous, row)}
        previous = row["hash"]
        rows.append(row)
    return rows


def store(connection: Connection, lines: Sequence[Line], rows: Sequence[dict[str, Any]]) -> None:
    """Write lines: first all readings, then the entries, which seal the batches."""
    for line, row in zip(lines, rows, strict=True):
        if line.readings is not None:
            store_batch(connection, row["seq"], line.readings)
    connection.execute(_insert, rows)


def entry_of(row: Row[Any]) -> Entry:
    """Read an entry back from its row."""
    # Unpacked, because looking each column up by name is slow when there are many rows.
    _, entry_id, kind, _, recorded_at, who, station, replaces, reason, body, *_ = tuple(row)
    return Entry(
        id=UUID(entry_id),
        recorded_at=from_microseconds(recorded_at),
        who=who,
        record=decode(kind, body),
        station=station,
        replaces=None if replaces is None else UUID(replaces),
        reason=reason,
    )


def rows_after(connection: Connection, seq: int) -> Sequence[Row[Any]]:
    """Fetch the rows that follow a number, in order."""
    return connection.execute(_after, {"seq": seq}).all()


def lines(connection: Connection, last_seq: int) -> Iterator[Line]:
    """Read the book line by line up to an entry, readings included."""
    for row in rows_after(connection, 0)[:last_seq]:
        entry = entry_of(row)
        is_batch = isinstance(entry.record, ReadingBatch)
        readings = fetch_batch(connection, row.seq) if is_batch else None
        yield Line(entry, row.slot, readings, row.body)


def _portions(names: Sequence[str]) -> Iterator[Sequence[str]]:
    for start in range(0, len(names), MOST_AT_ONCE):
        yield names[start : start + MOST_AT_ONCE]


def kept(connection: Connection, ids: Iterable[UUID]) -> set[UUID]:
    """Tell which of these entries are in the book."""
    return {
        UUID(row.id)
        for names in _portions([str(entry_id) for entry_id in ids])
        for row in connection.execute(_known, {"ids": names})
    }


def taken_slots(connection: Connection, slots: Sequence[str]) -> dict[str, UUID]:
    """Tell which of these slots are taken, and by which entry."""
    return {
        row.slot: UUID(row.id)
        for names in _portions(slots)
        for row in connection.execute(_in_slot, {"slots": names})
    }


def identity(connection: Connection, path: Path) -> tuple[UUID, datetime]:
    """Read the book's id and when it was made."""
    row = connection.execute(select(book_meta.c.book_id, book_meta.c.created_at)).first()
    try:
        if row is not None:
            return UUID(row.book_id), from_microseconds(row.created_at)
    except (ValueError, OverflowError):
        pass
    raise DamagedBookError(path, "it does not say which book it is")


def set_identity(connection: Connection, book_id: UUID, created_at: datetime) -> None:
    """Name a new book."""
    row = {"one": 1, "book_id": str(book_id), "created_at": to_microseconds(created_at)}
    connection.execute(insert(book_meta), row)


def count(connection: Connection) -> int:
    """Count the entries."""
    return connection.execute(select(func.count()).select_from(entries)).scalar_one()
