"""Overhauls say where on paper they stood, where they came in from there."""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"


def upgrade() -> None:
    """Add the words; every overhaul before was done in the book. Adding a column leaves the seals of the table."""
    op.add_column("overhaul", sa.Column("paper", sa.String, nullable=False, server_default=""))
