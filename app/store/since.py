"""Which machines anything was entered of since the chain had a certain head, so that the rest stand as they stood."""

import re
from collections.abc import Container, Sequence

from sqlalchemy import bindparam, select
from sqlmodel import Session

from app.domain.overhaul import Machine
from app.store.chain import ENTRY
from app.store.rows import MachineRow, OverhaulRow, table_of

MACHINE, OVERHAUL = table_of(MachineRow), table_of(OverhaulRow)
MOST_ENTRIES = 5000  # with more than these since, all is looked at afresh
OF_NONE = "part number "  # what is on hand of it belongs to no machine
OF_ONE = re.compile(r"(machine|overhaul) (.+)", re.DOTALL)
KNOWN = select(ENTRY.c.digest).where(ENTRY.c.seq == bindparam("seq"))
SUBJECTS = select(ENTRY.c.subject).where(ENTRY.c.seq > bindparam("seq")).order_by(ENTRY.c.seq).limit(MOST_ENTRIES + 1)


def machines_since(session: Session, head: tuple[int, str]) -> set[int] | None:
    """Give the machines that anything was entered of since; None where it could be any, or the chain is another."""
    seq, digest = head
    connection = session.connection()
    if connection.execute(KNOWN, {"seq": seq}).scalar_one_or_none() != digest:
        return None
    entered = connection.execute(SUBJECTS, {"seq": seq}).scalars().all()
    subjects = {subject for subject in entered if not subject.startswith(OF_NONE)}
    named = [found.groups() for subject in subjects if (found := OF_ONE.fullmatch(subject))]
    tags, numbers = ([name for kind, name in named if kind == word] for word in ("machine", "overhaul"))
    if len(entered) > MOST_ENTRIES or len(named) < len(subjects) or not all(map(str.isdecimal, numbers)):
        return None
    machines = connection.execute(select(MACHINE.c.id).where(MACHINE.c.tag.in_(tags))).scalars().all()
    is_one = OVERHAUL.c.id.in_(list(map(int, numbers)))
    opened = connection.execute(select(OVERHAUL.c.machine_id).where(is_one)).scalars().all()
    return {*machines, *opened} if (len(machines), len(opened)) == (len(tags), len(numbers)) else None


def stale_among(
    session: Session, machines: Sequence[Machine], known: Container[int], head: tuple[int, str] | None
) -> list[Machine]:
    """Give those of some machines that are not known, or not as they stood when the chain had this head."""
    changed = machines_since(session, head) if head else None
    return [one for one in machines if changed is None or one.id in changed or one.id not in known]
