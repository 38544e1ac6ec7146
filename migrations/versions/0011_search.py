"""The words of every entry and the index by which they are found; worked out from the chain, so not sealed."""

import sqlalchemy as sa
from alembic import op

from app.store.search import make_index

revision = "0011"
down_revision = "0010"


def upgrade() -> None:
    """Make table and index, and fill them with the entries that are there."""
    op.create_table(
        "entry_words",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("words", sa.Text, nullable=False),
    )
    make_index(op.get_bind())
