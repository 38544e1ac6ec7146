"""The readings of one machine over all its overhauls, chosen by part, person, instrument, overhaul and day."""

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, or_, select
from sqlmodel import Session

from app.domain.readings import Reading
from app.store.fact_rows import ReadingRow
from app.store.readings import reading_from
from app.store.rows import OverhaulRow, table_of

AT_ONCE = 1000  # numbers in one question, of which a database takes only so many
READING, OVERHAUL = table_of(ReadingRow), table_of(OverhaulRow)


@dataclass(frozen=True)
class Choice:
    """Which readings of a machine are wanted; what is left empty chooses nothing out."""

    part: str = ""
    person: str = ""  # who measured or entered it
    instrument: str = ""
    overhaul: int | None = None
    since: datetime | None = None
    until: datetime | None = None


class ReadingKey(NamedTuple):
    """By what a reading is found again: its place in the order stored, its identifier, and its overhaul."""

    seq: int
    id: str
    overhaul_id: int


def list_reading_keys(session: Session, machine_id: int, choice: Choice) -> list[ReadingKey]:
    """List the readings chosen, the newest overhaul first and in it the newest reading."""
    statement = (
        select(READING.c.seq, READING.c.id, READING.c.overhaul_id)
        .join_from(OVERHAUL, READING, READING.c.overhaul_id == OVERHAUL.c.id)
        .where(OVERHAUL.c.machine_id == machine_id, *_conditions(choice))
        .order_by(OVERHAUL.c.opened_at.desc(), READING.c.seq.desc())
    )
    return [ReadingKey(*row) for row in session.connection().execute(statement)]


def get_readings(session: Session, keys: list[ReadingKey]) -> list[Reading]:
    """Give the readings of some keys, in their order."""
    found: dict[str, Reading] = {}
    for start in range(0, len(keys), AT_ONCE):
        some = select(READING).where(READING.c.seq.in_([key.seq for key in keys[start : start + AT_ONCE]]))
        found |= {row.id: reading_from(row) for row in session.connection().execute(some)}
    return [found[key.id] for key in keys]


def list_people_and_instruments(session: Session, machine_id: int) -> tuple[list[str], list[str]]:
    """List who measured on a machine, and with what."""
    columns = READING.c.measured_by, READING.c.entered_by, READING.c.instrument
    statement = select(*columns).join_from(OVERHAUL, READING, READING.c.overhaul_id == OVERHAUL.c.id).distinct()
    rows = session.connection().execute(statement.where(OVERHAUL.c.machine_id == machine_id)).all()
    people = {name for measured_by, entered_by, _ in rows for name in (measured_by, entered_by)}
    return sorted(people), sorted({instrument for *_, instrument in rows if instrument})


def _conditions(choice: Choice) -> list[ColumnElement[bool]]:
    """What must be so of a reading that is chosen."""
    wanted = {READING.c.part: choice.part, READING.c.instrument: choice.instrument}
    conditions = [column == value for column, value in wanted.items() if value]
    if choice.person:
        conditions.append(or_(READING.c.measured_by == choice.person, READING.c.entered_by == choice.person))
    if choice.overhaul is not None:
        conditions.append(OVERHAUL.c.number == choice.overhaul)
    if choice.since is not None:
        conditions.append(READING.c.measured_at >= choice.since)
    if choice.until is not None:
        conditions.append(READING.c.measured_at < choice.until)
    return conditions
