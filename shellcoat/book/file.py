"""The file of one open book: its connection, the lock for writing, and who else has written."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from sqlite3 import Connection
from typing import TYPE_CHECKING

from shellcoat.book.connection import (
    connect_to_read,
    connect_to_write,
    faults_named,
    pragma,
    refuse_unwritable,
)
from shellcoat.book.faults import BookBusyError, ClosedBookError, ReadOnlyBookError
from shellcoat.book.lock import WriteLock

if TYPE_CHECKING:
    from shellcoat.book.writing import Writer


class BookFile:
    """One connection to a book, made anew when the disk has failed it."""

    def __init__(self, path: Path, lock: WriteLock | None) -> None:
        self.path = path
        self._lock = lock
        self._seen: int | None = None  # the file's data_version when its entries were last read
        self._found: int | None = None
        self._closed = False
        self._connection: Connection | None = None
        self._writer: Writer | None = None
        with faults_named(path):
            self.live()

    @property
    def read_only(self) -> bool:
        """Whether it was opened to read only."""
        return self._lock is None

    @property
    def lock(self) -> WriteLock:
        """The lock every write holds."""
        if self._closed:
            raise ClosedBookError(self.path)
        if self._lock is None:
            raise ReadOnlyBookError(self.path, "it was opened to read only")
        return self._lock

    def live(self) -> Connection:
        """Give a connection that works."""
        if self._closed:
            raise ClosedBookError(self.path)
        if self._connection is None:
            self._connection = self._dial()
            self._seen = None
        return self._connection

    def writer(self) -> Writer:
        """Give what writes over the live connection; not to be asked for in a transaction."""
        # It stands on SQLAlchemy, which takes longer to load than a whole book does.
        from shellcoat.book.writing import Writer

        if self._writer is None:
            self._writer = Writer(self.live())
        return self._writer

    def redial(self) -> Connection:
        """Drop the connection and make a new one, which sees what is really on the disk."""
        with suppress(sqlite3.Error):
            self.hang_up()
        return self.live()

    def try_to_write(self) -> None:
        """Find out whether the file can be written at all; changes nothing."""
        if self._lock is not None:
            refuse_unwritable(self.live())

    def changed(self) -> bool:
        """Tell whether another connection has written since its entries were read."""
        self._found = pragma(self.live(), "data_version")
        return self._found != self._seen

    def read_up(self) -> None:
        """Say that all entries found by the last look have been read."""
        self._seen = self._found

    @contextmanager
    def unsure(self) -> Iterator[None]:
        """Write: whatever cuts this off, even just after the commit, the file is read anew."""
        connection, before = self.live(), self._seen
        self._seen = None
        yield
        if self._connection is connection:
            self._seen = before

    def close(self) -> None:
        """Close the connection and the lock.

        The last connection to close writes the log back into the file, which SQLite does only
        when it is alone; so where another program will not let go there is nothing to wait for.
        """
        if self._closed:
            return
        self._closed = True
        if self._lock is not None:
            with suppress(BookBusyError), self._lock.held():
                self.hang_up()
            self._lock.close()
        self.hang_up()

    def hang_up(self) -> None:
        """Close the connection alone; the last one out writes the log back into the file."""
        writer, self._writer = self._writer, None
        connection, self._connection = self._connection, None
        if writer is not None:
            writer.close()
        if connection is not None:
            connection.close()

    def _dial(self) -> Connection:
        return connect_to_read(self.path) if self._lock is None else connect_to_write(self.path)
