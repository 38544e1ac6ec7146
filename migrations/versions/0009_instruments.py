"""The register of instruments with their calibrations, both only ever added to."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0009"
down_revision = "0008"


def upgrade() -> None:
    """Make both tables and seal them."""
    texts = ("method", "measures", "resolution", "permissible_error")
    op.create_table(
        "instrument",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("name", sa.String, nullable=False, unique=True),
        *(sa.Column(name, sa.String, nullable=False) for name in texts),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_table(
        "calibration",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("instrument_id", sa.Integer, sa.ForeignKey("instrument.id"), nullable=False, index=True),
        sa.Column("on", sa.Date, nullable=False),
        sa.Column("due", sa.Date, nullable=False),
        sa.Column("certificate", sa.String, nullable=False),
        sa.Column("error_mm", sa.Text),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
    )
    seal(op.get_bind(), "instrument", "calibration")
