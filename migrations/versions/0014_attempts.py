"""Wrong passwords, counted where several processes serve the book."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"


def upgrade() -> None:
    """Make the table; the counts are no evidence, and it is not sealed."""
    op.create_table(
        "attempt",
        sa.Column("key", sa.String, primary_key=True),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("last_at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_index("ix_attempt_last_at", "attempt", ["last_at"])
