"""Runs the migrations on the connection that the book hands over, within its transaction."""

from alembic import context
from sqlmodel import SQLModel

from app.store import (
    amendment_rows,
    draft_rows,
    fact_rows,
    foreign_rows,
    instrument_rows,
    rows,
    running_rows,
    search,
    service_rows,
    sheet_approvals,
    site_rows,
    stock_rows,
    tablet_rows,
    witnesses,
)

# Importing them is what fills the metadata.
TABLES_OF = (
    amendment_rows,
    draft_rows,
    fact_rows,
    foreign_rows,
    instrument_rows,
    rows,
    running_rows,
    search,
    service_rows,
    sheet_approvals,
    site_rows,
    stock_rows,
    tablet_rows,
    witnesses,
)

context.configure(connection=context.config.attributes["connection"], target_metadata=SQLModel.metadata)
with context.begin_transaction():
    context.run_migrations()
