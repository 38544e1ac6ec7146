"""The table of tablets that people enrolled, each with the digest of a PIN."""

from datetime import datetime

from sqlmodel import Field, SQLModel


class TabletRow(SQLModel, table=True):
    """A tablet on which one person may open their idle sign-in by a PIN; neither its secret nor the PIN is kept."""

    __tablename__ = "tablet"
    id: int | None = Field(default=None, primary_key=True)
    person_id: int = Field(foreign_key="person.id", index=True)
    name: str
    device_digest: str
    pin_digest: str
    enrolled_at: datetime
    ended_at: datetime | None = None
    ended_by: str | None = None
    why_ended: str | None = None
