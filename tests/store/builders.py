"""Builders of what goes into a book: each gives something whole, and takes what a test cares about."""

import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, event

from app.domain.numbers import millimetres
from app.domain.overhaul import Machine, Scope
from app.domain.people import Role
from app.domain.readings import Kind, Occasion, Place, Reading
from app.domain.sheet_file import read_sheet
from app.store import quick
from app.store.book import Book, Writing
from app.store.machines import save_machine
from app.store.overhauls import save_overhaul
from app.store.people import save_person
from app.store.sheets import save_sheet

NOW = datetime(2031, 4, 5, 6, 7, 8, 9, tzinfo=UTC)
FITTER, CHIEF = "M. Tarrow", "I. Brandreth"
SHEETS = Path(__file__).parents[2] / "sample_data"
HOURS = Decimal("10300.50")
GAP = Place("2.ring-1", "closed-gap", "top")


def a_writing(book: Book, person: str = FITTER, now: datetime = NOW) -> Any:
    """Open a change in the fitter's name."""
    return book.writing(person, now)


def sheet_text(revision: str = "C") -> str:
    """Give the text of the demonstration sheet, at any revision."""
    text = (SHEETS / "qm-ga.toml").read_text(encoding="utf-8")
    return text.replace('revision = "C"', f'revision = "{revision}"', 1)


def a_sheet(writing: Writing, revision: str = "C") -> int:
    """Import the demonstration sheet."""
    text = sheet_text(revision)
    return save_sheet(writing, text, read_sheet(text), "")


def a_machine(writing: Writing, tag: str = "GA-1") -> Machine:
    """Add a machine."""
    return save_machine(writing, tag, "W31-0007", "Governor air compressor", "Quillmoor", "QM-GA")


def an_overhaul(writing: Writing, machine: Machine, request_id: str, hours: str = "10300.5") -> int:
    """Open an overhaul of stages 1 to 3 with rings."""
    return save_overhaul(writing, machine, "QM-GA", "C", Scope((1, 2, 3), True), Decimal(hours), request_id)


def an_open_book(book: Book) -> tuple[Machine, int]:
    """Fill a book with people, a sheet, a machine and its open overhaul."""
    with a_writing(book, CHIEF) as writing:
        save_person(writing, FITTER, Role.FITTER, "digest of a password")
        a_sheet(writing)
        machine = a_machine(writing)
        return machine, an_overhaul(writing, machine, "request-1")


def a_reading(identifier: str = "tablet-1", **changes: Any) -> Reading:
    """Take a closed gap between two leaves, with everything a reading can say beside it."""
    reading = Reading(
        id=identifier,
        place=GAP,
        occasion=Occasion.AS_FOUND,
        kind=Kind.PAIR,
        measured_by=FITTER,
        entered_by=FITTER,
        measured_at=NOW,
        stored_at=NOW,
        goes=millimetres("0.45"),
        does_not_go=millimetres("0.50"),
        instrument="feeler set F-2",
        temperature_c=Decimal("21.50"),
    )
    return replace(reading, **changes)


def statements_of(action: Callable[[], object], *verbs: str) -> list[tuple[str, Any]]:
    """Run an action and give every query it sent, or what begins with other verbs, with its parameters."""
    sent: list[tuple[str, Any]] = []

    def note(_connection: Any, _cursor: Any, statement: str, parameters: Any, *_rest: Any) -> None:
        if statement.startswith(verbs or ("SELECT", "WITH")):
            sent.append((statement, parameters))

    def run(made: quick.Made, connection: Connection, given: Mapping[str, object]) -> sqlite3.Cursor:
        note(None, None, made.words, made.values(given))
        return usual(made, connection, given)

    event.listen(Engine, "before_cursor_execute", note)
    usual, quick.Made.run = quick.Made.run, run  # what goes past the engine tells it of nothing
    try:
        action()
    finally:
        event.remove(Engine, "before_cursor_execute", note)
        quick.Made.run = usual
    return sent
