"""The first book: identity, entries, readings, and the triggers that keep them unchanged."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

REFUSE_CHANGE = """
CREATE TRIGGER {table}_no_{change} BEFORE {change} ON {table}
BEGIN SELECT RAISE(ABORT, '{table} is only ever added to'); END
"""

# INSERT OR REPLACE deletes the row in its way without asking the triggers on DELETE, unless
# recursive_triggers is on, which any other program may leave off. So no insert may meet a row.
ENTRIES_GO_AT_THE_END = """
CREATE TRIGGER entry_at_the_end BEFORE INSERT ON entry
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entry)
  OR EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
  OR EXISTS (SELECT 1 FROM entry WHERE hash = NEW.hash)
  OR EXISTS (SELECT 1 FROM entry WHERE replaces = NEW.replaces)
  OR EXISTS (SELECT 1 FROM entry WHERE slot = NEW.slot)
BEGIN SELECT RAISE(ABORT, 'entry is only ever added to'); END
"""
ONE_IDENTITY = """
CREATE TRIGGER book_meta_once BEFORE INSERT ON book_meta
WHEN EXISTS (SELECT 1 FROM book_meta)
BEGIN SELECT RAISE(ABORT, 'book_meta is written once'); END
"""
# The head of a batch goes in after its readings and seals them.
BATCHES_ARE_SEALED = """
CREATE TRIGGER air_reading_sealed BEFORE INSERT ON air_reading
WHEN EXISTS (SELECT 1 FROM entry WHERE seq >= NEW.batch_seq)
BEGIN SELECT RAISE(ABORT, 'the batch is sealed'); END
"""


def upgrade() -> None:
    """Make the tables."""
    _make_book_meta()
    _make_entry()
    _make_air_reading()
    for table in ("book_meta", "entry", "air_reading"):
        for change in ("update", "delete"):
            op.execute(REFUSE_CHANGE.format(table=table, change=change))
    for trigger in (ENTRIES_GO_AT_THE_END, ONE_IDENTITY, BATCHES_ARE_SEALED):
        op.execute(trigger)


def _make_book_meta() -> None:
    op.create_table(
        "book_meta",
        sa.Column("one", sa.Integer, primary_key=True),
        sa.Column("book_id", sa.Text, nullable=False),
        sa.Column("created_at", sa.Integer, nullable=False),
        sa.CheckConstraint("one = 1", name="one_row"),
        sqlite_strict=True,
    )


def _make_entry() -> None:
    op.create_table(
        "entry",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("record_id", sa.Text, nullable=False),
        sa.Column("recorded_at", sa.Integer, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("station", sa.Text, nullable=False),
        sa.Column("replaces", sa.Text, sa.ForeignKey("entry.id"), unique=True),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("slot", sa.Text, unique=True),
        sa.Column("previous_hash", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False, unique=True),
        sa.CheckConstraint("seq >= 1", name="seq_from_one"),
        sa.CheckConstraint("length(hash) = 64", name="hash_length"),
        sa.CheckConstraint("replaces <> id", name="replaces_another"),
        sqlite_strict=True,
    )
    op.create_index("entry_record", "entry", ["record_id"])


def _make_air_reading() -> None:
    op.create_table(
        "air_reading",
        sa.Column(
            "batch_seq",
            sa.Integer,
            sa.ForeignKey("entry.seq", deferrable=True, initially="DEFERRED"),
            nullable=False,
        ),
        sa.Column("at_ms", sa.Integer, nullable=False),
        sa.Column("temp_c", sa.REAL, nullable=False),
        sa.Column("rh", sa.REAL, nullable=False),
        sa.PrimaryKeyConstraint("batch_seq", "at_ms"),
        sa.CheckConstraint("temp_c BETWEEN -30.0 AND 70.0", name="temp_range"),
        sa.CheckConstraint("rh BETWEEN 0.0 AND 1.0", name="rh_range"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
