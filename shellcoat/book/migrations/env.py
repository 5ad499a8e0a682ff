"""Runs the migrations on the connection that the caller opened, inside its transaction."""

from __future__ import annotations

from alembic import context

from shellcoat.book.metadata import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transactional_ddl=False,  # the caller's transaction holds everything
)
context.run_migrations()
