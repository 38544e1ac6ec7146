"""Readings say whether they are a second look, which stands beside another reading."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Add the mark; every reading before was a first one. Adding a column leaves the seals of the table in place."""
    op.add_column("reading", sa.Column("is_second_look", sa.Boolean, nullable=False, server_default=sa.false()))
