"""Tables of the register of instruments; both are only ever added to."""

from datetime import date, datetime
from decimal import Decimal

from sqlmodel import Field, SQLModel

from app.store.decimals import DecimalText


class InstrumentRow(SQLModel, table=True):
    """One instrument, by the name that stands beside its readings."""

    __tablename__ = "instrument"
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    method: str
    measures: str
    resolution: str
    permissible_error: str
    added_at: datetime


class CalibrationRow(SQLModel, table=True):
    """One calibration of an instrument, by its certificate."""

    __tablename__ = "calibration"
    id: int | None = Field(default=None, primary_key=True)
    instrument_id: int = Field(foreign_key="instrument.id", index=True)
    on: date
    due: date
    certificate: str
    error_mm: Decimal | None = Field(default=None, sa_type=DecimalText)
    added_at: datetime
