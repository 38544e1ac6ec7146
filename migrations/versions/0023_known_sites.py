"""Keys of other sites that somebody here has marked as known, only ever added to."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0023"
down_revision = "0022"


def upgrade() -> None:
    """Make the table and seal it."""
    op.create_table(
        "known_site",
        sa.Column("id", sa.Integer, primary_key=True),
        *(sa.Column(name, sa.String, nullable=False) for name in ("fingerprint", "name")),
        sa.Column("is_known", sa.Boolean, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
    )
    seal(op.get_bind(), "known_site")
