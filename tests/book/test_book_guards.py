"""Nothing kept can be changed, not even by somebody with a database program."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from book_builders import full_book

from shellcoat.book import Book
from shellcoat.book.connection import pragma
from shellcoat.book.tables import APPLICATION_ID, SCHEMA_VERSION

ROW_OF_ENTRY = (
    "SELECT {seq}, {id}, kind, record_id, recorded_at, 'Mallory', station, {replaces}, reason, "
    "body, {slot}, previous_hash, {hash} FROM entry WHERE seq = {source}"
)
NEW = {"seq": "11", "id": "'new'", "replaces": "NULL", "slot": "NULL"}
NEW_HASH = "'" + "0" * 64 + "'"
SHORT, ITSELF, NOTHING = "'short'", "'new'", "NULL"


@pytest.fixture(params=[0, 1], ids=["recursive triggers off", "recursive triggers on"])
def stranger(path: Path, request: pytest.FixtureRequest) -> Iterator[sqlite3.Connection]:
    """Another program with the file open, whatever settings it likes."""
    full_book(path).close()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(f"PRAGMA recursive_triggers = {request.param}")
        yield connection


def content(connection: sqlite3.Connection) -> list[list[tuple[object, ...]]]:
    tables = ("book_meta", "entry", "air_reading")
    return [connection.execute(f"SELECT * FROM {table}").fetchall() for table in tables]  # noqa: S608


def entry_row(source: int, **columns: str) -> str:
    return ROW_OF_ENTRY.format(source=source, **(NEW | {"hash": NEW_HASH} | columns))


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET who = 'Mallory' WHERE seq = 5",
        "UPDATE OR REPLACE entry SET seq = 1 WHERE seq = 5",
        "DELETE FROM entry WHERE seq = 5",
        "DELETE FROM entry",
        "UPDATE air_reading SET temp_c = 0.0",
        "DELETE FROM air_reading",
        "UPDATE book_meta SET book_id = 'mine'",
        "DELETE FROM book_meta",
        "INSERT INTO book_meta VALUES (1, 'mine', 0)",
        "INSERT OR REPLACE INTO book_meta VALUES (1, 'mine', 0)",
        # The hole: REPLACE deletes the row in its way without asking the triggers on DELETE.
        f"INSERT OR REPLACE INTO entry {entry_row(5, seq='5')}",
        f"INSERT OR REPLACE INTO entry {entry_row(5, id='id')}",
        f"INSERT OR REPLACE INTO entry {entry_row(5, slot='slot')}",
        f"INSERT OR REPLACE INTO entry {entry_row(5, hash='hash')}",
        f"INSERT OR REPLACE INTO entry {entry_row(7, replaces='replaces')}",
        f"INSERT OR IGNORE INTO entry {entry_row(5, seq='5')}",
        f"INSERT INTO entry {entry_row(5, seq='5')} ON CONFLICT DO UPDATE SET who = 'Mallory'",
        f"INSERT INTO entry {entry_row(5, seq='40')}",
        "INSERT OR REPLACE INTO air_reading SELECT batch_seq, at_ms, 0.0, rh FROM air_reading",
        "INSERT INTO air_reading SELECT batch_seq, at_ms + 1, 0.0, rh FROM air_reading",
        "INSERT INTO air_reading VALUES (1, 0, 20.0, 0.5)",
    ],
)
def test_what_is_kept_stays(stranger: sqlite3.Connection, statement: str) -> None:
    before = content(stranger)
    with pytest.raises(sqlite3.IntegrityError, match=r"only ever added to|written once|sealed"):
        stranger.execute(statement)
    assert content(stranger) == before


@pytest.mark.parametrize(
    ("statement", "named"),
    [
        ("INSERT INTO air_reading VALUES (11, 0, 70.1, 0.5)", "temp_range"),
        ("INSERT INTO air_reading VALUES (11, 0, 20.0, 50.0)", "rh_range"),
        ("INSERT INTO air_reading VALUES (11, 0, 'warm', 0.5)", "cannot store TEXT"),
        ("INSERT INTO air_reading VALUES (11, 0, NULL, 0.5)", "NOT NULL"),
        (f"INSERT INTO entry {entry_row(5, hash=SHORT)}", "hash_length"),
        (f"INSERT INTO entry {entry_row(5, replaces=ITSELF)}", "replaces_another"),
        (f"INSERT INTO entry {entry_row(5, id=NOTHING)}", "NOT NULL"),
    ],
)
def test_tables_take_only_what_they_are_for(
    stranger: sqlite3.Connection, statement: str, named: str
) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=named):
        stranger.execute(statement)


def test_every_table_of_ours_is_strict(stranger: sqlite3.Connection) -> None:
    rows = stranger.execute("SELECT name, strict, wr FROM pragma_table_list").fetchall()
    ours = {name: (strict, wr) for name, strict, wr in rows if not name.startswith("sqlite_")}
    ours.pop("alembic_version")
    assert ours == {
        "book_meta": (1, 0),
        "entry": (1, 0),
        "air_reading": (1, 1),
        "picture": (1, 0),
    }


def test_a_commit_that_was_confirmed_survives_a_power_cut(book: Book) -> None:
    settings = {
        "journal_mode": "wal",
        "synchronous": 2,  # FULL
        "foreign_keys": 1,
        "recursive_triggers": 1,
        "trusted_schema": 0,
        "cell_size_check": 1,
        "busy_timeout": 5000,
        "application_id": APPLICATION_ID,
        "user_version": SCHEMA_VERSION,
    }
    connection = book._file.live()
    assert {name: pragma(connection, name) for name in settings} == settings
    # Builds without memory mapping answer with no row at all.
    assert connection.execute("PRAGMA mmap_size").fetchone() in {(0,), None}
