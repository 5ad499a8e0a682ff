"""Writing a book: SQLAlchemy's tables over the connection that the book has open already.

Loading SQLAlchemy takes longer than opening a book, so only what is about to write imports
this module.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, StaticPool, create_engine, insert
from sqlalchemy.exc import DBAPIError

from shellcoat.book.codec import to_microseconds
from shellcoat.book.journal import Line
from shellcoat.book.metadata import book_meta, entry
from shellcoat.book.pictures import store_pictures
from shellcoat.book.readings import store_batch

_insert_entries = insert(entry)
_insert_identity = insert(book_meta)


class Writer:
    """SQLAlchemy over one connection of the driver, so that a book has never a second one.

    Make it outside a transaction: SQLAlchemy tries a new connection out and rolls it back.
    """

    def __init__(self, driver: sqlite3.Connection) -> None:
        engine = create_engine("sqlite://", creator=lambda: driver, poolclass=StaticPool)
        self.driver = driver
        self.connection: Connection = engine.connect().execution_options(
            isolation_level="AUTOCOMMIT"  # what begins and ends a transaction is `transaction`
        )

    def store(self, lines: Sequence[Line], rows: Sequence[dict[str, Any]]) -> None:
        """Write lines: first readings and pictures, then the entries, which seal the batches."""
        for line, row in zip(lines, rows, strict=True):
            if line.readings is not None:
                store_batch(self.driver, row["seq"], line.readings)
            if line.pictures is not None:
                store_pictures(self.driver, line.pictures)
        with _faults_unwrapped():
            self.connection.execute(_insert_entries, rows)

    def set_identity(self, book_id: UUID, created_at: datetime) -> None:
        """Name a new book."""
        row = {"one": 1, "book_id": str(book_id), "created_at": to_microseconds(created_at)}
        with _faults_unwrapped():
            self.connection.execute(_insert_identity, row)

    def close(self) -> None:
        """Take SQLAlchemy off the connection, which is closed with it."""
        self.connection.close()
        self.connection.engine.dispose()


def original(error: DBAPIError) -> sqlite3.Error:
    """Get at what the driver raised."""
    found = error.orig
    return found if isinstance(found, sqlite3.Error) else sqlite3.Error(str(found))


@contextmanager
def _faults_unwrapped() -> Iterator[None]:
    """Let faults come out as the driver raised them, as they do from everything that reads."""
    try:
        yield
    except DBAPIError as error:
        raise original(error) from error
