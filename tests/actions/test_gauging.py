"""Tests of what the fitter is shown at a place: the last opening's reading, and the verdict of a typed figure."""

from datetime import timedelta

from app.actions.gauging import last_reading, preview
from app.actions.overhauls import overhaul
from app.domain.entries import Typed
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.readings import Occasion, Place
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.builders import NOW, a_machine, a_reading, a_sheet, an_overhaul, enter

PIN = Place("2.pin", "diameter")
GAP = Place("2.ring-1", "closed-gap", "worst place")


def two_openings(book: Book) -> tuple[Overhaul, Overhaul]:
    """The same machine opened twice."""
    machine, sheet = a_machine(book), a_sheet(book)
    ids = [an_overhaul(book, machine, hours, NOW, sheet) for hours in ("2300", "5300")]
    return overhaul(book, ids[0]), overhaul(book, ids[1])


def test_place_that_was_never_gauged_has_no_last_reading(book: Book) -> None:
    _, second = two_openings(book)

    assert last_reading(book, second, PIN) is None


def test_last_reading_is_as_fitted_where_there_is_one(book: Book) -> None:
    first, second = two_openings(book)
    enter(book, first.id, a_reading("2.pin", "diameter", "21.960"))
    enter(book, first.id, a_reading("2.pin", "diameter", "21.998", occasion=Occasion.AS_FITTED))

    last = last_reading(book, second, PIN)

    assert last is not None
    assert (str(last.size_mm), last.occasion, last.hours) == ("21.998", Occasion.AS_FITTED, 2300)


def test_last_reading_of_a_gap_keeps_both_leaves(book: Book) -> None:
    first, second = two_openings(book)
    enter(book, first.id, a_reading("2.ring-1", "closed-gap", "0.30/0.35", level="worst place"))

    last = last_reading(book, second, GAP)

    assert last is not None
    assert (last.size_mm, str(last.goes_mm), str(last.does_not_go_mm)) == (None, "0.30", "0.35")


def test_struck_reading_and_one_of_this_very_opening_are_no_last_reading(book: Book) -> None:
    first, second = two_openings(book)
    enter(book, first.id, a_reading("2.pin", "diameter", "21.95"), a_reading("2.pin", "diameter", "21.99"))
    enter(book, second.id, a_reading("2.pin", "diameter", "21.97"))

    last = last_reading(book, second, PIN)

    assert last is not None
    assert str(last.size_mm) == "21.99"


def test_reading_of_another_place_is_no_last_reading(book: Book) -> None:
    first, second = two_openings(book)
    enter(book, first.id, a_reading("1.ring-1", "closed-gap", "0.80", level="worst place"))

    assert last_reading(book, second, Place("1.ring-1", "closed-gap", "unworn end")) is None


def test_preview_judges_what_is_typed_and_stores_nothing(book: Book) -> None:
    first, _ = two_openings(book)
    typed = Typed("a-tablet-made-it", GAP, Occasion.AS_FOUND, "size", value="0.70")

    would_be, reading = preview(first, typed, "M. Tarrow", NOW + timedelta(minutes=1))

    verdicts = {verdict.part.ref: verdict.verdict for verdict in judge_overhaul(would_be)}
    assert verdicts["2.ring-2"] is Verdict.RENEW
    assert reading.written == "0.70 mm"
    assert overhaul(book, first.id).readings == ()
