"""Tests of entering what goes in: only where work was done, with a number or a possible size, and once."""

from decimal import Decimal

import pytest

from app.actions.fittings import enter_fitting, work_at
from app.actions.overhauls import overhaul
from app.domain.errors import InputRefused, NotThere, NotYet
from app.domain.overhaul import Meaning
from app.domain.readings import SEEN
from app.store.book import Book
from tests.actions.openings import LATER, an_opening
from tests.builders import a_person, a_reading, sign_all

SCUFFED = a_reading("2.cylinder", SEEN, "scuffed")
CRACKED = a_reading("2.cylinder", SEEN, "cracked")
WORN_RING = a_reading("2.ring-1", "closed-gap", "0.70", level="worst place")


def refused_fields(book: Book, number: int, ref: str, typed: dict[str, str]) -> dict[str, str]:
    """The fields refused when this is entered."""
    with pytest.raises(InputRefused) as refused:
        enter_fitting(book, a_person(book), number, ref, typed, LATER)
    assert overhaul(book, number).fittings == ()
    return refused.value.fields


def test_renewed_set_is_entered_under_its_own_reference_alone(book: Book) -> None:
    number, fitter = an_opening(book, WORN_RING, decided=True), a_person(book)

    enter_fitting(book, fitter, number, "2.ring-set", {"number": " QM-31-230 ", "batch": "B-7"}, LATER)

    fitting = overhaul(book, number).fittings[0]
    assert (fitting.ref, fitting.number, fitting.batch, fitting.made_to) == ("2.ring-set", "QM-31-230", "B-7", None)
    with pytest.raises(NotThere):
        work_at(overhaul(book, number), "2.ring-1")


def test_same_fitting_twice_is_entered_once_and_another_stands_beside_it(book: Book) -> None:
    number, fitter = an_opening(book, WORN_RING, decided=True), a_person(book)

    for batch in ("B-7", "B-7", "B-8"):
        enter_fitting(book, fitter, number, "2.ring-set", {"number": "QM-31-230", "batch": batch}, LATER)

    assert [fitting.batch for fitting in overhaul(book, number).fittings] == ["B-7", "B-8"]


def test_renewed_cylinder_may_be_made_to_an_oversize_too(book: Book) -> None:
    number, fitter = an_opening(book, CRACKED, decided=True), a_person(book)

    enter_fitting(book, fitter, number, "2.cylinder", {"number": "QM-31-240", "made_to": "78.25"}, LATER)

    fitting = overhaul(book, number).fittings[0]
    assert fitting.made_to is not None
    assert (fitting.number, fitting.made_to.typed) == ("QM-31-240", "78.25")


def test_renewed_cylinder_made_to_an_oversize_still_needs_its_number(book: Book) -> None:
    number = an_opening(book, CRACKED, decided=True)

    assert set(refused_fields(book, number, "2.cylinder", {"made_to": "78.25"})) == {"number"}


def test_size_typed_in_inches_is_taken_as_inches(book: Book) -> None:
    number, fitter = an_opening(book, SCUFFED, decided=True), a_person(book)

    enter_fitting(book, fitter, number, "2.cylinder", {"made_to": "3.085 in"}, LATER)

    fitting = overhaul(book, number).fittings[0]
    assert fitting.made_to is not None
    assert fitting.made_to.mm == Decimal("78.359")


@pytest.mark.parametrize("made_to", ["", "70.19", "85.81", "0", "-78.25", "78.25 kg", "3.5 in"])
def test_size_that_no_bore_of_this_stage_can_have_is_refused(book: Book, made_to: str) -> None:
    number = an_opening(book, SCUFFED, decided=True)

    assert set(refused_fields(book, number, "2.cylinder", {"made_to": made_to})) == {"made_to"}


@pytest.mark.parametrize("made_to", ["70.2", "85.8"])
def test_size_on_the_edge_of_what_can_be_is_taken(book: Book, made_to: str) -> None:
    number, fitter = an_opening(book, SCUFFED, decided=True), a_person(book)

    enter_fitting(book, fitter, number, "2.cylinder", {"made_to": made_to}, LATER)

    assert len(overhaul(book, number).fittings) == 1


def test_size_typed_for_a_part_that_has_no_base_size_is_left_out(book: Book) -> None:
    number, fitter = an_opening(book, WORN_RING, decided=True), a_person(book)

    enter_fitting(book, fitter, number, "2.ring-set", {"number": "QM-31-230", "made_to": "78.25"}, LATER)

    assert overhaul(book, number).fittings[0].made_to is None


def test_nothing_is_fitted_before_the_decisions_are_signed(book: Book) -> None:
    number, fitter = an_opening(book, WORN_RING), a_person(book)

    with pytest.raises(NotYet):
        enter_fitting(book, fitter, number, "2.ring-set", {"number": "QM-31-230"}, LATER)
    sign_all(book, number, LATER, (Meaning.DECIDED,))
    enter_fitting(book, fitter, number, "2.ring-set", {"number": "QM-31-230"}, LATER)

    assert len(overhaul(book, number).fittings) == 1
