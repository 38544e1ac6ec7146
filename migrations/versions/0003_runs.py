"""Runs of the machines and the baseline of each."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make both tables, and seal them."""
    op.create_table(
        "run",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("machine_id", sa.Integer, sa.ForeignKey("machine.id"), nullable=False),
        sa.Column("overhaul_id", sa.Integer, sa.ForeignKey("overhaul.id")),
        sa.Column("hours", sa.Text, nullable=False),
        sa.Column("unit", sa.String, nullable=False),
        sa.Column("stages", sa.Integer, nullable=False),
        sa.Column("typed", sa.Text, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("request_id", sa.String, nullable=False),
        sa.UniqueConstraint("request_id"),
    )
    op.create_table(
        "baseline",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("machine_id", sa.Integer, sa.ForeignKey("machine.id"), nullable=False),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("run.id"), nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_index("ix_run_machine_id", "run", ["machine_id"])
    op.create_index("ix_run_overhaul_id", "run", ["overhaul_id"])
    op.create_index("ix_baseline_machine_id", "baseline", ["machine_id"])
    seal(op.get_bind(), "run", "baseline")
