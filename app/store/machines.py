"""Machines and the operating hours read from their meters."""

from typing import Any

from sqlalchemy import Row, bindparam
from sqlalchemy import select as columns
from sqlmodel import Session

from app.domain.canonical import as_dict
from app.domain.errors import InputRefused, NotThere
from app.domain.overhaul import Machine, MeterReading
from app.store.book import Writing
from app.store.rows import MachineRow, MeterReadingRow, MeterStrikeRow, table_of

MACHINE = table_of(MachineRow)
MACHINES = columns(
    *(MACHINE.c.id, MACHINE.c.tag, MACHINE.c.serial, MACHINE.c.name, MACHINE.c.site, MACHINE.c.sheet_name)
).order_by(MACHINE.c.tag)

METER, STRIKE = table_of(MeterReadingRow), table_of(MeterStrikeRow)
METERS = (
    columns(METER, STRIKE.c.reason)
    .outerjoin_from(METER, STRIKE, STRIKE.c.meter_reading_id == METER.c.id)
    .where(METER.c.machine_id == bindparam("machine"))
    .order_by(METER.c.read_at, METER.c.id)
)


def save_machine(writing: Writing, tag: str, serial: str, name: str, site: str, sheet_name: str) -> Machine:
    """Add a machine whose tag is not in the book yet."""
    if find_machine(writing.session, tag) is not None:
        raise InputRefused({"tag": f"{tag} is in the book already."})
    values = {"tag": tag, "serial": serial, "name": name, "site": site, "sheet_name": sheet_name}
    number = writing.insert(MachineRow, **values, added_at=writing.now)
    writing.enter("machine added", f"machine {tag}", None, {**values, "added_at": writing.now})
    return Machine(number, tag, serial, name, site, sheet_name)


def find_machine(session: Session, tag: str) -> Machine | None:
    """Find a machine by its tag."""
    row = session.connection().execute(MACHINES.where(MACHINE.c.tag == tag)).one_or_none()
    return None if row is None else Machine(*row)


def get_machine(session: Session, tag: str) -> Machine:
    """Give the machine with a tag, or refuse."""
    machine = find_machine(session, tag)
    if machine is None:
        raise NotThere(f"No machine “{tag[:40]}” is in the book.")
    return machine


def get_machine_by_number(session: Session, machine_id: int) -> Machine:
    """Give the machine that other rows name by its number."""
    return machine_from(session.get_one(MachineRow, machine_id))


def list_machines(session: Session) -> list[Machine]:
    """List every machine by its tag."""
    return [Machine(*row) for row in session.connection().execute(MACHINES)]


def save_meter_reading(writing: Writing, machine: Machine, reading: MeterReading, why: str = "") -> int:
    """Keep the hours read from a machine's meter."""
    values: dict[str, object] = {"machine_id": machine.id, **as_dict(reading)}
    del values["id"]
    number = writing.insert(MeterReadingRow, **values)
    writing.enter("hours recorded", f"machine {machine.tag}", None, values, why)
    return number


def save_strike(writing: Writing, machine: Machine, struck: MeterReading, reason: str) -> None:
    """Let a misread meter reading count no longer; it stays in the book."""
    values = {"meter_reading_id": struck.id, "reason": reason, "person": writing.person, "at": writing.now}
    writing.insert(MeterStrikeRow, **values)
    writing.enter("hours struck", f"machine {machine.tag}", {"hours": struck.hours}, values, reason)


def list_meter_readings(session: Session, machine_id: int) -> list[MeterReading]:
    """List a machine's hours in the order they were read, without those struck as misread."""
    return [each for each, strike in list_meter_entries(session, machine_id) if not strike]


def list_meter_entries(session: Session, machine_id: int) -> list[tuple[MeterReading, str]]:
    """List every meter reading in the order read, each with the reason for which it was struck, or nothing."""
    rows = session.connection().execute(METERS, {"machine": machine_id})
    return [(_meter_reading(row), row.reason or "") for row in rows]


def _meter_reading(row: Row[Any]) -> MeterReading:
    """Turn a row into a meter reading."""
    beside = row.shown, row.is_new_meter, row.source, row.entered_at, row.id
    return MeterReading(row.hours, row.read_at, row.person, *beside)


def machine_from(row: MachineRow) -> Machine:
    """Turn a row into a machine."""
    return Machine(row.id or 0, row.tag, row.serial, row.name, row.site, row.sheet_name)
