"""Tests that the questions asked most often find their rows by an index, however large the book grows."""

import sqlite3
from collections.abc import Callable
from contextlib import closing

import pytest
from sqlmodel import Session

from app.store.all_machines import answers_of_amendments, machines_conceded, meters_of, overhauls_of, services_of
from app.store.book import Book
from app.store.chain import chain_head, list_entries
from app.store.history import list_history
from app.store.machine_readings import Choice, list_people_and_instruments, list_reading_keys
from app.store.machines import find_machine, list_meter_readings
from app.store.overhauls import find_open_overhaul, get_overhaul, list_overhauls
from app.store.readings import save_reading
from app.store.sign_ins import find_sign_in, get_preferences
from app.store.since import machines_since
from app.store.timeline import list_entries_of, name_overhauls_of, subjects_of
from tests.store.builders import a_reading, a_writing, an_open_book, statements_of

QUESTIONS: dict[str, Callable[[Session], object]] = {
    "history": lambda session: list_history(session, 1, "2.ring-1", "closed-gap"),
    "overhaul": lambda session: get_overhaul(session, 1),
    "overhauls of a machine": lambda session: list_overhauls(session, 1),
    "open overhaul": lambda session: find_open_overhaul(session, 1),
    "machine": lambda session: find_machine(session, "GA-1"),
    "hours": lambda session: list_meter_readings(session, 1),
    "readings of a machine": lambda session: list_reading_keys(session, 1, Choice(person="M. Tarrow")),
    "timeline": lambda session: list_entries_of(
        session, subjects_of("GA-1", name_overhauls_of(session, 1)), ["signed"]
    ),
    "who measured": lambda session: list_people_and_instruments(session, 1),
    "signed in": lambda session: find_sign_in(session.connection(), "token"),
    "preferences": lambda session: get_preferences(session, 1),
    "hours that tell due days": lambda session: meters_of(session, [1]),
    "overhauls that tell due days": lambda session: overhauls_of(session, [1]),
    "services that tell due days": lambda session: services_of(session, [1]),
    "concessions": lambda session: machines_conceded(session, [1]),
    "amendments": lambda session: answers_of_amendments(session, [1]),
    "what came since": lambda session: machines_since(session, chain_head(session)),
    "entries of a subject": lambda session: list_entries(session, "overhaul 1"),
}


@pytest.mark.parametrize("question", QUESTIONS)
def test_question_is_answered_without_a_full_scan(book: Book, question: str) -> None:
    an_open_book(book)

    def ask() -> None:
        with book.reading() as session:
            QUESTIONS[question](session)

    plans = _plans(book, ask)

    assert plans
    assert _scanned(book, plans) == []


def test_what_is_due_on_all_machines_looks_only_through_what_is_one_row_for_a_machine_or_an_overhaul(
    book: Book,
) -> None:
    an_open_book(book)

    def ask() -> None:
        with book.reading() as session:
            meters_of(session), overhauls_of(session), machines_since(session, (1, ""))

    plans = _plans(book, ask)

    assert set(_scanned(book, plans)) <= {"machine", "overhaul"}
    assert [plan for plan in plans if "SEARCH signature USING" in plan or "SEARCH found USING INDEX" in plan] != []


def test_history_is_one_query_by_machine_part_and_characteristic(book: Book) -> None:
    an_open_book(book)

    def ask() -> None:
        with book.reading() as session:
            list_history(session, 1, "2.ring-1", "closed-gap")

    assert len(statements_of(ask)) == 1
    assert [plan for plan in _plans(book, ask) if plan.startswith("SEARCH")] == [
        "SEARCH overhaul USING INDEX sqlite_autoindex_overhaul_1 (machine_id=?)",
        "SEARCH reading USING INDEX reading_of_part (overhaul_id=? AND part=? AND characteristic=?)",
    ]


def test_saving_a_reading_asks_only_for_its_identifier_and_the_head_of_the_chain(book: Book) -> None:
    _, overhaul_id = an_open_book(book)

    def save() -> None:
        with a_writing(book) as writing:
            save_reading(writing, overhaul_id, a_reading())

    def ask_head() -> None:
        with book.reading() as session:
            chain_head(session)

    asked = [statement for statement, _ in statements_of(save)]

    assert len(asked) == 2
    assert asked[0].endswith("WHERE reading.id = ?")
    assert asked[1] == statements_of(ask_head)[0][0]


def _scanned(book: Book, plans: list[str]) -> list[str]:
    """The tables that are looked through from end to end; what a query has picked first is none."""
    with closing(sqlite3.connect(book.path)) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    return [plan.split()[1] for plan in plans if plan.startswith("SCAN") and plan.split()[1] in tables]


def _plans(book: Book, ask: Callable[[], object]) -> list[str]:
    """Ask the database how it answers each query of an action."""
    sent = statements_of(ask)
    with closing(sqlite3.connect(book.path)) as connection:
        plans = [connection.execute(f"EXPLAIN QUERY PLAN {statement}", values).fetchall() for statement, values in sent]
    return [step[3] for plan in plans for step in plan]
