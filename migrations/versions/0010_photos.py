"""Photos of parts, their pictures by digest, and withdrawals."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0010"
down_revision = "0009"


def upgrade() -> None:
    """Make the tables, and seal them."""
    op.create_table(
        "photo_file",
        sa.Column("digest", sa.String, primary_key=True),
        sa.Column("content", sa.LargeBinary, nullable=False),
    )
    op.create_table(
        "photo",
        sa.Column("seq", sa.Integer, primary_key=True),
        sa.Column("id", sa.String, nullable=False),
        sa.Column("overhaul_id", sa.Integer, sa.ForeignKey("overhaul.id"), nullable=False),
        *(sa.Column(name, sa.String, nullable=False) for name in ("part", "reading", "sent_digest", "person")),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("digest", sa.String, sa.ForeignKey("photo_file.digest"), nullable=False),
        *(sa.Column(name, sa.Integer, nullable=False) for name in ("width", "height")),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.UniqueConstraint("id"),
    )
    op.create_table(
        "photo_withdrawal",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("overhaul_id", sa.Integer, sa.ForeignKey("overhaul.id"), nullable=False),
        sa.Column("photo", sa.String, sa.ForeignKey("photo.id"), nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.UniqueConstraint("photo"),
    )
    for table in ("photo", "photo_withdrawal"):
        op.create_index(f"ix_{table}_overhaul_id", table, ["overhaul_id"])
    seal(op.get_bind(), "photo_file", "photo", "photo_withdrawal")
