"""Opening and making books: everything is checked before anything is changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from sqlite3 import Connection
from uuid import UUID, uuid4

from shellcoat.book import tables
from shellcoat.book.book import Book
from shellcoat.book.connection import (
    connect_to_look,
    connect_to_read,
    faults_named,
    pragma,
    side_files,
)
from shellcoat.book.faults import (
    BookExistsError,
    DamagedBookError,
    NetworkFolderError,
    NewerBookError,
    NoBookError,
    NoFolderError,
    NotABookError,
    NotSavedError,
    OlderBookError,
)
from shellcoat.book.folders import discard, network_filesystem, put_in_place
from shellcoat.book.lock import WriteLock, lock_path
from shellcoat.shop import Entry

SUFFIX = ".shellbook"


def open_book(path: Path, *, read_only: bool = False) -> Book:
    """Open a book; one of an older version is backed up and brought up to date first."""
    path = path.resolve()
    version = look_at(path)
    return _open_to_read(path, version) if read_only else _open_to_write(path, version)


def create_book(
    path: Path,
    entries: Sequence[Entry] = (),
    *,
    now: datetime,
    slots: Mapping[UUID, str] | None = None,
) -> Book:
    """Make a new book with its first entries in it, and open it."""
    with building(path, book_id=uuid4(), created_at=now) as book:
        book.append(entries, slots=slots)
    return open_book(path)


@contextmanager
def building(path: Path, *, book_id: UUID, created_at: datetime) -> Iterator[Book]:
    """Fill a new book under another name; it gets its own only when it is finished."""
    from shellcoat.book.migrating import lay_out  # slow to load, and opening does without

    path = path.resolve()
    _refuse_place(path)
    unfinished = path.with_name(f".{path.stem}.{uuid4().hex[:8]}.unfinished")
    try:
        with closing(WriteLock(unfinished)) as lock:
            lay_out(unfinished, book_id, created_at)
            with Book(unfinished, lock) as book:
                yield book
        _refuse_place(path)
        put_in_place(unfinished, path)
    except OSError as cause:
        raise NotSavedError(path, str(cause)) from cause
    finally:
        discard(unfinished, lock_path(unfinished), *side_files(unfinished))


def look_at(path: Path) -> int:
    """Tell a book's version, or refuse what is no book for this program; leaves no trace."""
    if not path.is_file():
        raise NoBookError(path)
    with looking(path) as connection:
        mark, version = pragma(connection, "application_id"), pragma(connection, "user_version")
    if mark != tables.APPLICATION_ID or version < 1:
        raise NotABookError(path)
    if version > tables.SCHEMA_VERSION:
        raise NewerBookError(path, version, tables.SCHEMA_VERSION)
    return int(version)


def refuse_damaged(path: Path, connect: Callable[[Path], Connection] = connect_to_look) -> None:
    """Refuse a file whose pages do not hang together."""
    with looking(path, connect) as connection:
        found = [str(what) for (what,) in connection.execute("PRAGMA quick_check(3)")]
    if found != ["ok"]:
        raise DamagedBookError(path, "; ".join(found))


def refuse_network(path: Path) -> None:
    """Refuse to write on a network folder."""
    filesystem = network_filesystem(path.parent)
    if filesystem is not None:
        raise NetworkFolderError(path, filesystem)


@contextmanager
def looking(
    path: Path, connect: Callable[[Path], Connection] = connect_to_look
) -> Iterator[Connection]:
    """Connect to a file for a moment."""
    with faults_named(path), closing(connect(path)) as connection:
        yield connection


def _refuse_place(path: Path) -> None:
    if path.exists():
        raise BookExistsError(path)
    if not path.parent.is_dir():
        raise NoFolderError(path.parent)
    refuse_network(path)


def _open_to_read(path: Path, version: int) -> Book:
    if version < tables.SCHEMA_VERSION:
        raise OlderBookError(path, version)
    refuse_damaged(path, connect_to_read)
    return Book(path, None)


def _open_to_write(path: Path, version: int) -> Book:
    refuse_network(path)
    lock = WriteLock(path)
    try:
        with lock.held():
            refuse_damaged(path)
            if version < tables.SCHEMA_VERSION:
                from shellcoat.book.migrating import bring_up_to_date  # slow to load as well

                bring_up_to_date(path)
            return Book(path, lock)
    except BaseException:
        lock.close()
        raise
