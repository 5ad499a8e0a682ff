"""Connections to a book's file, and the settings each of them gets.

They are the driver's own: reading asks no more, and SQLAlchemy, through which the tables are
written, takes longer to load than a book to open. `writing` puts it on top of a connection made
here.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from sqlite3 import Connection
from typing import Any
from urllib.parse import quote

from shellcoat.book.faults import NotSavedError, fault, in_words

BUSY_MS = 5000

EVERY_CONNECTION = (
    f"PRAGMA busy_timeout = {BUSY_MS}",
    "PRAGMA foreign_keys = ON",
    "PRAGMA recursive_triggers = ON",  # else INSERT OR REPLACE deletes past the triggers
    "PRAGMA trusted_schema = OFF",
    "PRAGMA cell_size_check = ON",
    "PRAGMA mmap_size = 0",
)
EVERY_WRITER = (
    "PRAGMA journal_mode = WAL",
    "PRAGMA synchronous = FULL",  # a commit that was confirmed survives a power cut
)


def side_files(path: Path) -> tuple[Path, Path]:
    """Name the files that belong to an open book: its write-ahead log and the log's index."""
    return path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm")


def _log_holds_pages(path: Path) -> bool:
    log, _ = side_files(path)
    return log.exists() and log.stat().st_size > 0


def _uri(path: Path, query: str) -> str:
    # A drive letter needs the extra slash, and a leading double slash would name a host.
    name = quote(os.fsencode(path.as_posix().lstrip("/")), safe="/:")
    return f"file:///{name}?{query}"


def _connect(path: Path, query: str, settings: tuple[str, ...]) -> Connection:
    connection = sqlite3.connect(
        _uri(path, query),
        uri=True,
        isolation_level=None,  # transactions begin and end where the text says so
        check_same_thread=False,
        timeout=BUSY_MS / 1000,
    )
    try:
        for setting in settings:
            connection.execute(setting)
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def connect_to_write(path: Path) -> Connection:
    """Connect for reading and writing; the file must exist."""
    return _connect(path, "mode=rw", EVERY_CONNECTION + EVERY_WRITER)


def connect_to_create(path: Path) -> Connection:
    """Connect to a file that is made by this."""
    return _connect(path, "mode=rwc", EVERY_CONNECTION + EVERY_WRITER)


def connect_to_read(path: Path) -> Connection:
    """Connect for reading, such that entries others add are seen.

    In a folder nobody here can write to, the file is taken as never changing: SQLite could not
    make the files beside it that reading a live book needs.
    """
    if os.access(path.parent, os.W_OK):
        return _connect(path, "mode=ro", EVERY_CONNECTION)
    return connect_to_look(path)


def connect_to_look(path: Path) -> Connection:
    """Connect for one look that leaves no trace beside the file."""
    query = "mode=ro" if _log_holds_pages(path) else "mode=ro&immutable=1"
    return _connect(path, query, EVERY_CONNECTION)


@contextmanager
def faults_named(path: Path) -> Iterator[None]:
    """Let what the database raises while reading come out as errors a person can read."""
    try:
        yield
    except sqlite3.Error as error:
        raise fault(path, error) from error


@contextmanager
def transaction(connection: Connection) -> Iterator[None]:
    """Write all or nothing; the write lock is taken at once, so that it can be waited for."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        roll_back(connection)
        raise


def refuse_unwritable(connection: Connection) -> None:
    """Let a write-protected file show itself, by a write that is taken back.

    Asking for the write lock is not enough: on such a file SQLite grants a reading one instead.
    """
    version = pragma(connection, "user_version")
    connection.execute("BEGIN IMMEDIATE")
    try:
        connection.execute(f"PRAGMA user_version = {version}")
    finally:
        roll_back(connection)


def roll_back(connection: Connection) -> None:
    """Undo what is open; SQLite has done it already after some faults."""
    if connection.in_transaction:
        connection.execute("ROLLBACK")


def pragma(connection: Connection, name: str) -> Any:
    """Read one setting."""
    (value,) = connection.execute(f"PRAGMA {name}").fetchone()
    return value


def copy_database(connection: Connection, target: Path) -> None:
    """Copy what a connection sees at this moment into a new file; the way that is always whole."""
    try:
        with closing(sqlite3.connect(target, isolation_level=None)) as copy:
            connection.backup(copy)
    except sqlite3.Error as cause:
        raise NotSavedError(target, in_words(cause)) from cause
