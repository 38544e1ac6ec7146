"""Table of the parts on hand; only ever added to, and the last row of a part number counts."""

from datetime import date, datetime

from sqlmodel import Field, SQLModel


class StockRow(SQLModel, table=True):
    """How many of a part number are on hand, and until when they are good."""

    __tablename__ = "stock"
    id: int | None = Field(default=None, primary_key=True)
    number: str = Field(index=True)
    on_hand: int
    best_before: date | None = None
    person: str
    at: datetime
