"""Holds what the tables say against what the chain says was stored, so that a row changed behind the book shows."""

import json
from collections.abc import Iterator
from itertools import zip_longest

from sqlalchemy import RowMapping, Table, select
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session, SQLModel

from app.domain.canonical import canonical, digest
from app.store.chain import ENTRY, ROWS_AT_ONCE
from app.store.fact_rows import ConfirmationRow, DecisionRow, FittingRow, ReadingRow, SignatureRow
from app.store.instrument_rows import CalibrationRow, InstrumentRow
from app.store.photo_rows import PhotoRow, PhotoWithdrawalRow
from app.store.photos import altered_photos
from app.store.rows import (
    MachineRow,
    MeterReadingRow,
    MeterStrikeRow,
    OverhaulRow,
    PersonRow,
    SheetRevisionRow,
    table_of,
)
from app.store.running_rows import BaselineRow, RunRow
from app.store.service_rows import ServiceRow
from app.store.site_rules import SiteRuleRow
from app.store.stock_rows import StockRow

# Each row was added together with one entry, so both come in the same order.
ENTERED_AS: dict[type[SQLModel], tuple[str, ...]] = {
    PersonRow: ("person added",),
    SheetRevisionRow: ("sheet imported",),
    MachineRow: ("machine added",),
    MeterReadingRow: ("hours recorded",),
    MeterStrikeRow: ("hours struck",),
    ServiceRow: ("service recorded",),
    OverhaulRow: ("overhaul opened", "overhaul entered from paper"),
    ReadingRow: ("reading entered", "reading corrected", "second look entered", "entry taken back"),
    ConfirmationRow: ("step confirmed",),
    DecisionRow: ("decision made",),
    SignatureRow: ("signed",),
    FittingRow: ("part fitted",),
    PhotoRow: ("photo added",),
    PhotoWithdrawalRow: ("photo withdrawn",),
    RunRow: ("run entered",),
    BaselineRow: ("baseline chosen",),
    SiteRuleRow: ("site rule changed",),
    StockRow: ("stock counted",),
    InstrumentRow: ("instrument added",),
    CalibrationRow: ("instrument calibrated",),
}
DIGESTED = {"sheet_revision": "text", "signature": "content"}  # Columns that the chain holds by their digest.


def verify_evidence(session: Session) -> list[str]:
    """Name, for each table, the first row that is not what its entry says; empty where all agree."""
    altered = [found for row, whats in ENTERED_AS.items() if (found := _first_altered(session, table_of(row), whats))]
    return altered + [f"photo_file, {digest}" for digest in altered_photos(session)]


def _first_altered(session: Session, table: Table, whats: tuple[str, ...]) -> str:
    """Name the first row of a table that is missing, added, changed or unreadable."""
    place = 1
    try:
        for row, new in _pairs(session, table, whats):
            if row is None or new is None or not _agree(table, row, json.loads(new)):
                return f"{table.name}, row {place}"
            place += 1
    except (DBAPIError, ValueError, ArithmeticError):
        return f"{table.name}, row {place}"
    return ""


def _pairs(session: Session, table: Table, whats: tuple[str, ...]) -> Iterator[tuple[RowMapping | None, str | None]]:
    """Give each row of a table with what its entry says was stored."""
    (key,) = table.primary_key
    few = {"yield_per": ROWS_AT_ONCE}
    asked = select(table).order_by(key).execution_options(**few)
    entered = select(ENTRY.c.new).where(ENTRY.c.what.in_(whats)).order_by(ENTRY.c.seq).execution_options(**few)
    connection = session.connection()
    with connection.execute(asked) as rows, connection.execute(entered) as entries:
        yield from zip_longest(rows.mappings(), entries.scalars())


def _agree(table: Table, row: RowMapping, entered: dict[str, object]) -> bool:
    """Whether every column that the entry holds is still as entered, and digested content has its digest."""
    kept = json.loads(canonical(dict(row)))
    content = DIGESTED.get(table.name)
    is_content_whole = content is None or digest(kept[content]) == kept["digest"]
    return is_content_whole and all(kept[name] == value for name, value in entered.items() if name in kept)
