"""What is asked of all machines at once, as columns: their meters, their overhauls with who signed, their services."""

from collections import defaultdict
from functools import cache
from typing import Any

from sqlalchemy import Select, select
from sqlmodel import Session

from app.domain.meter import WINDOW
from app.domain.old_paper import in_date_order
from app.domain.overhaul import Meaning, MeterReading, Scope, Signature
from app.domain.service import Service
from app.store.amendment_rows import AmendmentAnswerRow
from app.store.fact_rows import DecisionRow, SignatureRow
from app.store.overhauls import OverhaulSummary
from app.store.rows import MeterReadingRow, MeterStrikeRow, OverhaulRow, SheetRevisionRow, table_of
from app.store.service_rows import ServiceRow
from app.store.services import service_from

METER, STRIKE, OVERHAUL = table_of(MeterReadingRow), table_of(MeterStrikeRow), table_of(OverhaulRow)
SIGNATURE, SERVICE, DECISION = table_of(SignatureRow), table_of(ServiceRow), table_of(DecisionRow)
SHEET, ANSWER = table_of(SheetRevisionRow), table_of(AmendmentAnswerRow)
METERS = (
    select(
        *(METER.c.machine_id, METER.c.hours, METER.c.read_at, METER.c.person, METER.c.shown, METER.c.is_new_meter),
        *(METER.c.source, METER.c.entered_at, METER.c.id),
    )
    .outerjoin_from(METER, STRIKE, STRIKE.c.meter_reading_id == METER.c.id)
    .where(STRIKE.c.id.is_(None))
    .order_by(METER.c.machine_id, METER.c.read_at, METER.c.id)
)
OVERHAULS = select(
    *(OVERHAUL.c.machine_id, OVERHAUL.c.id, OVERHAUL.c.number, OVERHAUL.c.hours, OVERHAUL.c.opened_at),
    *(OVERHAUL.c.opened_by, OVERHAUL.c.sheet_revision_id, OVERHAUL.c.stages, OVERHAUL.c.has_rings, OVERHAUL.c.paper),
)
SIGNATURES = select(
    *(SIGNATURE.c.overhaul_id, SIGNATURE.c.meaning, SIGNATURE.c.person, SIGNATURE.c.at, SIGNATURE.c.digest)
).order_by(SIGNATURE.c.id)
SERVICES = select(SERVICE).order_by(SERVICE.c.at, SERVICE.c.id)
CONCEDED = (
    select(OVERHAUL.c.machine_id)
    .join_from(OVERHAUL, DECISION, DECISION.c.overhaul_id == OVERHAUL.c.id)
    .where(DECISION.c.concession_second_person.is_not(None))
    .distinct()
)
AMENDED = (
    select(OVERHAUL.c.machine_id, ANSWER.c.digest)
    .join_from(OVERHAUL, ANSWER, ANSWER.c.overhaul_id == OVERHAUL.c.id)
    .order_by(ANSWER.c.id)
)


def meters_of_all(session: Session) -> dict[int, list[MeterReading]]:
    """Give of each machine its first reading and those that the use of late follows from, in the order read."""
    rows = _by_first(session, METERS)
    return {machine: [MeterReading(*row) for row in _first_and_of_late(read)] for machine, read in rows.items()}


def overhauls_of_all(session: Session) -> dict[int, list[OverhaulSummary]]:
    """Give the overhauls of each machine by the day they were done, the newest first."""
    meanings = {meaning.value: meaning for meaning in Meaning}
    signed = {
        overhaul: tuple(Signature(meanings[meaning], *rest) for meaning, *rest in rows)
        for overhaul, rows in _by_first(session, SIGNATURES).items()
    }
    titles = {id_: f"{name} rev {revision}" for id_, name, revision in session.connection().execute(
        select(SHEET.c.id, SHEET.c.name, SHEET.c.revision))}  # fmt: skip
    found = defaultdict(list)
    for machine, id_, number, hours, opened_at, opened_by, sheet, *covered, paper in session.connection().execute(
        OVERHAULS
    ):
        scope = _scope(*covered)
        summary = OverhaulSummary(
            id_, number, hours, opened_at, opened_by, titles[sheet], scope, signed.get(id_, ()), paper
        )
        found[machine].append(summary)
    return {machine: list(reversed(in_date_order(summaries))) for machine, summaries in found.items()}


def services_of_all(session: Session) -> dict[int, list[Service]]:
    """Give the services of each machine in the order they were done."""
    found = defaultdict(list)
    for row in session.connection().execute(SERVICES):
        found[row.machine_id].append(service_from(row))
    return found


def machines_conceded(session: Session) -> set[int]:
    """Give the machines on which a concession was ever granted."""
    return set(session.connection().execute(CONCEDED).scalars())


def answers_of_amendments(session: Session, machine_id: int | None = None) -> dict[int, tuple[str, ...]]:
    """Give by machine, or of one, the digests of the answers to amendments, by which a change of them is known."""
    asked = AMENDED if machine_id is None else AMENDED.where(OVERHAUL.c.machine_id == machine_id)
    return {machine: tuple(digest for (digest,) in rows) for machine, rows in _by_first(session, asked).items()}


def _by_first(session: Session, asked: Select[Any]) -> dict[int, list[Any]]:
    """Put rows together by their first column."""
    found: dict[int, list[Any]] = defaultdict(list)
    for first, *rest in session.connection().execute(asked):
        found[first].append(rest)
    return found


@cache
def _scope(stages: str, has_rings: bool) -> Scope:
    """Read a scope back."""
    return Scope(tuple(int(stage) for stage in stages.split(",") if stage), has_rings)


def _first_and_of_late(rows: list[Any]) -> list[Any]:
    """Leave out readings between the first and the window that the rate of use is told from; one before it stays."""
    since = rows[-1][1] - WINDOW
    in_window = next(place for place, row in enumerate(rows) if row[1] >= since)
    return rows[:1] + rows[max(1, in_window - 1) :]
