"""Rows of the book as they leave it: every column of everything entered, in the order in which it was entered."""

import json
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any

from sqlalchemy import Select, Table, select
from sqlalchemy.types import TypeDecorator, TypeEngine
from sqlmodel import Session

from app.domain.canonical import canonical
from app.store.chain import ENTRY, overhaul_subject
from app.store.decimals import DecimalText
from app.store.evidence import ENTERED_AS
from app.store.rows import MachineRow, MeterReadingRow, OverhaulRow, PersonRow, SheetRevisionRow, table_of
from app.store.site_signatures import SUBJECT

OVERHAUL = table_of(OverhaulRow)
METER = table_of(MeterReadingRow)
SHEET = table_of(SheetRevisionRow)
MACHINE = table_of(MachineRow)
PERSON = table_of(PersonRow)
SECRET = {"person": {"password_digest"}}
ENTRIES_AT_ONCE = 500
KINDS: dict[type, str] = {str: "text", int: "number", bool: "yes or no", datetime: "moment", date: "day"}

Row = dict[str, Any]


def fact_tables() -> dict[str, Table]:
    """The tables of everything entered in an overhaul of this book, by name."""
    tables = [table_of(row) for row in ENTERED_AS]
    return {table.name: table for table in tables if "overhaul_id" in table.c and table.c.overhaul_id.foreign_keys}


def machine_tables() -> dict[str, Table]:
    """The tables of everything entered on a machine outside its overhauls, by name; a strike goes by its reading."""
    others = {name: table for name, table in all_tables().items() if name != OVERHAUL.name}
    return {name: table for name, table in others.items() if {"machine_id", "meter_reading_id"} & set(table.c.keys())}


def site_tables() -> dict[str, Table]:
    """The tables of what belongs to the site and to no machine, by name: its rules, its stock."""
    apart = {PERSON.name, SHEET.name, MACHINE.name, OVERHAUL.name, ENTRY.name, *machine_tables(), *fact_tables()}
    return {name: table for name, table in all_tables().items() if name not in apart}


def export_site_table(session: Session, table: Table) -> list[Row]:
    """Everything entered in a table of the site."""
    (key,) = table.primary_key
    return _rows(session, select(table).order_by(key), table)


def all_tables() -> dict[str, Table]:
    """Every table that is exported, by name."""
    return {table.name: table for table in (*map(table_of, ENTERED_AS), ENTRY)}


def columns_of(table: Table) -> dict[str, tuple[str, bool]]:
    """The kind of every exported column of a table, and whether it may lack its value."""
    hidden = SECRET.get(table.name, set())
    return {column.name: (_kind(column.type), bool(column.nullable)) for column in table.c if column.name not in hidden}


def _kind(of: TypeEngine[Any]) -> str:
    """What a column holds."""
    if isinstance(of, DecimalText):
        return "digits"
    return KINDS[of.impl_instance.python_type if isinstance(of, TypeDecorator) else of.python_type]


def entered_as() -> dict[str, list[str]]:
    """By table, the words under which its rows stand in the chain."""
    return {table_of(row).name: list(whats) for row, whats in ENTERED_AS.items()}


def export_machines(session: Session, tag: str = "") -> list[Row]:
    """The machines, or the one with a tag, each with what was entered on it outside its overhauls."""
    asked = select(MACHINE).order_by(MACHINE.c.id)
    machines = _rows(session, asked.where(MACHINE.c.tag == tag) if tag else asked, MACHINE)
    for machine in machines:
        for name, table in machine_tables().items():
            machine[name] = _rows(session, _of_machine(table, machine["id"]), table)
    return machines


def _of_machine(table: Table, machine_id: int) -> Select[Any]:
    """Choose what was entered on a machine; what belongs to an overhaul stands there."""
    (key,) = table.primary_key
    readings = select(METER.c.id).where(METER.c.machine_id == machine_id)
    its = table.c.machine_id == machine_id if "machine_id" in table.c else table.c.meter_reading_id.in_(readings)
    asked = select(table).where(its).order_by(key)
    return asked.where(table.c.overhaul_id.is_(None)) if "overhaul_id" in table.c else asked


def export_overhaul_numbers(session: Session, machine_id: int) -> list[int]:
    """The primary keys of a machine's overhauls in the order of their numbers."""
    asked = select(OVERHAUL.c.id).where(OVERHAUL.c.machine_id == machine_id).order_by(OVERHAUL.c.number)
    return list(session.connection().execute(asked).scalars())


def export_overhaul(session: Session, overhaul_id: int) -> Row:
    """One overhaul with everything entered in it."""
    (overhaul,) = _rows(session, select(OVERHAUL).where(OVERHAUL.c.id == overhaul_id), OVERHAUL)
    for name, table in fact_tables().items():
        (key,) = table.primary_key
        overhaul[name] = _rows(session, select(table).where(table.c.overhaul_id == overhaul_id).order_by(key), table)
    return overhaul


def export_sheets(session: Session, ids: set[int] | None) -> Iterator[Row]:
    """The revisions of limit sheets with the text they were imported from; all of them where none are named."""
    asked = select(SHEET.c.id).order_by(SHEET.c.id)
    for number in list(session.connection().execute(asked).scalars()):
        if ids is None or number in ids:
            yield from _rows(session, select(SHEET).where(SHEET.c.id == number), SHEET)


def export_people(session: Session) -> list[Row]:
    """Everybody in the book, without the digests of their passwords."""
    return _rows(session, select(PERSON).order_by(PERSON.c.id), PERSON)


def export_entries(session: Session, subjects: list[str] | None) -> Iterator[Row]:
    """The entries of the chain, of some subjects where they are named, a few at a time."""
    last = 0
    while True:
        asked = select(ENTRY).where(ENTRY.c.seq > last).order_by(ENTRY.c.seq).limit(ENTRIES_AT_ONCE)
        if subjects is not None:
            asked = asked.where(ENTRY.c.subject.in_(subjects))
        rows = _rows(session, asked, ENTRY)
        yield from rows
        if len(rows) < ENTRIES_AT_ONCE:
            return
        last = rows[-1]["seq"]


def subjects_of(machines: list[Row], overhauls: list[int], sheets: list[Row], instruments: Iterable[str]) -> list[str]:
    """Under which subjects the chain speaks of machines, overhauls, sheets and instruments, and of the site's key."""
    return [
        SUBJECT,
        *(f"machine {machine[by]}" for machine in machines for by in ("tag", "id")),
        *(overhaul_subject(number) for number in overhauls),
        *(f"sheet {sheet['name']} rev {sheet['revision']}" for sheet in sheets),
        *(f"instrument {name}" for name in instruments),
    ]


def _rows(session: Session, asked: Select[Any], table: Table) -> list[Row]:
    """Read rows as plain JSON knows them: decimals and moments as text."""
    hidden = SECRET.get(table.name, set())
    rows = session.connection().execute(asked).mappings()
    shown: list[Row] = json.loads(canonical([{name: row[name] for name in row if name not in hidden} for row in rows]))
    return shown
