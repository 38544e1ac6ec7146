"""Overhauls: opened once, read back whole, and listed by machine."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Row, bindparam
from sqlalchemy import select as select_columns
from sqlmodel import Session, col, func, select

from app.domain.limits import LimitSheet
from app.domain.old_paper import in_date_order
from app.domain.overhaul import Machine, Meaning, Overhaul, Scope, Signature
from app.store.book import MEMORY, Book, Writing
from app.store.chain import overhaul_subject
from app.store.fact_rows import FittingRow, SignatureRow
from app.store.facts import (
    signature_from,
)
from app.store.overhaul_memory import OverhaulMemory
from app.store.overhaul_reading import OVERHAUL, read_overhaul, scope_of
from app.store.rows import OverhaulRow, SheetRevisionRow, table_of
from app.store.sheets import get_sheet_row

SIGNATURE = table_of(SignatureRow)
SIGNED = (
    select_columns(*(SIGNATURE.c[name] for name in ("overhaul_id", "meaning", "person", "at", "digest")))
    .join_from(SIGNATURE, OVERHAUL, OVERHAUL.c.id == SIGNATURE.c.overhaul_id)
    .where(OVERHAUL.c.machine_id == bindparam("machine"))
    .order_by(SIGNATURE.c.id)
)
SHEET = table_of(SheetRevisionRow)
OF_MACHINE = (
    select_columns(OVERHAUL, SHEET.c.name.label("sheet"), SHEET.c.revision)
    .join_from(OVERHAUL, SHEET, SHEET.c.id == OVERHAUL.c.sheet_revision_id)
    .where(OVERHAUL.c.machine_id == bindparam("machine"))
)
RETURNED = {Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF}


@dataclass(frozen=True)
class Paper:
    """Where on paper an overhaul stood, and the mark by which the same paper is known again."""

    words: str
    request_id: str


@dataclass(frozen=True)
class OverhaulSummary:
    """One overhaul as lists show it."""

    id: int
    number: int
    hours: Decimal
    opened_at: datetime
    opened_by: str
    sheet_title: str
    scope: Scope
    signatures: tuple[Signature, ...]
    paper: str = ""

    @property
    def is_open(self) -> bool:
        """Whether fitter and chief engineer have not both signed the machine back into service."""
        return not self.paper and not {signature.meaning for signature in self.signatures} >= RETURNED

    @property
    def returned_at(self) -> datetime:
        """When a closed one went back into service; of one from paper, the day on it."""
        return self.opened_at if self.paper else self.signatures[-1].at


def save_overhaul(
    writing: Writing,
    machine: Machine,
    sheet_name: str,
    sheet_revision: str,
    scope: Scope,
    hours: Decimal,
    request_id: str,
) -> int:
    """Open an overhaul with the machine's next number; the same request again gives the one it has opened."""
    already = find_overhaul_of_request(writing.session, request_id)
    if already is not None:
        return already
    sheet = get_sheet_row(writing.session, sheet_name, sheet_revision)
    values = {
        "machine_id": machine.id,
        "sheet_revision_id": sheet.id,
        "number": _next_number(writing.session, machine.id),
        "stages": ",".join(map(str, scope.stages)),
        "has_rings": scope.has_rings,
        "hours": hours,
        "opened_at": writing.now,
        "opened_by": writing.person,
        "request_id": request_id,
        "paper": "",  # so that nobody can add a word of paper to it that no entry tells
    }
    overhaul_id = writing.insert(OverhaulRow, **values)
    sheet_key = {"sheet": sheet.name, "sheet_revision": sheet.revision, "sheet_digest": sheet.digest}
    new = {**values, **sheet_key, "machine": machine.tag, "serial": machine.serial}
    writing.enter("overhaul opened", overhaul_subject(overhaul_id), None, new)
    return overhaul_id


def save_overhaul_from_paper(
    writing: Writing, machine: Machine, sheet: LimitSheet, scope: Scope, hours: Decimal, on: datetime, paper: Paper
) -> int:
    """Keep an overhaul that was done on another day, and stood on paper since."""
    row = get_sheet_row(writing.session, sheet.name, sheet.revision)
    values = {
        "machine_id": machine.id,
        "sheet_revision_id": row.id,
        "number": _next_number(writing.session, machine.id),
        "stages": ",".join(map(str, scope.stages)),
        "has_rings": scope.has_rings,
        "hours": hours,
        "opened_at": on,
        "opened_by": writing.person,
        "request_id": paper.request_id,
        "paper": paper.words,
    }
    overhaul_id = writing.insert(OverhaulRow, **values)
    sheet_key = {"sheet": row.name, "sheet_revision": row.revision, "sheet_digest": row.digest}
    new = {**values, **sheet_key, "machine": machine.tag, "serial": machine.serial}
    writing.enter("overhaul entered from paper", overhaul_subject(overhaul_id), None, new)
    return overhaul_id


def find_overhaul_of_request(session: Session, request_id: str) -> int | None:
    """Find the overhaul that a request has opened already."""
    return session.exec(select(OverhaulRow.id).where(OverhaulRow.request_id == request_id)).one_or_none()


def list_requests(session: Session, machine_id: int) -> list[str]:
    """List the requests by which a machine's overhauls came into the book."""
    return list(session.exec(select(OverhaulRow.request_id).where(OverhaulRow.machine_id == machine_id)))


def get_overhaul(session: Session, overhaul_id: int) -> Overhaul:
    """Give an overhaul with everything entered in it, as this session sees it."""
    memory: OverhaulMemory = session.info[MEMORY].setdefault("overhauls", OverhaulMemory())
    return memory.give(session, overhaul_id, read_overhaul)


def hold_overhaul(book: Book, head: tuple[int, str], overhaul: Overhaul) -> None:
    """Hold an overhaul as it is after the entry of the chain that changed it last, once that is kept."""
    memory: OverhaulMemory = book.memory.setdefault("overhauls", OverhaulMemory())
    memory.hold(head, overhaul)


def list_overhauls(session: Session, machine_id: int) -> list[OverhaulSummary]:
    """List a machine's overhauls by the day they were done, the newest first."""
    signed = _signatures_by_overhaul(session, machine_id)
    rows = session.connection().execute(OF_MACHINE, {"machine": machine_id})
    return list(reversed(in_date_order([_summary(row, signed.get(row.id, [])) for row in rows])))


def find_open_overhaul(session: Session, machine_id: int) -> int | None:
    """Find the newest overhaul of a machine that is not signed back into service by both."""
    return next((overhaul.id for overhaul in list_overhauls(session, machine_id) if overhaul.is_open), None)


def find_overhaul_before(session: Session, machine_id: int, number: int) -> OverhaulSummary | None:
    """Find the overhaul of a machine that came before the one with this number."""
    newest_first = list_overhauls(session, machine_id)
    place = next((place for place, each in enumerate(newest_first) if each.number == number), len(newest_first))
    return next(iter(newest_first[place + 1 :]), None)


def is_fitted_in(session: Session, overhaul_ids: Sequence[int], refs: tuple[str, ...]) -> bool:
    """Whether a part or its set was renewed or made to a size at one of some overhauls."""
    at_one = select(FittingRow.id).where(col(FittingRow.overhaul_id).in_(overhaul_ids))
    return session.exec(at_one.where(col(FittingRow.ref).in_(refs)).limit(1)).first() is not None


def _next_number(session: Session, machine_id: int) -> int:
    """Give the number that a machine's next overhaul gets."""
    last = session.exec(select(func.max(OverhaulRow.number)).where(OverhaulRow.machine_id == machine_id)).one()
    return (last or 0) + 1


def _signatures_by_overhaul(session: Session, machine_id: int) -> dict[int, list[Signature]]:
    """Gather the signatures of a machine's overhauls in one query, without what was signed."""
    signed: dict[int, list[Signature]] = {}
    for row in session.connection().execute(SIGNED, {"machine": machine_id}):
        signed.setdefault(row.overhaul_id, []).append(signature_from(row))
    return signed


def _summary(row: Row[Any], signatures: list[Signature]) -> OverhaulSummary:
    """Turn a row into a summary."""
    opening = row.hours, row.opened_at, row.opened_by
    title = f"{row.sheet} rev {row.revision}"
    return OverhaulSummary(row.id, row.number, *opening, title, scope_of(row), tuple(signatures), row.paper)
