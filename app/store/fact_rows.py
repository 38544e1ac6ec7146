"""Tables of everything entered in an overhaul; each is only ever added to."""

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import Text
from sqlmodel import Field, Index, SQLModel

from app.store.decimals import DecimalText
from app.store.moments import Moment


class ReadingRow(SQLModel, table=True):
    """One reading as written; `id` is the tablet's identifier, `seq` the order in which it was stored."""

    __tablename__ = "reading"
    __table_args__ = (Index("reading_of_part", "overhaul_id", "part", "characteristic"),)
    seq: int | None = Field(default=None, primary_key=True)
    id: str = Field(unique=True)
    overhaul_id: int = Field(foreign_key="overhaul.id")
    part: str
    characteristic: str
    level: str
    axis: str
    occasion: str
    kind: str
    measured_by: str
    entered_by: str
    measured_at: datetime = Field(sa_type=Moment)
    stored_at: datetime = Field(sa_type=Moment)
    value_typed: str | None = None
    value: Decimal | None = Field(default=None, sa_type=DecimalText)
    value_unit: str | None = None
    goes_typed: str | None = None
    goes: Decimal | None = Field(default=None, sa_type=DecimalText)
    goes_unit: str | None = None
    does_not_go_typed: str | None = None
    does_not_go: Decimal | None = Field(default=None, sa_type=DecimalText)
    does_not_go_unit: str | None = None
    set_size_typed: str | None = None
    set_size: Decimal | None = Field(default=None, sa_type=DecimalText)
    set_size_unit: str | None = None
    findings: str = Field(sa_type=Text)
    reason: str = Field(sa_type=Text)
    instrument: str
    temperature_c: Decimal | None = Field(default=None, sa_type=DecimalText)
    supersedes: str
    is_second_look: bool = False
    correction: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": ""})


class ConfirmationRow(SQLModel, table=True):
    """A step confirmed."""

    __tablename__ = "confirmation"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    phase: str
    step: str
    value: str
    person: str
    at: datetime


class DecisionRow(SQLModel, table=True):
    """A decision; a concession has its second person."""

    __tablename__ = "decision"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    ref: str
    verdict: str
    reason: str = Field(sa_type=Text)
    person: str
    at: datetime
    renews: str
    concession_second_person: str | None = None
    concession_until_hours: Decimal | None = Field(default=None, sa_type=DecimalText)
    concession_until_date: date | None = None


class SignatureRow(SQLModel, table=True):
    """A signature with the very content that was signed."""

    __tablename__ = "signature"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    meaning: str
    person: str
    at: datetime
    digest: str
    content: str = Field(sa_type=Text)
    site_key: str | None = None
    site_signature: str | None = None


class FittingRow(SQLModel, table=True):
    """A renewed part as it goes in, or a rework with the size it was made to."""

    __tablename__ = "fitting"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    ref: str
    number: str
    batch: str
    person: str
    at: datetime
    made_to_typed: str | None = None
    made_to: Decimal | None = Field(default=None, sa_type=DecimalText)
    made_to_unit: str | None = None
