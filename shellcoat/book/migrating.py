"""Migrations: how a book gets its tables, and how an older book is brought up to date."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from shellcoat.book.connection import original, transaction
from shellcoat.book.faults import in_words
from shellcoat.book.tables import APPLICATION_ID
from shellcoat.errors import WorldError

SCRIPTS = Path(__file__).parent / "migrations"


class MigrationError(WorldError):
    """A migration that failed and was undone."""


def migrate(connection: Connection, version: int, scripts: Path | None = None) -> None:
    """Bring a book to `version`, all of it or nothing.

    Revisions are named after the version they lead to (0001, 0002 ...). Foreign keys are off
    meanwhile, because remaking a table with them on would delete the rows that refer to it.
    """
    # Needed only here, and slow to load: an ordinary opening does without.
    from alembic import command
    from alembic.config import Config
    from alembic.util import CommandError

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(scripts or SCRIPTS).replace("%", "%%"))
    connection.exec_driver_sql("PRAGMA foreign_keys = OFF")
    try:
        with transaction(connection):
            command.upgrade(config, f"{version:04}")
            _refuse_broken_references(connection)
            connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
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
