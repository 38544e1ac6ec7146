"""Tables of photos; each is only ever added to."""

from datetime import datetime

from sqlalchemy import LargeBinary, Text
from sqlmodel import Field, SQLModel


class PhotoFileRow(SQLModel, table=True):
    """A picture's bytes, found by the digest over them."""

    __tablename__ = "photo_file"
    digest: str = Field(primary_key=True)
    content: bytes = Field(sa_type=LargeBinary)


class PhotoRow(SQLModel, table=True):
    """A photo of a part; `id` is the tablet's identifier, `seq` the order in which it was stored."""

    __tablename__ = "photo"
    seq: int | None = Field(default=None, primary_key=True)
    id: str = Field(unique=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    part: str
    reading: str
    note: str = Field(sa_type=Text)
    digest: str = Field(foreign_key="photo_file.digest")
    sent_digest: str
    width: int
    height: int
    person: str
    at: datetime
    taken_at: datetime | None = None


class PhotoWithdrawalRow(SQLModel, table=True):
    """The withdrawal of a photo."""

    __tablename__ = "photo_withdrawal"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    photo: str = Field(foreign_key="photo.id", unique=True)
    reason: str = Field(sa_type=Text)
    person: str
    at: datetime
