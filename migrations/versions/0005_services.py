"""Routine services: what was found, read and used at a task, and when it was done."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    op.create_table(
        "service",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("machine_id", sa.Integer, sa.ForeignKey("machine.id"), nullable=False),
        *(sa.Column(name, sa.String, nullable=False) for name in ("task", "sheet", "person", "request_id")),
        sa.Column("hours", sa.Text, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("entered_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("is_in_order", sa.Boolean, nullable=False),
        sa.Column("answers", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.UniqueConstraint("request_id"),
    )
    op.create_index("service_of_machine", "service", ["machine_id", "task", "at"])
    seal(op.get_bind(), "service")
