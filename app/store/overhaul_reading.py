"""Overhauls read back whole from all their tables, or what of one is of a single stage."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Row, bindparam, select
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
from app.store.together import once, read_with, together
from app.store.witnesses import list_witnesses

MOST_AT_ONCE = 20  # whole overhauls; of a stage alone three times as many
OVERHAUL, FITTING = table_of(OverhaulRow), table_of(FittingRow)
ORDER = select(OVERHAUL.c.id, OVERHAUL.c.number, OVERHAUL.c.paper, OVERHAUL.c.opened_at).where(
    OVERHAUL.c.machine_id == bindparam("machine")
)
FITTED = (
    select(FITTING)
    .join(OVERHAUL, OVERHAUL.c.id == FITTING.c.overhaul_id)
    .where(OVERHAUL.c.machine_id == bindparam("machine"))
    .order_by(FITTING.c.id)
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


def read_overhauls(session: Session, overhaul_ids: Sequence[int], stage: int | None = None) -> Iterator[Overhaul]:
    """Read several overhauls, asking for some at once, so that not all their rows are held at the same time."""
    most = MOST_AT_ONCE if stage is None else 3 * MOST_AT_ONCE
    for first in range(0, len(overhaul_ids), most):
        some = overhaul_ids[first : first + most]
        with together(session, some):
            yield from [read_overhaul(session, overhaul_id, stage) for overhaul_id in some]


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
    in_order = sorted(_fitted(session, machine_id, before), key=lambda row: before.index(row.overhaul_id))
    last = {fitting.ref: fitting.made_to for fitting in map(fitting_from, in_order)}
    return {ref: made_to for ref, made_to in last.items() if made_to is not None}


def _fitted(session: Session, machine_id: int, overhauls: Sequence[int]) -> list[Row[Any]]:
    """List what was fitted at some overhauls of a machine."""

    def ask() -> Sequence[Row[Any]]:
        return session.connection().execute(FITTED, {"machine": machine_id}).all()

    return [row for row in once(session, (FittingRow, machine_id), ask) if row.overhaul_id in overhauls]


def list_order(session: Session, machine_id: int) -> list[tuple[int, int]]:
    """List a machine's overhauls by the day they were done, the oldest first: each one's id and number."""

    def ask() -> list[tuple[int, int]]:
        rows = session.connection().execute(ORDER, {"machine": machine_id}).all()
        return [(row.id, row.number) for row in in_date_order(rows)]

    return once(session, (OverhaulRow, machine_id), ask)


def _site_lines(session: Session, opened_at: datetime) -> tuple[str, ...]:
    """Give the site's own lines of making safe as they stood when an overhaul was opened."""
    rules = once(session, RuleKind.SAFE_LINE, lambda: list_site_rules(session, RuleKind.SAFE_LINE))
    return tuple(rule.words for rule in in_force(rules, RuleKind.SAFE_LINE, opened_at))


def _get_rows(session: Session, overhaul_id: int) -> tuple[OverhaulRow, MachineRow, SheetRevisionRow]:
    """Give the rows an overhaul begins from."""
    asked = read_with(session, overhaul_id) or [overhaul_id]
    rows = once(session, OverhaulRow, lambda: _rows_by_id(session, asked)).get(overhaul_id)
    if rows is None:
        raise NotThere(f"There is no overhaul number {overhaul_id} in the book.")
    return rows


def _rows_by_id(
    session: Session, overhaul_ids: Sequence[int]
) -> dict[int, tuple[OverhaulRow, MachineRow, SheetRevisionRow]]:
    """Ask for the rows that some overhauls begin from."""
    statement = (
        select_rows(OverhaulRow, MachineRow, SheetRevisionRow)
        .join(MachineRow, col(MachineRow.id) == col(OverhaulRow.machine_id))
        .join(SheetRevisionRow, col(SheetRevisionRow.id) == col(OverhaulRow.sheet_revision_id))
        .where(col(OverhaulRow.id).in_(overhaul_ids))
    )
    return {overhaul.id or 0: (overhaul, machine, sheet) for overhaul, machine, sheet in session.exec(statement)}


def scope_of(row: OverhaulRow | Row[Any], only: int | None = None) -> Scope:
    """Read the scope back, or what of it is of one stage only."""
    stages = (int(stage) for stage in row.stages.split(",") if stage)
    return Scope(tuple(stage for stage in stages if only in (None, stage)), row.has_rings)
