"""Tables of people, limit sheets, machines and overhauls, and of the chain of entries."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import Insert, Select, Table, Text, UniqueConstraint, bindparam, insert, select
from sqlmodel import Field, Index, Session, SQLModel

from app.store.decimals import DecimalText
from app.store.together import by_overhaul, once, read_with


class PersonRow(SQLModel, table=True):
    """A person with their role and the digest of their password."""

    __tablename__ = "person"
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    role: str
    password_digest: str
    is_active: bool
    created: datetime


class SignInRow(SQLModel, table=True):
    """A sign-in, found by the digest of its token; the token itself is never kept."""

    __tablename__ = "sign_in"
    token_digest: str = Field(primary_key=True)
    person_id: int = Field(foreign_key="person.id", index=True)
    created_at: datetime
    last_seen: datetime
    ended_at: datetime | None = None
    device: str = ""
    address: str = ""
    wrong_pins: int = Field(default=0, sa_column_kwargs={"server_default": "0"})


class AttemptRow(SQLModel, table=True):
    """How often a wrong password was typed, by a digest over the name and the place."""

    __tablename__ = "attempt"
    key: str = Field(primary_key=True)
    number: int
    last_at: datetime = Field(index=True)


class PreferenceRow(SQLModel, table=True):
    """What one person chose for their own pages."""

    __tablename__ = "preference"
    person_id: int = Field(foreign_key="person.id", primary_key=True)
    key: str = Field(primary_key=True)
    value: str


class SheetRevisionRow(SQLModel, table=True):
    """One revision of a limit sheet, as it was imported."""

    __tablename__ = "sheet_revision"
    __table_args__ = (UniqueConstraint("name", "revision"),)
    id: int | None = Field(default=None, primary_key=True)
    name: str
    revision: str
    machine_type: str
    text: str = Field(sa_type=Text)
    digest: str
    imported_at: datetime
    imported_by: str
    warnings_accepted_by: str


class MachineRow(SQLModel, table=True):
    """A machine: the place by its tag, the iron by its serial number."""

    __tablename__ = "machine"
    id: int | None = Field(default=None, primary_key=True)
    tag: str = Field(unique=True)
    serial: str
    name: str
    site: str
    sheet_name: str
    added_at: datetime


class MeterReadingRow(SQLModel, table=True):
    """Operating hours of a machine."""

    __tablename__ = "meter_reading"
    __table_args__ = (Index("meter_reading_of_machine", "machine_id", "read_at"),)
    id: int | None = Field(default=None, primary_key=True)
    machine_id: int = Field(foreign_key="machine.id")
    hours: Decimal = Field(sa_type=DecimalText)
    read_at: datetime
    person: str
    shown: Decimal | None = Field(default=None, sa_type=DecimalText)
    is_new_meter: bool = Field(default=False, sa_column_kwargs={"server_default": "0"})
    source: str = Field(default="", sa_column_kwargs={"server_default": ""})
    entered_at: datetime | None = None


class MeterStrikeRow(SQLModel, table=True):
    """A meter reading that counts no longer, since it was misread; the reading itself stays."""

    __tablename__ = "meter_strike"
    id: int | None = Field(default=None, primary_key=True)
    meter_reading_id: int = Field(foreign_key="meter_reading.id", unique=True)
    reason: str
    person: str
    at: datetime


class TokenRow(SQLModel, table=True):
    """A secret that lets a program in, found by its digest; the secret itself is never kept."""

    __tablename__ = "token"
    id: int | None = Field(default=None, primary_key=True)
    kind: str
    token_digest: str = Field(unique=True)
    name: str
    machine_id: int | None = Field(default=None, foreign_key="machine.id")
    person_id: int | None = Field(default=None, foreign_key="person.id")
    made_by: str
    made_at: datetime
    ended_at: datetime | None = None


class OverhaulRow(SQLModel, table=True):
    """An overhaul with the sheet revision it is judged by; the request opens it once however often it is sent."""

    __tablename__ = "overhaul"
    __table_args__ = (UniqueConstraint("machine_id", "number"),)
    id: int | None = Field(default=None, primary_key=True)
    machine_id: int = Field(foreign_key="machine.id")
    number: int
    sheet_revision_id: int = Field(foreign_key="sheet_revision.id", index=True)
    stages: str
    has_rings: bool
    hours: Decimal = Field(sa_type=DecimalText)
    opened_at: datetime
    opened_by: str
    request_id: str = Field(unique=True)
    paper: str = Field(default="", sa_column_kwargs={"server_default": ""})


class EntryRow(SQLModel, table=True):
    """One link of the chain; its moment is text, since the digest is taken over the very text."""

    __tablename__ = "entry"
    seq: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    at: str
    person: str
    what: str
    subject: str = Field(index=True)
    old: str = Field(sa_type=Text)
    new: str = Field(sa_type=Text)
    why: str = Field(sa_type=Text)
    previous: str
    digest: str


@cache
def table_of(row: type[SQLModel]) -> Table:
    """Give the table of a row class, for statements that need no objects."""
    table: Any = row.__tablename__
    return SQLModel.metadata.tables[table]


@cache
def insert_into(row: type[SQLModel]) -> Insert:
    """Give the statement that adds to a table, made once."""
    return insert(table_of(row))


@cache
def _of_overhaul(row: type[SQLModel], but: str, is_one: bool) -> Select[Any]:
    """Give the statement that reads a table's rows under one overhaul or several in the order they came, made once."""
    table = table_of(row)
    columns = (each for each in table.c if each.name != but)
    of = table.c.overhaul_id
    is_of = of == bindparam("overhaul") if is_one else of.in_(bindparam("overhauls", expanding=True))
    return select(*columns).where(is_of).order_by(*table.primary_key)


def rows_of_overhaul(session: Session, row: type[SQLModel], overhaul_id: int, but: str = "") -> Sequence[Any]:
    """List a table's rows under an overhaul as columns, all of them but one where it is named."""
    connection, overhauls = session.connection(), read_with(session, overhaul_id)
    if not overhauls:
        return connection.execute(_of_overhaul(row, but, True), {"overhaul": overhaul_id}).all()
    asked = _of_overhaul(row, but, False), {"overhauls": overhauls}
    return once(session, (row, but), lambda: by_overhaul(connection.execute(*asked).all())).get(overhaul_id, [])
