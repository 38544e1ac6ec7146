"""Readings keep why they put another one right."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"


def upgrade() -> None:
    """Add the reason; of earlier corrections none is known. Adding a column leaves the seals of the table in place."""
    op.add_column("reading", sa.Column("correction", sa.Text, nullable=False, server_default=""))
