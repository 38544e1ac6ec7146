"""Sign-ins name their device and address, so that a person can tell them apart and end one."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add both; of the sign-ins before, neither is known."""
    for name in ("device", "address"):
        op.add_column("sign_in", sa.Column(name, sa.String, nullable=False, server_default=""))
