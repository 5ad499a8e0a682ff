"""Pictures: the bytes of photos, each known by its SHA-256 and kept once."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

REFUSE_CHANGE = """
CREATE TRIGGER picture_no_{change} BEFORE {change} ON picture
BEGIN SELECT RAISE(ABORT, 'picture is only ever added to'); END
"""

# As with entries: no insert may meet a row, or REPLACE would delete it past the trigger.
KEPT_ONCE = """
CREATE TRIGGER picture_once BEFORE INSERT ON picture
WHEN EXISTS (SELECT 1 FROM picture WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE(ABORT, 'picture is only ever added to'); END
"""


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "picture",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sa.CheckConstraint("length(sha256) = 64", name="digest_length"),
        sa.CheckConstraint("length(data) BETWEEN 1 AND 1048576", name="picture_size"),
        sqlite_strict=True,
    )
    for change in ("update", "delete"):
        op.execute(REFUSE_CHANGE.format(change=change))
    op.execute(KEPT_ONCE)
