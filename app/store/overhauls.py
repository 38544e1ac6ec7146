"""Overhauls: opened once, read back whole, and listed by machine."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from sqlalchemy import bindparam
from sqlmodel import Session, col, func, select

from app.domain.errors import NotThere
from app.domain.limits import LimitSheet
from app.domain.numbers import Length
from app.domain.old_paper import in_date_order
from app.domain.overhaul import Machine, Meaning, Overhaul, Scope, Signature
from app.domain.sheet_file import read_sheet
from app.domain.site_rules import RuleKind, in_force
from app.store.amendments import list_amendments
from app.store.book import MEMORY, Writing
from app.store.chain import overhaul_subject
from app.store.fact_rows import FittingRow, SignatureRow
from app.store.facts import (
    fitting_from,
    list_confirmations,
    list_decisions,
    list_fittings,
    list_signatures,
    signature_from,
)
from app.store.machines import machine_from
from app.store.overhaul_memory import OverhaulMemory
from app.store.photos import list_photos
from app.store.readings import list_readings
from app.store.rows import MachineRow, OverhaulRow, SheetRevisionRow, table_of
from app.store.running import find_baseline, list_runs_of_overhaul
from app.store.sheet_approvals import has_judged, list_approvals
from app.store.sheets import get_sheet_row
from app.store.site_rules import list_site_rules
from app.store.witnesses import list_witnesses

OVERHAUL = table_of(OverhaulRow)
ORDER = select(OVERHAUL.c.id, OVERHAUL.c.number, OVERHAUL.c.paper, OVERHAUL.c.opened_at).where(
    OVERHAUL.c.machine_id == bindparam("machine")
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
    return memory.give(session, overhaul_id, _read_overhaul)


def _read_overhaul(session: Session, overhaul_id: int) -> Overhaul:
    """Read an overhaul with everything entered in it."""
    row, machine, sheet = _get_rows(session, overhaul_id)
    runs = list_runs_of_overhaul(session, overhaul_id)
    readings, approvals = list_readings(session, overhaul_id), list_approvals(session, row.sheet_revision_id)
    return Overhaul(
        id=overhaul_id,
        number=row.number,
        machine=machine_from(machine),
        sheet=read_sheet(sheet.text),
        scope=_scope(row),
        hours=row.hours,
        opened_at=row.opened_at,
        opened_by=row.opened_by,
        readings=tuple(reading for reading in readings if not reading.is_second_look),
        looks=tuple(reading for reading in readings if reading.is_second_look),
        confirmations=list_confirmations(session, overhaul_id),
        decisions=list_decisions(session, overhaul_id),
        signatures=list_signatures(session, overhaul_id),
        fittings=list_fittings(session, overhaul_id),
        photos=list_photos(session, overhaul_id),
        site_lines=_site_lines(session, row.opened_at),
        runs=runs,
        baseline=find_baseline(session, row.machine_id, runs[-1].at if runs else None),
        base_sizes=list_base_sizes(session, row.machine_id, row.number),
        witnesses=list_witnesses(session, overhaul_id),
        amendments=list_amendments(session, overhaul_id, readings),
        approvals=approvals,
        is_approval_due=not approvals and not has_judged(session, row.sheet_revision_id),
        paper=row.paper,
    )


def _site_lines(session: Session, opened_at: datetime) -> tuple[str, ...]:
    """Give the site's own lines of making safe as they stood when an overhaul was opened."""
    rules = list_site_rules(session, RuleKind.SAFE_LINE)
    return tuple(rule.words for rule in in_force(rules, RuleKind.SAFE_LINE, opened_at))


def list_overhauls(session: Session, machine_id: int) -> list[OverhaulSummary]:
    """List a machine's overhauls by the day they were done, the newest first."""
    statement = (
        select(OverhaulRow, SheetRevisionRow.name, SheetRevisionRow.revision)
        .join(SheetRevisionRow, col(SheetRevisionRow.id) == col(OverhaulRow.sheet_revision_id))
        .where(OverhaulRow.machine_id == machine_id)
    )
    signed = _signatures_by_overhaul(session, machine_id)
    rows = session.exec(statement)
    found = [_summary(row, f"{name} rev {revision}", signed.get(row.id or 0, [])) for row, name, revision in rows]
    return list(reversed(in_date_order(found)))


def list_order(session: Session, machine_id: int) -> list[tuple[int, int]]:
    """List a machine's overhauls by the day they were done, the oldest first: each one's id and number."""
    rows = session.connection().execute(ORDER, {"machine": machine_id}).all()
    return [(row.id, row.number) for row in in_date_order(rows)]


def find_open_overhaul(session: Session, machine_id: int) -> int | None:
    """Find the newest overhaul of a machine that is not signed back into service by both."""
    return next((overhaul.id for overhaul in list_overhauls(session, machine_id) if overhaul.is_open), None)


def find_overhaul_before(session: Session, machine_id: int, number: int) -> OverhaulSummary | None:
    """Find the overhaul of a machine that came before the one with this number."""
    newest_first = list_overhauls(session, machine_id)
    place = next((place for place, each in enumerate(newest_first) if each.number == number), len(newest_first))
    return next(iter(newest_first[place + 1 :]), None)


def list_base_sizes(session: Session, machine_id: int, before_number: int | None = None) -> dict[str, Length]:
    """Give by part reference the size it was last made to before an overhaul; a new part goes by its sheet again.

    Without an overhaul, the size it has now. What came in from paper after an overhaul was begun does not move the
    sizes that it is judged from, however old that paper is.
    """
    order = list_order(session, machine_id)
    place = next((place for place, (_, number) in enumerate(order) if number == before_number), len(order))
    before = [id_ for id_, number in order[:place] if before_number is None or number < before_number]
    if not before:
        return {}
    rows = session.exec(select(FittingRow).where(col(FittingRow.overhaul_id).in_(before)).order_by(col(FittingRow.id)))
    in_order = sorted(rows, key=lambda row: before.index(row.overhaul_id))
    last = {fitting.ref: fitting.made_to for fitting in map(fitting_from, in_order)}
    return {ref: made_to for ref, made_to in last.items() if made_to is not None}


def is_fitted_in(session: Session, overhaul_ids: Sequence[int], refs: tuple[str, ...]) -> bool:
    """Whether a part or its set was renewed or made to a size at one of some overhauls."""
    at_one = select(FittingRow.id).where(col(FittingRow.overhaul_id).in_(overhaul_ids))
    return session.exec(at_one.where(col(FittingRow.ref).in_(refs)).limit(1)).first() is not None


def _next_number(session: Session, machine_id: int) -> int:
    """Give the number that a machine's next overhaul gets."""
    last = session.exec(select(func.max(OverhaulRow.number)).where(OverhaulRow.machine_id == machine_id)).one()
    return (last or 0) + 1


def _get_rows(session: Session, overhaul_id: int) -> tuple[OverhaulRow, MachineRow, SheetRevisionRow]:
    """Give the rows an overhaul begins from."""
    statement = (
        select(OverhaulRow, MachineRow, SheetRevisionRow)
        .join(MachineRow, col(MachineRow.id) == col(OverhaulRow.machine_id))
        .join(SheetRevisionRow, col(SheetRevisionRow.id) == col(OverhaulRow.sheet_revision_id))
        .where(OverhaulRow.id == overhaul_id)
    )
    rows = session.exec(statement).one_or_none()
    if rows is None:
        raise NotThere(f"There is no overhaul number {overhaul_id} in the book.")
    return rows


def _signatures_by_overhaul(session: Session, machine_id: int) -> dict[int, list[Signature]]:
    """Gather the signatures of a machine's overhauls in one query, without what was signed."""
    statement = (
        select(SignatureRow)
        .join(OverhaulRow, col(OverhaulRow.id) == col(SignatureRow.overhaul_id))
        .where(OverhaulRow.machine_id == machine_id)
        .order_by(col(SignatureRow.id))
    )
    signed: dict[int, list[Signature]] = {}
    for row in session.exec(statement):
        signed.setdefault(row.overhaul_id, []).append(signature_from(row))
    return signed


def _summary(row: OverhaulRow, sheet_title: str, signatures: list[Signature]) -> OverhaulSummary:
    """Turn a row into a summary."""
    opening = row.hours, row.opened_at, row.opened_by
    return OverhaulSummary(row.id or 0, row.number, *opening, sheet_title, _scope(row), tuple(signatures), row.paper)


def _scope(row: OverhaulRow) -> Scope:
    """Read the scope back."""
    return Scope(tuple(int(stage) for stage in row.stages.split(",") if stage), row.has_rings)
