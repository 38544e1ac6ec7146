"""Rows of the site's key: which keys signed for the site, one after another, and the heads of the chain they signed."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field, SQLModel


class SiteKeyRow(SQLModel, table=True):
    """A key that signs for the site from its entry on; a later one says why it took over."""

    __tablename__ = "site_key"
    id: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    public_key: str
    fingerprint: str
    reason: str = Field(sa_type=Text)
    at: datetime
    site_key: str = ""  # the key before, which signed that this one takes over; empty where it could not
    site_signature: str = ""


class SignedHeadRow(SQLModel, table=True):
    """Where the chain stood at a moment, signed; it has no entry, since it stands for all of them.

    Heads are counted, and the number is signed too, so that one that was taken out shows.
    """

    __tablename__ = "signed_head"
    id: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    seq: int
    digest: str
    at: datetime
    site_key: str
    site_signature: str
