"""The history of one characteristic of a part over all overhauls of its machine."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple

from sqlalchemy import Select, bindparam, select
from sqlmodel import Session

from app.domain.readings import Kind, Occasion
from app.domain.units import LengthUnit, to_mm
from app.store.fact_rows import ReadingRow
from app.store.rows import OverhaulRow, table_of

READING = table_of(ReadingRow)
OVERHAUL = table_of(OverhaulRow)
LENGTHS = [READING.c[f"{name}{end}"] for name in ("value", "set_size", "goes", "does_not_go") for end in ("", "_unit")]
HISTORY = (
    select(
        *(OVERHAUL.c.id, OVERHAUL.c.number, OVERHAUL.c.hours, READING.c.id, READING.c.occasion),
        *(READING.c.level, READING.c.axis, READING.c.kind, READING.c.measured_by, READING.c.instrument),
        *(READING.c.measured_at, *LENGTHS, READING.c.supersedes),
    )
    .join_from(OVERHAUL, READING, READING.c.overhaul_id == OVERHAUL.c.id)
    .where(OVERHAUL.c.machine_id == bindparam("machine"))
    .where(READING.c.is_second_look.is_(False))
    .where(READING.c.part == bindparam("part"), READING.c.characteristic == bindparam("characteristic"))
    .order_by(OVERHAUL.c.number, READING.c.seq)
)
EARLIER = HISTORY.where(OVERHAUL.c.id.in_(bindparam("earlier", expanding=True)))


class PastReading(NamedTuple):
    """One entry of a machine's history; `is_standing` is False where it was struck through or taken back."""

    overhaul_id: int
    overhaul_number: int
    hours: Decimal
    id: str
    occasion: Occasion
    level: str
    axis: str
    kind: Kind
    measured_by: str
    instrument: str
    at: datetime
    size_mm: Decimal | None
    goes_mm: Decimal | None
    does_not_go_mm: Decimal | None
    is_standing: bool


def list_history(session: Session, machine_id: int, part_ref: str, characteristic: str) -> list[PastReading]:
    """List every entry for a characteristic over all overhauls of a machine, oldest first."""
    return _listed(session, HISTORY, {"machine": machine_id, "part": part_ref, "characteristic": characteristic})


def list_earlier(
    session: Session, machine_id: int, overhaul_ids: Sequence[int], part_ref: str, characteristic: str
) -> list[PastReading]:
    """List the entries of some overhauls of a machine for a characteristic, the oldest overhaul first."""
    asked = {"machine": machine_id, "earlier": overhaul_ids, "part": part_ref, "characteristic": characteristic}
    return _listed(session, EARLIER, asked) if overhaul_ids else []


def _listed(session: Session, statement: Select[Any], asked: dict[str, object]) -> list[PastReading]:
    """Ask for entries, and tell which of them stand."""
    rows = [tuple(row) for row in session.connection().execute(statement, asked)]
    gone = {row[-1] for row in rows if row[7] == Kind.TAKEN_BACK}
    entries = [row for row in rows if row[7] != Kind.TAKEN_BACK]
    left = (row for row in entries if row[3] not in gone)
    last = {(overhaul, occasion, level, axis): id_ for overhaul, _, _, id_, occasion, level, axis, *_ in left}
    standing = set(last.values())
    return [_past(row, row[3] in standing) for row in entries]


def _past(row: tuple[Any, ...], is_standing: bool) -> PastReading:
    """Turn a row into an entry of the history, sizes in millimetres."""
    overhaul, number, hours, identifier, occasion, level, axis, kind, measured_by, instrument, at = row[:11]
    value_mm, set_mm = _mm(*row[11:13]), _mm(*row[13:15])
    return PastReading(
        overhaul,
        number,
        hours,
        identifier,
        Occasion(occasion),
        level,
        axis,
        Kind(kind),
        measured_by,
        instrument,
        at,
        value_mm if value_mm is None or set_mm is None else value_mm + set_mm,
        _mm(*row[15:17]),
        _mm(*row[17:19]),
        is_standing,
    )


def _mm(value: Decimal | None, unit: str | None) -> Decimal | None:
    """Give a stored length in millimetres."""
    return None if value is None or unit is None else to_mm(value, LengthUnit(unit))
