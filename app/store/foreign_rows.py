"""Tables of bundles from other books, kept as they came and never mixed with what is entered here."""

from datetime import datetime

from sqlalchemy import LargeBinary
from sqlmodel import Field, SQLModel


class ForeignFileRow(SQLModel, table=True):
    """A bundle's bytes, found by the digest over them."""

    __tablename__ = "foreign_file"
    digest: str = Field(primary_key=True)
    content: bytes = Field(sa_type=LargeBinary)


class ForeignBundleRow(SQLModel, table=True):
    """A bundle: what it says of itself, and who brought it in when."""

    __tablename__ = "foreign_bundle"
    id: int | None = Field(default=None, primary_key=True)
    digest: str = Field(foreign_key="foreign_file.digest", unique=True)
    site: str
    scope: str
    made_at: str
    made_by: str
    head_seq: int
    head_digest: str
    person: str
    at: datetime


class ForeignRecordRow(SQLModel, table=True):
    """A record in a bundle, by the digest over its machine, sheet and content; a later state is another row."""

    __tablename__ = "foreign_record"
    id: int | None = Field(default=None, primary_key=True)
    bundle_id: int = Field(foreign_key="foreign_bundle.id", index=True)
    site: str = Field(index=True)
    tag: str
    number: int
    overhaul_id: int
    digest: str


class KnownSiteRow(SQLModel, table=True):
    """A key of another site, marked as known here or as no longer known; the last mark of a key counts."""

    __tablename__ = "known_site"
    id: int | None = Field(default=None, primary_key=True)
    fingerprint: str
    name: str
    is_known: bool
    person: str
    at: datetime
