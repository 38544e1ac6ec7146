"""Holds what the tables say against what the chain says was stored, so that a row changed behind the book shows."""

import json
from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

from sqlalchemy import Table, select
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session, SQLModel

from app.domain.canonical import canonical, digest
from app.store.amendment_rows import AmendmentAnswerRow, AmendmentRow
from app.store.chain import ENTRY, ROWS_AT_ONCE
from app.store.fact_rows import ConfirmationRow, DecisionRow, FittingRow, ReadingRow, SignatureRow
from app.store.foreign import altered_bundles
from app.store.foreign_rows import ForeignBundleRow, ForeignRecordRow, KnownSiteRow
from app.store.instrument_rows import CalibrationRow, InstrumentRow
from app.store.photo_rows import PhotoRow, PhotoWithdrawalRow
from app.store.photos import altered_photos
from app.store.raw_cells import RawCells
from app.store.rows import (
    MachineRow,
    MeterReadingRow,
    MeterStrikeRow,
    OverhaulRow,
    PersonRow,
    SheetRevisionRow,
    TokenRow,
    table_of,
)
from app.store.running_rows import BaselineRow, RunRow
from app.store.service_rows import ServiceRow
from app.store.sheet_approvals import SheetApprovalRow
from app.store.site_rows import SiteKeyRow
from app.store.site_rules import SiteRuleRow
from app.store.stock_rows import StockRow
from app.store.tablet_rows import TabletRow
from app.store.witnesses import WitnessRow

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
    SiteKeyRow: ("site key begun",),
    SheetApprovalRow: ("sheet approved",),
    WitnessRow: ("signature witnessed",),
    AmendmentRow: ("amendment proposed",),
    AmendmentAnswerRow: ("amendment signed", "amendment declined"),
    ForeignBundleRow: ("bundle brought in",),
    ForeignRecordRow: ("foreign record kept",),
    KnownSiteRow: ("site key known", "site key no longer known"),
}
# These change; each change is an entry on the same subject. Neither tokens, passwords nor PINs leave the book.
KEPT_UP_TO_DATE: dict[type[SQLModel], tuple[str, str]] = {
    PersonRow: ("person added", "person changed"),
    TokenRow: ("token made", "token ended"),
    TabletRow: ("tablet enrolled", "tablet ended"),
}
BEGINS_AS = {"person": {"is_active": True}}
# Columns that the chain holds by a digest, and the name under which it does.
DIGESTED = {
    "sheet_revision": ("text", "digest"),
    "signature": ("content", "digest"),
    "amendment_answer": ("content", "digest"),
    "witness": ("content", "digest"),
    "sheet_approval": ("content", "digest"),
    "person": ("password_digest", "check"),
    "token": ("token_digest", "check"),
    "tablet": ("pin_digest", "check"),
}

Kept = dict[str, Any]


def verify_evidence(session: Session) -> list[str]:
    """Name, for each table, the first row that is not what its entry says; empty where all agree."""
    lasting = {row: _entered(session, whats) for row, whats in ENTERED_AS.items() if row not in KEPT_UP_TO_DATE}
    changing = {row: _up_to_date(session, table_of(row), whats) for row, whats in KEPT_UP_TO_DATE.items()}
    told = {**lasting, **changing}
    altered = [found for row, entered in told.items() if (found := _first_altered(session, table_of(row), entered))]
    files = [("photo_file", altered_photos(session)), ("foreign_file", altered_bundles(session))]
    return altered + [f"{table}, {digest}" for table, digests in files for digest in digests]


def _first_altered(session: Session, table: Table, told: Iterator[str]) -> str:
    """Name the first row of a table that is missing, added, changed or unreadable."""
    place = 1
    try:
        for row, new in zip_longest(_rows(session, table), told):
            if row is None or new is None or not _agree(table, row, json.loads(new)):
                return f"{table.name}, row {place}"
            place += 1
    except (DBAPIError, ValueError, TypeError, ArithmeticError):
        return f"{table.name}, row {place}"
    return ""


def _rows(session: Session, table: Table) -> Iterator[Kept]:
    """Read every row of a table, cell by cell."""
    (key,) = table.primary_key
    connection = session.connection()
    cells = RawCells(table, connection.dialect)
    asked = cells.select.order_by(key).execution_options(yield_per=ROWS_AT_ONCE)
    with connection.execute(asked) as rows:
        yield from map(cells.values, rows.mappings())


def _entered(session: Session, whats: tuple[str, ...]) -> Iterator[str]:
    """Give what each entry says was stored."""
    entered = select(ENTRY.c.new).where(ENTRY.c.what.in_(whats)).order_by(ENTRY.c.seq)
    with session.connection().execute(entered.execution_options(yield_per=ROWS_AT_ONCE)) as entries:
        yield from entries.scalars()


def _up_to_date(session: Session, table: Table, whats: tuple[str, ...]) -> Iterator[str]:
    """Give, in the order of their first entries, what the entries on each subject say together."""
    entered = select(ENTRY.c.subject, ENTRY.c.new).where(ENTRY.c.what.in_(whats)).order_by(ENTRY.c.seq)
    now: dict[str, Kept] = {}
    for subject, new in session.connection().execute(entered):
        now.setdefault(subject, dict(BEGINS_AS.get(table.name, {}))).update(json.loads(new))
    yield from map(canonical, now.values())


def _agree(table: Table, row: Kept, entered: Kept) -> bool:
    """Whether every column that the entry holds is still as entered, and digested content has its digest."""
    kept = json.loads(canonical(row))
    content, told_as = DIGESTED.get(table.name, ("", ""))
    is_content_whole = not content or entered.get(told_as) in (None, digest(row[content]))
    return is_content_whole and all(kept[name] == value for name, value in entered.items() if name in kept)
