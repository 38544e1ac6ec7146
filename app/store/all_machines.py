"""What due days follow from, asked of all machines or of some at once as columns: meters, overhauls, services.

Of a life of many years the little that tells a day is picked from the rows as they lie in the database, and that alone
is read.
"""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from functools import cache
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, FromClause, Row, Select, and_, case, distinct, exists, func, or_, select
from sqlmodel import Session

from app.domain.meter import WINDOW
from app.domain.old_paper import in_date_order
from app.domain.overhaul import MeterReading, Scope
from app.store.amendment_rows import AmendmentAnswerRow
from app.store.fact_rows import DecisionRow, SignatureRow
from app.store.moments import days_before
from app.store.overhauls import RETURNED
from app.store.rows import MachineRow, MeterReadingRow, MeterStrikeRow, OverhaulRow, table_of
from app.store.service_rows import ServiceRow

METER, STRIKE, OVERHAUL = table_of(MeterReadingRow), table_of(MeterStrikeRow), table_of(OverhaulRow)
MACHINE, SIGNATURE = table_of(MachineRow), table_of(SignatureRow)
SERVICE, DECISION = table_of(ServiceRow), table_of(DecisionRow)
ANSWER, LAST = table_of(AmendmentAnswerRow), table_of(SignatureRow).alias("last")


def _standing(read: FromClause) -> tuple[ColumnElement[bool], ...]:
    """Of a machine, and not struck as misread."""
    return read.c.machine_id == MACHINE.c.id, ~exists().where(STRIKE.c.meter_reading_id == read.c.id)


def _one(read: FromClause, column: str, *order: ColumnElement[Any]) -> Select[Any]:
    """One column of the reading of a machine that is the first in an order."""
    return select(read.c[column]).where(*_standing(read)).order_by(*order).limit(1).correlate(MACHINE)


READ, FIRST, NEWEST, BEFORE = (METER.alias(name) for name in ("found", "first", "newest", "before"))
FIRST_ID = _one(FIRST, "id", FIRST.c.read_at, FIRST.c.id).scalar_subquery()
NEWEST_AT = _one(NEWEST, "read_at", NEWEST.c.read_at.desc()).scalar_subquery()
IS_STANDING = ~exists().where(STRIKE.c.meter_reading_id == READ.c.id)
SINCE = days_before(NEWEST_AT, WINDOW.days)
ONE_BEFORE = _one(BEFORE, "read_at", BEFORE.c.read_at.desc()).where(BEFORE.c.read_at < SINCE).scalar_subquery()
METER_COLUMNS = (
    *(READ.c.machine_id, READ.c.hours, READ.c.read_at, READ.c.person, READ.c.shown, READ.c.is_new_meter),
    *(READ.c.source, READ.c.entered_at, READ.c.id),
)
OF_OVERHAUL = SIGNATURE.c.overhaul_id == OVERHAUL.c.id
LAST_SIGNATURE = select(func.max(SIGNATURE.c.id)).where(OF_OVERHAUL).scalar_subquery()
IS_RETURNED = (
    select(func.count(distinct(SIGNATURE.c.meaning)) == len(RETURNED))
    .where(OF_OVERHAUL, SIGNATURE.c.meaning.in_([meaning.value for meaning in RETURNED]))
    .scalar_subquery()
)
RETURNED_AT = case((OVERHAUL.c.paper != "", OVERHAUL.c.opened_at), (IS_RETURNED, LAST.c.at)).label("returned_at")
LAST_READ = _one(NEWEST, "id", NEWEST.c.read_at.desc(), NEWEST.c.id.desc()).scalar_subquery()
HOURS = select(MACHINE.c.id, READ.c.hours).join_from(MACHINE, READ, READ.c.id == LAST_READ)
OVERHAULS = select(
    *(
        OVERHAUL.c.id,
        OVERHAUL.c.machine_id,
        OVERHAUL.c.number,
        OVERHAUL.c.hours,
        OVERHAUL.c.stages,
        OVERHAUL.c.has_rings,
    ),
    *(RETURNED_AT, OVERHAUL.c.opened_at, OVERHAUL.c.paper),
).outerjoin_from(OVERHAUL, LAST, LAST.c.id == LAST_SIGNATURE)
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
Some = Sequence[int] | None  # the machines that are asked for; None for all


class Returned(NamedTuple):
    """A closed overhaul as due days follow from it."""

    number: int
    hours: Decimal
    scope: Scope
    returned_at: datetime


class Overhauls(NamedTuple):
    """The closed overhauls of a machine that tell a due day, by the day they were done, and whether one is open."""

    newest_first: tuple[Returned, ...] = ()
    is_open: bool = False


class Newest(NamedTuple):
    """The newest overhaul of a machine by the day it was done, and which one is open."""

    number: int
    hours: Decimal
    opened_at: datetime
    open_id: int | None


class ServiceDone(NamedTuple):
    """A service as due days follow from it."""

    task: str
    hours: Decimal
    at: datetime
    is_in_order: bool


def meters_of(session: Session, only: Some = None) -> dict[int, list[MeterReading]]:
    """Give of each machine its first reading and those that the use of late follows from, in the order read."""
    first = select(*METER_COLUMNS).join_from(MACHINE, READ, READ.c.id == FIRST_ID)
    begins = _among(select(MACHINE.c.id, func.coalesce(ONE_BEFORE, SINCE).label("since")), MACHINE.c.id, only)
    late = begins.cte("late").prefix_with("MATERIALIZED")  # worked out once for each machine, and not for each reading
    is_of_late = and_(READ.c.machine_id == late.c.id, READ.c.read_at >= late.c.since, IS_STANDING)
    of_late = select(*METER_COLUMNS).join_from(late, READ, is_of_late).order_by(READ.c.read_at, READ.c.id)
    found: dict[int, dict[int, MeterReading]] = defaultdict(dict)
    for asked in (_among(first, MACHINE.c.id, only), of_late):
        for machine, hours, read_at, person, *beside in session.connection().execute(asked).all():
            found[machine][beside[-1]] = MeterReading(hours, read_at, person, *beside)
    return {machine: list(readings.values()) for machine, readings in found.items()}


def hours_of(session: Session) -> dict[int, Decimal]:
    """Give the hours last read of each machine."""
    return {row.id: row.hours for row in session.connection().execute(HOURS)}


def overhauls_of(session: Session, only: Some = None) -> dict[int, Overhauls]:
    """Give the overhauls of each machine."""
    return {machine: _overhauls(rows) for machine, rows in _by_machine(session, only).items()}


def newest_overhauls_of(session: Session) -> dict[int, Newest]:
    """Give the newest overhaul of each machine."""
    return {machine: _newest(in_date_order(rows)) for machine, rows in _by_machine(session, None).items()}


def _by_machine(session: Session, only: Some) -> dict[int, list[Row[Any]]]:
    """Read the overhauls that tell."""
    by_machine = defaultdict(list)
    for row in session.connection().execute(_that_tell(_among(OVERHAULS, OVERHAUL.c.machine_id, only))):
        by_machine[row.machine_id].append(row)
    return by_machine


def _newest(rows: Sequence[Row[Any]]) -> Newest:
    """Tell the newest of some that are in order, and the newest of those open."""
    is_open = [row.id for row in rows if row.returned_at is None]
    return Newest(rows[-1].number, rows[-1].hours, rows[-1].opened_at, is_open[-1] if is_open else None)


def _that_tell(asked: Select[Any]) -> Select[Any]:
    """Keep those still open, and of each scope the newest, the one that went back last, and the one that did so first.

    Those of a machine of which any is from paper stand among each other by their days, so all of them are kept.
    """
    all_of = asked.cte("overhauls").prefix_with("MATERIALIZED")  # looks for the signatures of each but once
    is_same = [all_of.c.machine_id, all_of.c.stages, all_of.c.has_rings]
    closed = select(
        *is_same, func.max(all_of.c.number).label("newest"),
        func.max(all_of.c.returned_at).label("last"), func.min(all_of.c.returned_at).label("first"),
    ).where(all_of.c.returned_at.is_not(None)).group_by(*is_same).subquery()  # fmt: skip
    on_paper = select(all_of.c.machine_id).where(all_of.c.paper != "")
    return (
        select(all_of)
        .outerjoin_from(all_of, closed, and_(*(one == closed.c[one.key] for one in is_same)))
        .where(
            or_(
                all_of.c.returned_at.is_(None),
                all_of.c.number == closed.c.newest,
                all_of.c.returned_at.in_([closed.c.last, closed.c.first]),
                all_of.c.machine_id.in_(on_paper),
            )
        )
        .order_by(all_of.c.machine_id, all_of.c.number)
    )


def _overhauls(rows: Sequence[Row[Any]]) -> Overhauls:
    """Put the overhauls of a machine together."""
    closed = [row for row in reversed(in_date_order(rows)) if row.returned_at is not None]
    returned = (Returned(row.number, row.hours, _scope(row.stages, row.has_rings), row.returned_at) for row in closed)
    return Overhauls(tuple(returned), is_open=len(closed) < len(rows))


def services_of(session: Session, only: Some = None) -> dict[int, list[ServiceDone]]:
    """Give the last services of each task of each machine, in the order they were entered."""
    is_one = (SERVICE.c.machine_id, SERVICE.c.task)
    last = _among(select(*is_one, func.max(SERVICE.c.at).label("at")), SERVICE.c.machine_id, only)
    of = last.group_by(*is_one).subquery()
    asked = select(SERVICE.c.machine_id, SERVICE.c.task, SERVICE.c.hours, SERVICE.c.at, SERVICE.c.is_in_order)
    same = [SERVICE.c[name] == of.c[name] for name in ("machine_id", "task", "at")]
    found = defaultdict(list)
    for machine, *service in session.connection().execute(asked.join(of, and_(*same)).order_by(SERVICE.c.id)):
        found[machine].append(ServiceDone(*service))
    return found


def machines_conceded(session: Session, only: Some = None) -> set[int]:
    """Give the machines on which a concession was ever granted."""
    return set(session.connection().execute(_among(CONCEDED, OVERHAUL.c.machine_id, only)).scalars())


def answers_of_amendments(session: Session, only: Some = None) -> dict[int, tuple[str, ...]]:
    """Give by machine the digests of the answers to amendments, by which a change of them is known."""
    found: dict[int, tuple[str, ...]] = {}
    for machine, digest in session.connection().execute(_among(AMENDED, OVERHAUL.c.machine_id, only)):
        found[machine] = *found.get(machine, ()), digest
    return found


def _among(asked: Select[Any], machine: ColumnElement[int], only: Some) -> Select[Any]:
    """Ask of some machines, where they are named."""
    return asked if only is None else asked.where(machine.in_(only))


@cache
def _scope(stages: str, has_rings: bool) -> Scope:
    """Read a scope back."""
    return Scope(tuple(int(stage) for stage in stages.split(",") if stage), has_rings)
