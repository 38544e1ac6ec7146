"""Tables of the running machine: runs as they were typed, and which of them is the baseline; only ever added to."""

from datetime import datetime
from decimal import Decimal

from sqlalchemy import Text
from sqlmodel import Field, SQLModel

from app.store.decimals import DecimalText


class RunRow(SQLModel, table=True):
    """One run; of an overhaul where it proves one, else made when a fault was seen."""

    __tablename__ = "run"
    id: int | None = Field(default=None, primary_key=True)
    machine_id: int = Field(foreign_key="machine.id", index=True)
    overhaul_id: int | None = Field(default=None, foreign_key="overhaul.id", index=True)
    hours: Decimal = Field(sa_type=DecimalText)
    unit: str
    stages: int
    typed: str = Field(sa_type=Text)
    person: str
    at: datetime
    request_id: str = Field(unique=True)


class BaselineRow(SQLModel, table=True):
    """A run made the machine's baseline; the last one counts."""

    __tablename__ = "baseline"
    id: int | None = Field(default=None, primary_key=True)
    machine_id: int = Field(foreign_key="machine.id", index=True)
    run_id: int = Field(foreign_key="run.id")
    reason: str = Field(sa_type=Text)
    person: str
    at: datetime
