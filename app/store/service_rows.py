"""The table of services; it is only ever added to."""

from datetime import datetime
from decimal import Decimal

from sqlalchemy import Text
from sqlmodel import Field, Index, SQLModel

from app.store.decimals import DecimalText


class ServiceRow(SQLModel, table=True):
    """One task done; the request records it once however often it is sent."""

    __tablename__ = "service"
    __table_args__ = (Index("service_of_machine", "machine_id", "task", "at"),)
    id: int | None = Field(default=None, primary_key=True)
    machine_id: int = Field(foreign_key="machine.id")
    task: str
    sheet: str
    person: str
    request_id: str = Field(unique=True)
    hours: Decimal = Field(sa_type=DecimalText)
    at: datetime
    entered_at: datetime
    is_in_order: bool
    answers: str = Field(sa_type=Text)
    note: str = Field(sa_type=Text)
