"""Photos keep when they were taken by the tablet, beside when the book stored them."""

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"


def upgrade() -> None:
    """Add the moment; of earlier photos none is known. Adding a column leaves the seals of the table in place."""
    op.add_column("photo", sa.Column("taken_at", sa.DateTime(timezone=True), nullable=True))
