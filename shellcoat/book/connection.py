"""Connections to a book's file, and the settings each of them gets."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, NullPool, create_engine
from sqlalchemy.exc import DBAPIError

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

DatabaseFault = (DBAPIError, sqlite3.Error)


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


def _dial(uri: str, settings: tuple[str, ...]) -> sqlite3.Connection:
    driver = sqlite3.connect(
        uri, uri=True, isolation_level=None, check_same_thread=False, timeout=BUSY_MS / 1000
    )
    try:
        for setting in settings:
            driver.execute(setting)
    except sqlite3.Error:
        driver.close()
        raise
    return driver


def _connect(path: Path, query: str, settings: tuple[str, ...]) -> Connection:
    dial = partial(_dial, _uri(path, query), settings)
    engine = create_engine("sqlite://", creator=dial, poolclass=NullPool)
    return engine.connect().execution_options(isolation_level="AUTOCOMMIT")


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


def hang_up(connection: Connection) -> None:
    """Close for good; the last one out writes the log back into the file."""
    connection.close()
    connection.engine.dispose()


def original(error: DBAPIError | sqlite3.Error) -> sqlite3.Error:
    """Get at what the driver raised."""
    found = error.orig if isinstance(error, DBAPIError) else error
    return found if isinstance(found, sqlite3.Error) else sqlite3.Error(str(found))


@contextmanager
def faults_named(path: Path) -> Iterator[None]:
    """Let what the database raises while reading come out as errors a person can read."""
    try:
        yield
    except DatabaseFault as error:
        raise fault(path, original(error)) from error


@contextmanager
def transaction(connection: Connection) -> Iterator[None]:
    """Write all or nothing; the write lock is taken at once, so that it can be waited for."""
    connection.exec_driver_sql("BEGIN IMMEDIATE")
    try:
        yield
        connection.exec_driver_sql("COMMIT")
    except BaseException:
        roll_back(connection)
        raise


def refuse_unwritable(connection: Connection) -> None:
    """Let a write-protected file show itself, by a write that is taken back.

    Asking for the write lock is not enough: on such a file SQLite grants a reading one instead.
    """
    version = pragma(connection, "user_version")
    connection.exec_driver_sql("BEGIN IMMEDIATE")
    try:
        connection.exec_driver_sql(f"PRAGMA user_version = {version}")
    finally:
        roll_back(connection)


def roll_back(connection: Connection) -> None:
    """Undo what is open; SQLite has done it already after some faults."""
    driver: Any = connection.connection.driver_connection
    if driver.in_transaction:
        connection.exec_driver_sql("ROLLBACK")


def pragma(connection: Connection, name: str) -> Any:
    """Read one setting."""
    return connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()


def copy_database(connection: Connection, target: Path) -> None:
    """Copy what a connection sees at this moment into a new file; the way that is always whole."""
    source: Any = connection.connection.driver_connection
    try:
        with closing(sqlite3.connect(target, isolation_level=None)) as copy:
            source.backup(copy)
    except sqlite3.Error as cause:
        raise NotSavedError(target, in_words(cause)) from cause
