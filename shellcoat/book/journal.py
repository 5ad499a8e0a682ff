"""The journal: entries as rows of the book, in and out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from sqlite3 import Connection
from typing import TYPE_CHECKING, Any
from uuid import UUID

from shellcoat.book import chain
from shellcoat.book.codec import decode, encode, from_microseconds, to_microseconds
from shellcoat.book.faults import DamagedBookError, PictureError, ReadingsError
from shellcoat.book.pictures import Pictures
from shellcoat.book.tables import EntryRow, IdentityRow
from shellcoat.shop import Entry, Photo, ReadingBatch
from shellcoat.shop.checks import check_name

if TYPE_CHECKING:
    from shellcoat.book.readings import ReadingColumns

MOST_AT_ONCE = 10_000  # SQLite takes 32,766 values in one statement, from memory

# Nothing but our own names of columns goes into the text; what is looked for is bound.
AFTER = f"SELECT {', '.join(EntryRow._fields)} FROM entry WHERE seq > ? ORDER BY seq"  # noqa: S608
KNOWN = "SELECT id FROM entry WHERE id IN ({marks})"
IN_SLOT = "SELECT slot, id FROM entry WHERE slot IN ({marks})"
IDENTITY = f"SELECT {', '.join(IdentityRow._fields)} FROM book_meta"  # noqa: S608
COUNT = "SELECT count(*) FROM entry"


@dataclass(frozen=True, slots=True)
class Line:
    """An entry with all that goes into the book beside it.

    `body` is the record's text where it has one already: written by an older program, it may
    lack what a record has today, and only the same text has the same hash. `pictures` go with a
    photo when it is first logged; its corrections speak of the same ones.
    """

    entry: Entry
    slot: str | None = None
    readings: ReadingColumns | None = None
    body: str | None = None
    pictures: Pictures | None = None

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
        self._check_pictures()

    @property
    def new_photo(self) -> Photo | None:
        """The photo whose pictures go with this line; a correction brings none."""
        record = self.entry.record
        return record if isinstance(record, Photo) and self.entry.replaces is None else None

    def _check_pictures(self) -> None:
        photo = self.new_photo
        if photo is not None:
            if self.pictures is None:
                raise PictureError("A photo cannot be kept without its picture.")
            self.pictures.check_against(photo)
        elif self.pictures is not None:
            raise PictureError("Pictures belong to a new photo, not to another record.")


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


def entry_of(row: EntryRow) -> Entry:
    """Read an entry back from its row."""
    return Entry(
        id=UUID(row.id),
        recorded_at=from_microseconds(row.recorded_at),
        who=row.who,
        record=decode(row.kind, row.body),
        station=row.station,
        replaces=None if row.replaces is None else UUID(row.replaces),
        reason=row.reason,
    )


def rows_after(connection: Connection, seq: int) -> list[EntryRow]:
    """Fetch the rows that follow a number, in order."""
    return [EntryRow._make(row) for row in connection.execute(AFTER, (seq,))]


def lines(connection: Connection, last_seq: int) -> Iterator[Line]:
    """Read the book line by line up to an entry, readings included."""
    from shellcoat.book.readings import fetch_batch  # brings numpy, which opening does without

    for row in rows_after(connection, 0)[:last_seq]:
        entry = entry_of(row)
        is_batch = isinstance(entry.record, ReadingBatch)
        readings = fetch_batch(connection, row.seq) if is_batch else None
        yield Line(entry, row.slot, readings, row.body)


def _found(
    connection: Connection, statement: str, names: Sequence[str]
) -> Iterator[tuple[str, ...]]:
    """Look names up, as many at once as one statement takes."""
    for start in range(0, len(names), MOST_AT_ONCE):
        portion = names[start : start + MOST_AT_ONCE]
        marks = ", ".join("?" * len(portion))
        yield from connection.execute(statement.format(marks=marks), portion)


def kept(connection: Connection, ids: Iterable[UUID]) -> set[UUID]:
    """Tell which of these entries are in the book."""
    found = _found(connection, KNOWN, [str(entry_id) for entry_id in ids])
    return {UUID(entry_id) for (entry_id,) in found}


def taken_slots(connection: Connection, slots: Sequence[str]) -> dict[str, UUID]:
    """Tell which of these slots are taken, and by which entry."""
    return {slot: UUID(entry_id) for slot, entry_id in _found(connection, IN_SLOT, slots)}


def identity(connection: Connection, path: Path) -> tuple[UUID, datetime]:
    """Read the book's id and when it was made."""
    rows = connection.execute(IDENTITY).fetchall()
    try:
        if rows:
            row = IdentityRow._make(rows[0])
            return UUID(row.book_id), from_microseconds(row.created_at)
    except (ValueError, OverflowError):
        pass
    raise DamagedBookError(path, "it does not say which book it is")


def count(connection: Connection) -> int:
    """Count the entries."""
    ((number,),) = connection.execute(COUNT).fetchall()
    return int(number)
