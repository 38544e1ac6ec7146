"""The index of words made anew, so that amendments, witnesses and restores from before it told of them are found."""

from alembic import op

from app.store.search import make_index_again

revision = "0024"
down_revision = "0023"


def upgrade() -> None:
    """Make it from the chain."""
    make_index_again(op.get_bind())
