"""Meters that are changed or misread, and the tokens by which programs come in."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    op.add_column("meter_reading", sa.Column("shown", sa.Text))
    op.add_column("meter_reading", sa.Column("is_new_meter", sa.Boolean, nullable=False, server_default="0"))
    op.add_column("meter_reading", sa.Column("source", sa.String, nullable=False, server_default=""))
    op.add_column("meter_reading", sa.Column("entered_at", sa.DateTime(timezone=True)))
    op.create_table(
        "meter_strike",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("meter_reading_id", sa.Integer, sa.ForeignKey("meter_reading.id"), nullable=False),
        sa.Column("reason", sa.String, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.UniqueConstraint("meter_reading_id"),
    )
    seal(op.get_bind(), "meter_strike")
    op.create_table(
        "token",
        sa.Column("id", sa.Integer, primary_key=True),
        *(sa.Column(name, sa.String, nullable=False) for name in ("kind", "token_digest", "name", "made_by")),
        sa.Column("machine_id", sa.Integer, sa.ForeignKey("machine.id")),
        sa.Column("person_id", sa.Integer, sa.ForeignKey("person.id")),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True)),
        sa.UniqueConstraint("token_digest"),
    )
