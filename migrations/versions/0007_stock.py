"""The parts on hand, by part number."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Make the table, and seal it."""
    op.create_table(
        "stock",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("number", sa.String, nullable=False),
        sa.Column("on_hand", sa.Integer, nullable=False),
        sa.Column("best_before", sa.Date),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_index("ix_stock_number", "stock", ["number"])
    seal(op.get_bind(), "stock")
