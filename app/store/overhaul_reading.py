"""Overhauls read back whole from all their tables, or what of one is of a single stage."""

from datetime import datetime

from sqlalchemy import bindparam, select
from sqlmodel import Session, col
from sqlmodel import select as select_rows

from app.domain.errors import NotThere
from app.domain.numbers import Length
from app.domain.old_paper import in_date_order
from app.domain.overhaul import Overhaul, Scope
from app.domain.sheet_file import read_sheet
from app.domain.site_rules import RuleKind, in_force
from app.store.amendments import list_amendments
from app.store.fact_rows import FittingRow
from app.store.facts import fitting_from, list_confirmations, list_decisions, list_fittings, list_signatures
from app.store.machines import machine_from
from app.store.photos import list_photos
from app.store.readings import list_readings
from app.store.rows import MachineRow, OverhaulRow, SheetRevisionRow, table_of
from app.store.running import find_baseline, list_runs_of_overhaul
from app.store.sheet_approvals import has_judged, list_approvals
from app.store.site_rules import list_site_rules
from app.store.witnesses import list_witnesses

OVERHAUL, FITTING = table_of(OverhaulRow), table_of(FittingRow)
ORDER = select(OVERHAUL.c.id, OVERHAUL.c.number, OVERHAUL.c.paper, OVERHAUL.c.opened_at).where(
    OVERHAUL.c.machine_id == bindparam("machine")
)
FITTED_IN = (
    select(FITTING).where(FITTING.c.overhaul_id.in_(bindparam("overhauls", expanding=True))).order_by(FITTING.c.id)
)


def read_overhaul(session: Session, overhaul_id: int, stage: int | None = None) -> Overhaul:
    """Read an overhaul with everything entered in it; where a stage is named, as if it had opened that alone.

    Verdicts of a stage follow from its own parts, so they are the same.
    """
    row, machine, sheet = _get_rows(session, overhaul_id)
    runs = list_runs_of_overhaul(session, overhaul_id)
    readings, approvals = list_readings(session, overhaul_id, stage), list_approvals(session, row.sheet_revision_id)
    return Overhaul(
        id=overhaul_id,
        number=row.number,
        machine=machine_from(machine),
        sheet=read_sheet(sheet.text),
        scope=scope_of(row, stage),
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
        earlier=_earlier(session, row) if stage is None else (),
        paper=row.paper,
    )


def _earlier(session: Session, row: OverhaulRow) -> tuple[int, ...]:
    """Give the overhauls of a machine that were done before one, the oldest first."""
    ids = [id_ for id_, _ in list_order(session, row.machine_id)]
    return tuple(ids[: ids.index(row.id or 0)])


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
    rows = session.connection().execute(FITTED_IN, {"overhauls": before})
    in_order = sorted(rows, key=lambda row: before.index(row.overhaul_id))
    last = {fitting.ref: fitting.made_to for fitting in map(fitting_from, in_order)}
    return {ref: made_to for ref, made_to in last.items() if made_to is not None}


def list_order(session: Session, machine_id: int) -> list[tuple[int, int]]:
    """List a machine's overhauls by the day they were done, the oldest first: each one's id and number."""
    rows = session.connection().execute(ORDER, {"machine": machine_id}).all()
    return [(row.id, row.number) for row in in_date_order(rows)]


def _site_lines(session: Session, opened_at: datetime) -> tuple[str, ...]:
    """Give the site's own lines of making safe as they stood when an overhaul was opened."""
    rules = list_site_rules(session, RuleKind.SAFE_LINE)
    return tuple(rule.words for rule in in_force(rules, RuleKind.SAFE_LINE, opened_at))


def _get_rows(session: Session, overhaul_id: int) -> tuple[OverhaulRow, MachineRow, SheetRevisionRow]:
    """Give the rows an overhaul begins from."""
    statement = (
        select_rows(OverhaulRow, MachineRow, SheetRevisionRow)
        .join(MachineRow, col(MachineRow.id) == col(OverhaulRow.machine_id))
        .join(SheetRevisionRow, col(SheetRevisionRow.id) == col(OverhaulRow.sheet_revision_id))
        .where(OverhaulRow.id == overhaul_id)
    )
    rows = session.exec(statement).one_or_none()
    if rows is None:
        raise NotThere(f"There is no overhaul number {overhaul_id} in the book.")
    return rows


def scope_of(row: OverhaulRow, only: int | None = None) -> Scope:
    """Read the scope back, or what of it is of one stage only."""
    stages = (int(stage) for stage in row.stages.split(",") if stage)
    return Scope(tuple(stage for stage in stages if only in (None, stage)), row.has_rings)
