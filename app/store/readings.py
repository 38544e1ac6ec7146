"""Readings in and out: each stored once, and read back in the order they came."""

import json
from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

from sqlalchemy import Row, bindparam, func, select
from sqlmodel import Session

from app.domain.canonical import as_dict, canonical
from app.domain.errors import NotThere, WearbookError
from app.domain.readings import Kind, Occasion, Reading, place_at, shared
from app.store.book import Writing
from app.store.chain import overhaul_subject
from app.store.fact_rows import ReadingRow
from app.store.lengths import length_from, length_values
from app.store.quick import look_up
from app.store.rows import table_of
from app.store.together import by_overhaul, once, read_with

READING = table_of(ReadingRow)
ENTERED, CORRECTED, LOOKED = "reading entered", "reading corrected", "second look entered"
TAKEN_BACK = "entry taken back"
ENTERED_WORDS = ENTERED, CORRECTED, LOOKED, TAKEN_BACK
NOTHING = canonical(())
OCCASIONS = {each.value: each for each in Occasion}  # found sooner than by the class
KINDS = {each.value: each for each in Kind}
LENGTHS = ("value", "goes", "does_not_go", "set_size")
KEPT_AS_GIVEN = (
    *("measured_by", "entered_by", "measured_at", "stored_at"),
    *("reason", "instrument", "temperature_c", "is_second_look", "correction"),
)
WITH_IDENTIFIER = select(READING).where(READING.c.id == bindparam("identifier"))
IS_THERE = select(READING.c.seq).where(READING.c.id == bindparam("identifier"))
OF_OVERHAUL = select(READING).where(READING.c.overhaul_id == bindparam("overhaul")).order_by(READING.c.seq)
OF_OVERHAULS = (
    select(READING).where(READING.c.overhaul_id.in_(bindparam("overhauls", expanding=True))).order_by(READING.c.seq)
)
IS_OF_STAGE = READING.c.part >= bindparam("first"), READING.c.part < bindparam("end")
OF_STAGE, OF_STAGES = OF_OVERHAUL.where(*IS_OF_STAGE), OF_OVERHAULS.where(*IS_OF_STAGE)

WITH_IDENTIFIERS = (
    select(READING).where(READING.c.id.in_(bindparam("identifiers", expanding=True))).order_by(READING.c.seq)
)
COUNT_OF_OVERHAUL = select(func.count()).select_from(READING).where(READING.c.overhaul_id == bindparam("overhaul"))


class IdentifierTaken(WearbookError):
    """The tablet's identifier already stands for another entry."""


class Stored(NamedTuple):
    """An entry of the book, and the overhaul it stands in."""

    overhaul_id: int
    reading: Reading


def save_reading(writing: Writing, overhaul_id: int, reading: Reading) -> bool:
    """Store a reading; False where the very same entry is stored already, as when a tablet sends it twice.

    The same entry means the same overhaul, place and content. Who sent it, when, and what it superseded may
    differ the second time; the first sending counts.
    """
    stored = find_stored(writing.session, reading.id)
    if stored is not None:
        must_be_the_same(stored, overhaul_id, reading)
        return False
    add_reading(writing, overhaul_id, reading)
    return True


def find_stored(session: Session, identifier: str) -> Stored | None:
    """Find the entry with an identifier, and where it stands."""
    if not look_up(session.connection(), IS_THERE, {"identifier": identifier}):
        return None  # as it is for nearly every entry that is kept
    row = session.connection().execute(WITH_IDENTIFIER, {"identifier": identifier}).one()
    return Stored(row.overhaul_id, reading_from(row))


def add_reading(writing: Writing, overhaul_id: int, reading: Reading) -> None:
    """Add a reading whose identifier is new, and enter it into the chain."""
    values = {"overhaul_id": overhaul_id, **_values(reading)}
    writing.insert(ReadingRow, **values)
    entered = CORRECTED if reading.supersedes else ENTERED
    kept = LOOKED if reading.is_second_look else entered
    what = TAKEN_BACK if reading.kind is Kind.TAKEN_BACK else kept
    why = reading.correction or reading.reason
    writing.enter(what, overhaul_subject(overhaul_id), reading.supersedes or None, values, why)


def list_readings(session: Session, overhaul_id: int, stage: int | None = None) -> tuple[Reading, ...]:
    """List an overhaul's readings in the order they were stored; where a stage is named, those of its parts alone."""
    asked: dict[str, object] = {} if stage is None else {"first": f"{stage}.", "end": f"{stage}/"}  # after the point
    connection, overhauls = session.connection(), read_with(session, overhaul_id)
    if not overhauls:
        rows = connection.execute(OF_OVERHAUL if stage is None else OF_STAGE, asked | {"overhaul": overhaul_id}).all()
        return tuple(reading_from(row) for row in rows)
    several = (OF_OVERHAULS if stage is None else OF_STAGES), asked | {"overhauls": overhauls}
    found = once(session, (ReadingRow, stage), lambda: by_overhaul(connection.execute(*several).all()))
    return tuple(reading_from(row) for row in found.pop(overhaul_id, []))


def list_readings_by_id(session: Session, identifiers: list[str]) -> tuple[Reading, ...]:
    """List the entries with these identifiers in the order they were stored."""
    rows = session.connection().execute(WITH_IDENTIFIERS, {"identifiers": identifiers}).all()
    return tuple(reading_from(row) for row in rows)


def get_reading(session: Session, identifier: str) -> Reading:
    """Give the entry with this identifier; NotThere when the book has none."""
    stored = find_stored(session, identifier)
    if stored is None:
        raise NotThere(f"There is no reading {identifier} in the book.")
    return stored.reading


def count_readings(session: Session, overhaul_id: int) -> int:
    """Count an overhaul's entries."""
    return int(session.connection().execute(COUNT_OF_OVERHAUL, {"overhaul": overhaul_id}).scalar_one())


def reading_from(row: Row[*tuple[Any, ...]]) -> Reading:
    """Turn a row into a reading; its columns come in the order of the table, taken apart at once for speed."""
    _seq, identifier, _overhaul, *place, occasion, kind = row[:9]
    measured_by, entered_by, measured_at, stored_at = row[9:13]
    findings, reason, instrument, temperature_c, supersedes, is_second_look, correction = row[25:]
    return Reading(
        id=identifier,
        place=place_at(*place),
        occasion=OCCASIONS.get(occasion) or Occasion(occasion),
        kind=KINDS.get(kind) or Kind(kind),
        measured_by=shared(measured_by),
        entered_by=shared(entered_by),
        measured_at=measured_at,
        stored_at=stored_at,
        value=length_from(*row[13:16]),
        goes=length_from(*row[16:19]),
        does_not_go=length_from(*row[19:22]),
        set_size=length_from(*row[22:25]),
        findings=_seen(findings) if findings != NOTHING else (),
        reason=reason,
        instrument=shared(instrument),
        temperature_c=temperature_c,
        supersedes=supersedes,
        is_second_look=is_second_look,
        correction=correction,
    )


@lru_cache(maxsize=1024)
def _seen(findings: str) -> tuple[str, ...]:
    """Read what was seen; the same few words come again and again."""
    return tuple(json.loads(findings))


def _values(reading: Reading) -> dict[str, object]:
    """Give the column values of a reading."""
    values: dict[str, object] = {
        "id": reading.id,
        **as_dict(reading.place),
        "occasion": reading.occasion.value,
        "kind": reading.kind.value,
        "findings": canonical(reading.findings),
        "supersedes": reading.supersedes,
    }
    for name in LENGTHS:
        values |= length_values(name, getattr(reading, name))
    return values | {name: getattr(reading, name) for name in KEPT_AS_GIVEN}


def must_be_the_same(stored: Stored, overhaul_id: int, again: Reading) -> None:
    """Refuse an identifier that stands for something else already."""
    first = stored.reading
    as_first = replace(
        again,
        entered_by=first.entered_by,
        measured_at=first.measured_at,
        stored_at=first.stored_at,
        supersedes=first.supersedes,
    )
    if stored.overhaul_id != overhaul_id or as_first != first:
        raise IdentifierTaken(
            f"The identifier {first.id} already stands for “{first.written}” at {first.place.part}. "
            "Enter the reading again, so that it gets an identifier of its own."
        )
