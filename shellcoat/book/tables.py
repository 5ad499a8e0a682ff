"""What tells a file for a book, and the rows of its tables as plain SQL reads them.

`metadata` says the same to SQLAlchemy, which only writing needs: a book is opened and read over
the driver alone, in a fraction of the time that loading SQLAlchemy takes. A test holds the two
together.
"""

from __future__ import annotations

from typing import NamedTuple

APPLICATION_ID = 0x53684243  # "ShBC", what file(1) and we ourselves know a book by
SCHEMA_VERSION = 2  # the number of the last migration, kept as the file's user_version

PICTURES_SINCE = 2  # the version that brought the table `picture`

# The triggers that keep a book from being changed; what they do stands in the migrations.
_TRIGGERS = {
    "book_meta": (1, ("no_update", "no_delete", "once")),
    "entry": (1, ("no_update", "no_delete", "at_the_end")),
    "air_reading": (1, ("no_update", "no_delete", "sealed")),
    "picture": (PICTURES_SINCE, ("no_update", "no_delete", "once")),
}


def guards_of(version: int) -> frozenset[str]:
    """Name the triggers a book of that version has."""
    return frozenset(
        f"{table}_{guard}"
        for table, (since, guards) in _TRIGGERS.items()
        if since <= version
        for guard in guards
    )


GUARDS = guards_of(SCHEMA_VERSION)


class EntryRow(NamedTuple):
    """A row of the table `entry`, column by column."""

    seq: int
    id: str
    kind: str
    record_id: str
    recorded_at: int
    who: str
    station: str
    replaces: str | None
    reason: str
    body: str
    slot: str | None
    previous_hash: str
    hash: str


class IdentityRow(NamedTuple):
    """The one row of the table `book_meta`."""

    one: int
    book_id: str
    created_at: int


class PictureRow(NamedTuple):
    """A row of the table `picture`, column by column."""

    sha256: str
    data: bytes


class ReadingRow(NamedTuple):
    """A row of the table `air_reading`, column by column."""

    batch_seq: int
    at_ms: int
    temp_c: float
    rh: float
