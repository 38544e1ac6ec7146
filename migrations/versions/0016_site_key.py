"""The site's key, the heads of the chain that it signs, and its signature beside each signature of a person."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0016"
down_revision = "0015"


def upgrade() -> None:
    """Add the tables, sealed, and the columns, which are empty for what was signed before there was a key."""
    op.create_table(
        "site_key",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("public_key", sa.String, nullable=False),
        sa.Column("fingerprint", sa.String, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("site_key", sa.String, nullable=False),
        sa.Column("site_signature", sa.String, nullable=False),
    )
    op.create_table(
        "signed_head",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("digest", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("site_key", sa.String, nullable=False),
        sa.Column("site_signature", sa.String, nullable=False),
    )
    for name in ("site_key", "site_signature"):
        op.add_column("signature", sa.Column(name, sa.String, nullable=True))
    seal(op.get_bind(), "site_key", "signed_head")
