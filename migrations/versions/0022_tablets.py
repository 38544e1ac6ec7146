"""Tablets enrolled for a PIN, and how many wrong ones a sign-in has seen."""

import sqlalchemy as sa
from alembic import op

revision = "0022"
down_revision = "0021"


def upgrade() -> None:
    """Make the table, and count in every sign-in from nought."""
    op.create_table(
        "tablet",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("person_id", sa.Integer, sa.ForeignKey("person.id"), nullable=False, index=True),
        *(sa.Column(name, sa.String, nullable=False) for name in ("name", "device_digest", "pin_digest")),
        sa.Column("enrolled_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        *(sa.Column(name, sa.String, nullable=True) for name in ("ended_by", "why_ended")),
    )
    op.add_column("sign_in", sa.Column("wrong_pins", sa.Integer, nullable=False, server_default="0"))
