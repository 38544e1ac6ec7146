"""Witnesses of signatures, only ever added to."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0020"
down_revision = "0019"


def upgrade() -> None:
    """Make the table and seal it."""
    op.create_table(
        "witness",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("overhaul_id", sa.Integer, sa.ForeignKey("overhaul.id"), nullable=False, index=True),
        *(sa.Column(name, sa.String, nullable=False) for name in ("meaning", "of_digest", "name", "body", "person")),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("digest", sa.String, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        *(sa.Column(name, sa.String, nullable=True) for name in ("site_key", "site_signature")),
    )
    seal(op.get_bind(), "witness")
