"""What the chain says of one machine: the entries of its own and those of its overhauls."""

from typing import Any, NamedTuple

from sqlalchemy import select
from sqlmodel import Session

from app.store.chain import ENTRY, Entry, entry_from, overhaul_subject
from app.store.rows import MachineRow, OverhaulRow, table_of

OVERHAUL, MACHINE = table_of(OverhaulRow), table_of(MachineRow)


class OverhaulName(NamedTuple):
    """By what an overhaul is known: the machine's tag and its number there."""

    id: int
    tag: str
    number: int


def name_overhauls(session: Session, overhaul_ids: set[int]) -> dict[int, OverhaulName]:
    """Name some overhauls."""
    of_machine = select(OVERHAUL.c.id, MACHINE.c.tag, OVERHAUL.c.number).join_from(OVERHAUL, MACHINE)
    rows = session.connection().execute(of_machine.where(OVERHAUL.c.id.in_(sorted(overhaul_ids))))
    return {row.id: OverhaulName(*row) for row in rows}


def name_overhauls_of(session: Session, machine_id: int) -> dict[int, OverhaulName]:
    """Name every overhaul of a machine."""
    ids = session.connection().execute(select(OVERHAUL.c.id).where(OVERHAUL.c.machine_id == machine_id))
    return name_overhauls(session, set(ids.scalars()))


def list_entries_of(session: Session, subjects: list[str], whats: list[str]) -> list[Entry]:
    """List the entries on some subjects that are of some kinds, in the order entered."""
    statement = select(ENTRY).where(ENTRY.c.subject.in_(subjects), ENTRY.c.what.in_(whats)).order_by(ENTRY.c.seq)
    rows: Any = session.connection().execute(statement).mappings()
    return [entry_from(dict(row)) for row in rows]


def subjects_of(tag: str, names: dict[int, OverhaulName]) -> list[str]:
    """Every subject under which the chain speaks of a machine."""
    return [f"machine {tag}", *map(overhaul_subject, names)]
