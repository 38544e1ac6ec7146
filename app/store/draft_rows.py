"""Table of limit sheets in the making: working material, which is no evidence and has no entry in the chain."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field, SQLModel


class SheetDraftRow(SQLModel, table=True):
    """A limit sheet in the making; the version counts its changes, so that a stale form shows."""

    __tablename__ = "sheet_draft"
    id: int | None = Field(default=None, primary_key=True)
    title: str
    text: str = Field(sa_type=Text)
    version: int
    changed_by: str
    changed_at: datetime
    approved_as: str
