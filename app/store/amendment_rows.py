"""Rows of amendments: each proposed once, and answered once."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field, SQLModel


class AmendmentRow(SQLModel, table=True):
    """A correction of what was signed, as it was proposed."""

    __tablename__ = "amendment"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    part: str
    reading: str
    what: str = Field(sa_type=Text)
    old: str = Field(sa_type=Text)
    new: str = Field(sa_type=Text)
    amended: str = Field(sa_type=Text)  # JSON: the fields of the reading as they are to be read
    reason: str = Field(sa_type=Text)
    person: str
    at: datetime


class AmendmentAnswerRow(SQLModel, table=True):
    """The signature under an amendment, or why it was declined, with the very content that was signed."""

    __tablename__ = "amendment_answer"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    amendment_id: int = Field(foreign_key="amendment.id", unique=True)
    outcome: str
    words: str = Field(sa_type=Text)
    person: str
    at: datetime
    digest: str
    content: str = Field(sa_type=Text)
    site_key: str | None = None
    site_signature: str | None = None
