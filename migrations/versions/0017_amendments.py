"""Amendments of what was signed, and the answers to them; both are only ever added to."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0017"
down_revision = "0016"


def upgrade() -> None:
    """Make both tables and seal them."""
    overhaul = {"nullable": False, "index": True}
    op.create_table(
        "amendment",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("overhaul_id", sa.Integer, sa.ForeignKey("overhaul.id"), **overhaul),
        *(sa.Column(name, sa.String, nullable=False) for name in ("part", "reading")),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("what", "old", "new", "amended", "reason")),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_table(
        "amendment_answer",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("overhaul_id", sa.Integer, sa.ForeignKey("overhaul.id"), **overhaul),
        sa.Column("amendment_id", sa.Integer, sa.ForeignKey("amendment.id"), nullable=False, unique=True),
        sa.Column("outcome", sa.String, nullable=False),
        sa.Column("words", sa.Text, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("digest", sa.String, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        *(sa.Column(name, sa.String, nullable=True) for name in ("site_key", "site_signature")),
    )
    seal(op.get_bind(), "amendment", "amendment_answer")
