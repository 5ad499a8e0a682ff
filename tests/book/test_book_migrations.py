"""Migrations: from the first version on, all or nothing, after a backup."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from book_builders import SHELL, a_coat, an_entry, full_book

from shellcoat.book import Book, metadata, migrating, open_book, tables
from shellcoat.book.connection import pragma
from shellcoat.book.faults import OlderBookError, UpdateFailedError
from shellcoat.book.folders import backup_folder

NEXT = '''
"""A later version, as it might come."""
from alembic import op
import sqlalchemy as sa

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade():
    op.create_table("kiln_log", sa.Column("entry_id", sa.Text, sa.ForeignKey("entry.id")))
    {step}
'''
ORPHAN = "op.execute(\"INSERT INTO kiln_log VALUES ('nobody')\")"
NONSENSE = 'op.execute("ALTER TABLE kiln ADD COLUMN x")'


@pytest.fixture
def later_version(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> object:
    """Put a program of version 3 in place, whose migration takes one more step."""

    def put(step: str = "pass") -> None:
        scripts = tmp_path / "100% scripts"
        shutil.copytree(migrating.SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__"))
        (scripts / "versions" / "0003_kiln_log.py").write_text(NEXT.format(step=step))
        monkeypatch.setattr(migrating, "SCRIPTS", scripts)
        monkeypatch.setattr(tables, "SCHEMA_VERSION", 3)

    return put


def content(path: Path) -> list[str]:
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection:
        return [*connection.iterdump(), str(connection.execute("PRAGMA user_version").fetchone())]


def test_the_version_is_that_of_the_last_migration() -> None:
    config = Config()
    config.set_main_option("script_location", str(migrating.SCRIPTS))
    scripts = ScriptDirectory.from_config(config)
    assert scripts.get_current_head() == f"{tables.SCHEMA_VERSION:04}"
    assert {int(script.revision) for script in scripts.walk_revisions()} == set(
        range(1, tables.SCHEMA_VERSION + 1)
    )


def test_the_migrations_make_the_tables_the_program_works_with(book: Book) -> None:
    connection = book._file.writer().connection
    context = MigrationContext.configure(connection, opts={"compare_type": True})
    assert compare_metadata(context, metadata.metadata) == []
    checks = connection.exec_driver_sql("SELECT sql FROM sqlite_master WHERE type = 'table'")
    text = " ".join(checks.scalars())
    for table in metadata.metadata.tables.values():
        for constraint in table.constraints:
            if constraint.name and "sqltext" in vars(constraint):
                assert f"CONSTRAINT {constraint.name} CHECK ({constraint.sqltext})" in text


def test_the_guards_are_those_the_check_looks_for(book: Book) -> None:
    names = book._file.live().execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    assert {name for (name,) in names} == tables.GUARDS


@pytest.mark.parametrize(
    ("row", "table"),
    [
        (tables.EntryRow, metadata.entry),
        (tables.IdentityRow, metadata.book_meta),
        (tables.ReadingRow, metadata.air_reading),
        (tables.PictureRow, metadata.picture),
    ],
    ids=["entry", "book_meta", "air_reading", "picture"],
)
def test_rows_are_read_as_the_tables_are_written(row: type[Any], table: sa.Table) -> None:
    """Plain SQL reads what SQLAlchemy writes: the same columns in the same order and kind."""
    told = [
        (name, kind if type(kind) is type else get_args(kind)[0], type(None) in get_args(kind))
        for name, kind in get_type_hints(row).items()
    ]
    assert told == [
        (column.name, column.type.python_type, bool(column.nullable)) for column in table.columns
    ]


def test_an_older_book_is_backed_up_and_brought_up_to_date(
    path: Path, later_version: object
) -> None:
    full_book(path).close()
    before = content(path)
    later_version()
    with open_book(path) as book:
        assert pragma(book._file.live(), "user_version") == 3
        assert pragma(book._file.live(), "foreign_keys") == 1
        book.append([an_entry(a_coat(30), 30)])
        assert len(book.ledger.coats(SHELL)) == 2
    kept = backup_folder(path) / f"{path.stem} before version 3.shellbook"
    assert content(kept) == before
    with open_book(path) as again:
        assert len(again.ledger.coats(SHELL)) == 2
    assert len(list(backup_folder(path).glob("*.shellbook"))) == 1


def test_the_backup_holds_what_a_killed_program_left_in_the_log(
    path: Path, later_version: object
) -> None:
    killed = path.with_name("killed.shellbook")
    entry = an_entry(a_coat(20), 20)
    with full_book(path) as book:
        book.append([entry])
        for suffix in ("", "-wal", "-shm"):
            shutil.copyfile(f"{path}{suffix}", f"{killed}{suffix}")
    later_version()
    with open_book(killed) as found:
        assert entry.id in found.ledger.entries
    kept = backup_folder(killed) / "killed before version 3.shellbook"
    assert any(str(entry.id) in line for line in content(kept))


@pytest.mark.parametrize(
    ("step", "named"), [(ORPHAN, "1 rows would refer to rows"), (NONSENSE, "no such table")]
)
def test_a_migration_that_fails_leaves_the_book_as_it_was(
    path: Path, later_version: object, step: str, named: str
) -> None:
    full_book(path).close()
    before = content(path)
    later_version(step)
    with pytest.raises(UpdateFailedError, match=named) as refused:
        open_book(path)
    kept = backup_folder(path) / f"{path.stem} before version 3.shellbook"
    assert str(kept) in str(refused.value)
    assert content(path) == before == content(kept)


def test_a_bug_in_a_migration_leaves_the_book_as_it_was(path: Path, later_version: object) -> None:
    full_book(path).close()
    before = content(path)
    later_version("1 / 0")
    with pytest.raises(ZeroDivisionError):
        open_book(path)
    assert content(path) == before


def test_an_older_book_is_not_changed_by_reading(path: Path, later_version: object) -> None:
    full_book(path).close()
    later_version()
    with pytest.raises(OlderBookError, match="Open it once for writing"):
        open_book(path, read_only=True)
    assert not backup_folder(path).exists()
