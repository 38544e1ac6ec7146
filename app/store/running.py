"""Runs of the machines, kept as they were typed, and the baseline of each machine."""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal

from sqlmodel import Session, col, select

from app.domain.canonical import canonical
from app.domain.errors import NotThere
from app.domain.overhaul import Machine
from app.domain.running import Run, read_figures
from app.domain.running_limits import PressureUnit
from app.store.book import Writing
from app.store.chain import overhaul_subject
from app.store.rows import rows_of_overhaul
from app.store.running_rows import BaselineRow, RunRow
from app.store.together import once


def save_run(
    writing: Writing,
    machine: Machine,
    overhaul_id: int | None,
    hours: Decimal,
    figures_in: tuple[PressureUnit, int],
    typed: Mapping[str, str],
    request_id: str,
) -> int:
    """Keep a run as it was typed, in its unit and for its number of stages; sent twice, it is kept once."""
    statement = select(RunRow.id).where(RunRow.request_id == request_id)
    already = writing.session.exec(statement).one_or_none()
    if already is not None:
        return already
    unit, stages = figures_in
    values = {
        "machine_id": machine.id, "overhaul_id": overhaul_id, "hours": hours, "unit": unit.value, "stages": stages,
        "typed": canonical(dict(typed)), "person": writing.person, "at": writing.now, "request_id": request_id,
    }  # fmt: skip
    number = writing.insert(RunRow, **values)
    subject = overhaul_subject(overhaul_id) if overhaul_id else f"machine {machine.tag}"
    writing.enter("run entered", subject, None, values, typed.get("seen", ""))
    return number


def save_baseline(writing: Writing, machine: Machine, run: Run, reason: str) -> None:
    """Make a run the machine's baseline."""
    values = {"machine_id": machine.id, "run_id": run.id, "reason": reason}
    values |= {"person": writing.person, "at": writing.now}
    writing.insert(BaselineRow, **values)
    writing.enter("baseline chosen", f"machine {machine.tag}", None, values, reason)


def get_run(session: Session, run_id: int) -> Run:
    """Give one run."""
    row = session.get(RunRow, run_id)
    if row is None:
        raise NotThere(f"There is no run number {run_id} in the book.")
    return _run(row)


def list_runs(session: Session, machine_id: int) -> tuple[Run, ...]:
    """List a machine's runs, the newest first."""
    statement = select(RunRow).where(RunRow.machine_id == machine_id).order_by(col(RunRow.id).desc())
    return tuple(_run(row) for row in session.exec(statement))


def list_runs_of_overhaul(session: Session, overhaul_id: int) -> tuple[Run, ...]:
    """List the runs that were made to prove an overhaul, in the order they were made."""
    return tuple(_run(row) for row in rows_of_overhaul(session, RunRow, overhaul_id))


def find_baseline(session: Session, machine_id: int, at: datetime | None = None) -> Run | None:
    """Find the run that is the machine's baseline, or that was it at a moment: what a run said stays said."""
    rows = once(session, (BaselineRow, machine_id), lambda: _baselines(session, machine_id))
    run_id = next((run_id for run_id, since in rows if at is None or since <= at), None)
    return None if run_id is None else once(session, (RunRow, run_id), lambda: get_run(session, run_id))


def _baselines(session: Session, machine_id: int) -> Sequence[tuple[int, datetime]]:
    """Ask which runs were made a machine's baseline and when, the newest first."""
    asked = select(BaselineRow.run_id, BaselineRow.at).where(BaselineRow.machine_id == machine_id)
    return session.exec(asked.order_by(col(BaselineRow.id).desc())).all()


def _run(row: RunRow) -> Run:
    """Turn a row into a run; its figures are read again from what was typed."""
    typed, unit = json.loads(row.typed), PressureUnit(row.unit)
    figures = read_figures(typed, row.stages, unit, needs_oil=False)
    return Run(row.id or 0, row.machine_id, row.overhaul_id, row.hours, row.person, row.at, typed, figures)
