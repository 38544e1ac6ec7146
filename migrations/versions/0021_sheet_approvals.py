"""Approvals of limit sheets, only ever added to."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0021"
down_revision = "0020"


def upgrade() -> None:
    """Make the table and seal it."""
    op.create_table(
        "sheet_approval",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("sheet_revision_id", sa.Integer, sa.ForeignKey("sheet_revision.id"), nullable=False, index=True),
        *(sa.Column(name, sa.String, nullable=False) for name in ("sheet_digest", "person")),
        sa.Column("picture", sa.String, sa.ForeignKey("photo_file.digest"), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("digest", sa.String, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        *(sa.Column(name, sa.String, nullable=True) for name in ("site_key", "site_signature")),
    )
    seal(op.get_bind(), "sheet_approval")
