"""Rules of the site."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Make the table, and seal it."""
    op.create_table(
        "site_rule",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("kind", sa.String, nullable=False),
        sa.Column("words", sa.Text, nullable=False),
        sa.Column("is_in_force", sa.Boolean, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_index("ix_site_rule_kind", "site_rule", ["kind"])
    seal(op.get_bind(), "site_rule")
