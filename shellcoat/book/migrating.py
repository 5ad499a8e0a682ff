"""Migrations: how a book gets its tables, and how an older book is brought up to date."""

from __future__ import annotations

from contextlib import closing
from datetime import datetime
from pathlib import Path
from uuid import UUID

from alembic import command
from alembic.config import Config
from alembic.util import CommandError
from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from shellcoat.book import tables
from shellcoat.book.connection import (
    connect_to_create,
    connect_to_write,
    copy_database,
    transaction,
)
from shellcoat.book.faults import NotSavedError, UpdateFailedError, in_words
from shellcoat.book.folders import backup_folder, free_name, sync_file
from shellcoat.book.opening import looking
from shellcoat.book.writing import Writer, original
from shellcoat.errors import WorldError

SCRIPTS = Path(__file__).parent / "migrations"


class MigrationError(WorldError):
    """A migration that failed and was undone."""


def lay_out(path: Path, book_id: UUID, created_at: datetime) -> None:
    """Make the file of a new book: its tables, and which book it is."""
    with looking(path, connect_to_create) as driver, closing(Writer(driver)) as writer:
        migrate(writer, tables.SCHEMA_VERSION)
        with transaction(driver):
            writer.set_identity(book_id, created_at)


def bring_up_to_date(path: Path) -> None:
    """Migrate an older book after copying it."""
    kept = _copy_before_update(path)
    try:
        with looking(path, connect_to_write) as driver, closing(Writer(driver)) as writer:
            migrate(writer, tables.SCHEMA_VERSION)
    except MigrationError as cause:
        raise UpdateFailedError(path, kept, str(cause)) from cause


def _copy_before_update(path: Path) -> Path:
    name = f"{path.stem} before version {tables.SCHEMA_VERSION}{path.suffix}"
    kept = backup_folder(path) / name
    try:
        kept.parent.mkdir(exist_ok=True)
        kept = free_name(kept)
        with looking(path) as connection:
            copy_database(connection, kept)
        sync_file(kept)
    except OSError as cause:
        raise NotSavedError(kept, str(cause)) from cause
    return kept


def migrate(writer: Writer, version: int) -> None:
    """Bring a book to `version`, all of it or nothing.

    Revisions are named after the version they lead to (0001, 0002 ...). Foreign keys are off
    meanwhile, because remaking a table with them on would delete the rows that refer to it.
    """
    connection = writer.connection
    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(SCRIPTS).replace("%", "%%"))
    connection.exec_driver_sql("PRAGMA foreign_keys = OFF")
    try:
        with transaction(writer.driver):
            command.upgrade(config, f"{version:04}")
            _refuse_broken_references(connection)
            connection.exec_driver_sql(f"PRAGMA application_id = {tables.APPLICATION_ID}")
            connection.exec_driver_sql(f"PRAGMA user_version = {version}")
    except DBAPIError as cause:
        raise MigrationError(in_words(original(cause))) from cause
    except (SQLAlchemyError, CommandError) as cause:
        raise MigrationError(str(cause)) from cause
    finally:
        connection.exec_driver_sql("PRAGMA foreign_keys = ON")


def _refuse_broken_references(connection: Connection) -> None:
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if broken:
        raise MigrationError(f"{len(broken)} rows would refer to rows that are not there")
