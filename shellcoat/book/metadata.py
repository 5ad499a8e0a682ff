"""The tables of a book for SQLAlchemy, which writes them; `tables` has them for reading.

The same tables serve SQLite now and PostgreSQL later: types name what is meant and narrow
themselves for SQLite, whose STRICT tables know only INTEGER, REAL and TEXT. Rows are plain
tuples; a journal that is only ever added to has no use for tracked objects. The triggers that
refuse every change are written out in the migrations.
"""

from __future__ import annotations

from sqlalchemy import (
    REAL,
    BigInteger,
    CheckConstraint,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
)
from sqlalchemy.types import TypeEngine

WholeNumber: TypeEngine[int] = BigInteger().with_variant(Integer(), "sqlite")
Number: TypeEngine[float] = Double().with_variant(REAL(), "sqlite")

metadata = MetaData()

book_meta = Table(
    "book_meta",
    metadata,
    Column("one", WholeNumber, primary_key=True),
    Column("book_id", Text, nullable=False),
    Column("created_at", WholeNumber, nullable=False),  # microseconds since 1970, UTC
    CheckConstraint("one = 1", name="one_row"),
    sqlite_strict=True,
)

entry = Table(
    "entry",
    metadata,
    Column("seq", WholeNumber, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("record_id", Text, nullable=False),
    Column("recorded_at", WholeNumber, nullable=False),  # microseconds since 1970, UTC
    Column("who", Text, nullable=False),
    Column("station", Text, nullable=False),
    Column("replaces", Text, ForeignKey("entry.id"), unique=True),
    Column("reason", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("slot", Text, unique=True),
    Column("previous_hash", Text, nullable=False),
    Column("hash", Text, nullable=False, unique=True),
    CheckConstraint("seq >= 1", name="seq_from_one"),
    CheckConstraint("length(hash) = 64", name="hash_length"),
    CheckConstraint("replaces <> id", name="replaces_another"),
    Index("entry_record", "record_id"),
    sqlite_strict=True,
)

air_reading = Table(
    "air_reading",
    metadata,
    # The readings go in before the head of their batch, which then seals it; hence deferred.
    Column(
        "batch_seq",
        WholeNumber,
        ForeignKey("entry.seq", deferrable=True, initially="DEFERRED"),
        nullable=False,
    ),
    Column("at_ms", WholeNumber, nullable=False),  # milliseconds since 1970, UTC
    Column("temp_c", Number, nullable=False),
    Column("rh", Number, nullable=False),
    PrimaryKeyConstraint("batch_seq", "at_ms"),
    CheckConstraint("temp_c BETWEEN -30.0 AND 70.0", name="temp_range"),
    CheckConstraint("rh BETWEEN 0.0 AND 1.0", name="rh_range"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)

picture = Table(
    "picture",
    metadata,
    Column("sha256", Text, primary_key=True),
    Column("data", LargeBinary, nullable=False),
    CheckConstraint("length(sha256) = 64", name="digest_length"),
    CheckConstraint("length(data) BETWEEN 1 AND 1048576", name="picture_size"),
    sqlite_strict=True,
)
