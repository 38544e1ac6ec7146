"""Bundles from other books, and the records in them."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0018"
down_revision = "0017"


def texts(*names: str) -> list[sa.Column[str]]:
    """Texts that are always there."""
    return [sa.Column(name, sa.String, nullable=False) for name in names]


def upgrade() -> None:
    """Make the tables, and seal them."""
    op.create_table(
        "foreign_file",
        sa.Column("digest", sa.String, primary_key=True),
        sa.Column("content", sa.LargeBinary, nullable=False),
    )
    op.create_table(
        "foreign_bundle",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("digest", sa.String, sa.ForeignKey("foreign_file.digest"), nullable=False),
        *texts("site", "scope", "made_at", "made_by"),
        sa.Column("head_seq", sa.Integer, nullable=False),
        *texts("head_digest", "person"),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.UniqueConstraint("digest"),
    )
    op.create_table(
        "foreign_record",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("bundle_id", sa.Integer, sa.ForeignKey("foreign_bundle.id"), nullable=False),
        *texts("site", "tag"),
        *(sa.Column(name, sa.Integer, nullable=False) for name in ("number", "overhaul_id")),
        *texts("digest"),
    )
    op.create_index("ix_foreign_record_bundle_id", "foreign_record", ["bundle_id"])
    op.create_index("ix_foreign_record_site", "foreign_record", ["site"])
    seal(op.get_bind(), "foreign_file", "foreign_bundle", "foreign_record")
