"""Tests of opening an overhaul: its hours, its scope, once only."""

from datetime import timedelta

import pytest

from app.actions.machines import machine_state
from app.domain.overhaul import Scope
from app.store.book import Book
from tests.builders import a_machine
from tests.web.forms import form_of, said_beside, ticked, typed_in
from tests.web.visitor import Visitor, a_visitor, an_auditor
from tests.web.workshop import BEFORE, Workshop

OPEN = "/machines/GA-1/open"


def a_fitter_at_the_form(book: Book) -> Visitor:
    """A fitter before the opening's form of GA-1, whose meter stood at 2000 h a hundred days ago."""
    a_machine(book, at=BEFORE)
    fitter = a_visitor(book)
    fitter.get(OPEN)
    return fitter


def test_opening_leads_to_making_safe_and_keeps_hours_scope_and_revision(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)

    answer = fitter.post(OPEN, form_of(fitter.page, OPEN) | {"hours": "2300"})
    fitter.follow(answer)

    state = machine_state(book, "GA-1")
    assert answer.headers["location"] == f"/overhauls/{state.open_overhaul}/safe"
    assert state.hours == 2300
    assert state.overhauls[0].scope == Scope((1, 2, 3), has_rings=True)
    assert state.overhauls[0].sheet_title == "QM-GA rev C"


def test_opening_valves_only_covers_valves_alone(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)

    fitter.post(OPEN, form_of(fitter.page, OPEN) | {"hours": "2300", "what": "valves", "stages": ["1", "3"]})

    assert machine_state(book, "GA-1").overhauls[0].scope == Scope((1, 3), has_rings=False)


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ("many", "This is not one plain number."),
        ("", "Nothing is typed."),
        ("1999", "It cannot run back: read it again. If the meter was changed"),
        ("9000", "is more than the clock has run"),
    ],
)
def test_hours_that_cannot_be_are_refused_beside_their_field(book: Book, hours: str, said: str) -> None:
    fitter = a_fitter_at_the_form(book)
    form = form_of(fitter.page, OPEN) | {"hours": hours, "stages": ["2"], "what": "valves"}

    answer = fitter.post(OPEN, form, 422)

    assert said in said_beside(answer.text, "hours")
    assert typed_in(answer.text, "hours") == hours
    assert ticked(answer.text, "stages") == ["2"]
    assert ticked(answer.text, "what") == ["valves"]
    assert machine_state(book, "GA-1").overhauls == ()


def test_opening_no_stage_is_refused_beside_the_stages(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)

    answer = fitter.post(OPEN, form_of(fitter.page, OPEN) | {"hours": "2300", "stages": []}, 422)

    assert said_beside(answer.text, "stages") == "Choose at least one stage."
    assert typed_in(answer.text, "hours") == "2300"


def test_scope_of_another_kind_is_refused(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)

    answer = fitter.post(OPEN, form_of(fitter.page, OPEN) | {"hours": "2300", "what": "gears"}, 422)

    assert said_beside(answer.text, "what") == "Choose valves only, or valves and rings."


def test_opening_sent_twice_opens_once(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)
    form = form_of(fitter.page, OPEN) | {"hours": "2300"}

    first = fitter.post(OPEN, form)
    second = fitter.post(OPEN, form)

    assert second.headers["location"] == first.headers["location"]
    assert len(machine_state(book, "GA-1").overhauls) == 1


def test_opening_without_its_identifier_is_refused(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)

    fitter.post(OPEN, form_of(fitter.page, OPEN) | {"hours": "2300", "request_id": "x"}, 404)

    assert machine_state(book, "GA-1").overhauls == ()


def test_machine_that_is_open_is_not_opened_again(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)
    form = form_of(fitter.page, OPEN) | {"hours": "2300"}
    fitter.post(OPEN, form)

    answer = fitter.post(OPEN, form | {"request_id": "another-request"})
    asked = fitter.get(OPEN, 303)

    assert "The machine is open already; nothing more was opened." in fitter.follow(answer).text
    assert asked.headers["location"] == f"/overhauls/{machine_state(book, 'GA-1').open_overhaul}"


def test_machine_returned_to_service_can_be_opened_again(book: Book) -> None:
    shop = Workshop(book).returned()
    shop.fitter.get(OPEN)

    shop.fitter.post(OPEN, form_of(shop.fitter.page, OPEN) | {"hours": "2310"})

    assert [overhaul.number for overhaul in machine_state(book, "GA-1").overhauls] == [2, 1]


def test_unknown_machine_is_not_opened(book: Book) -> None:
    fitter = a_fitter_at_the_form(book)
    form = form_of(fitter.page, OPEN) | {"hours": "2300"}

    fitter.get("/machines/GA-9/open", 404)
    fitter.get(OPEN)
    answer = fitter.post("/machines/GA-9/open", form, 404)

    assert "No machine “GA-9” is in the book." in answer.text


def test_auditor_does_not_open_a_machine(book: Book) -> None:
    a_machine(book, at=BEFORE)
    auditor = an_auditor(book)
    auditor.get("/")

    auditor.get(OPEN, 403)
    auditor.get("/")
    auditor.post(OPEN, {"hours": "2300", "stages": ["1"], "what": "rings", "request_id": "a-request"}, 403)

    assert machine_state(book, "GA-1").overhauls == ()


def test_opening_hours_follow_the_clock_from_the_last_reading(book: Book) -> None:
    a_machine(book, at=BEFORE + timedelta(days=100))
    fitter = a_visitor(book)
    fitter.get(OPEN)

    answer = fitter.post(OPEN, form_of(fitter.page, OPEN) | {"hours": "2100"}, 422)

    assert "is more than the clock has run" in said_beside(answer.text, "hours")
