"""The working of a verdict, one tap away from gauging and from deciding."""

from app.store.book import Book
from tests.builders import a_reading, fit
from tests.web.workshop import OPENED_AT, Workshop

WORN = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")


def test_the_working_shows_the_arithmetic_of_a_reading(book: Book) -> None:
    workshop = Workshop(book).gauged(WORN)

    page = workshop.auditor.get(workshop.url("/working/2.ring-1")).text

    assert "T − y = 0.65 − 0.70 = −0.05 mm" in page
    assert "Simple acceptance" in page


def test_the_gauging_page_and_the_review_lead_to_the_working(book: Book) -> None:
    workshop = Workshop(book).gauged(WORN)

    assert (
        workshop.url("/working/2.ring-1?base=gauge") in workshop.fitter.get(workshop.url("/gauge/2.ring-1/seen")).text
    )
    assert workshop.url("/working/2.ring-1") in workshop.chief.get(workshop.url("/decide")).text


def test_the_working_of_a_new_part_is_against_its_new_range(book: Book) -> None:
    workshop = Workshop(book).decided(WORN)
    fit(book, workshop.id, "2.ring-set", OPENED_AT)
    workshop.key_in(workshop.fitter, "2.ring-1/closed-gap", base="fit", value="0.30")

    page = workshop.auditor.get(workshop.url("/working/2.ring-1?base=fit")).text

    assert "against the new maximum" in page


def test_there_is_no_working_of_a_part_that_is_not_there(book: Book) -> None:
    workshop = Workshop(book).safe()

    workshop.auditor.get(workshop.url("/working/2.flywheel"), 404)
    workshop.auditor.get("/overhauls/999/working/2.ring-1", 404)


def test_a_bore_page_shows_its_clearances_on_the_record(book: Book) -> None:
    workshop = Workshop(book).gauged()

    page = workshop.auditor.get(workshop.url("/record")).text

    assert "Clearance" in page
    assert "less smallest" in page


def test_the_working_of_every_part_is_an_annex_to_the_record(book: Book) -> None:
    workshop = Workshop(book).gauged(WORN)

    assert workshop.url("/working") in workshop.auditor.get(workshop.url("/record")).text
    page = workshop.auditor.get(workshop.url("/working")).text

    assert all(f"{part.item} {part.name}" in page for part in workshop.overhaul.parts)


def test_new_rings_that_would_not_restore_a_worn_bore_are_said_on_the_review(book: Book) -> None:
    places = [(level, axis) for level in ("top of ring travel",) for axis in ("along the pin", "across the pin")]
    wide = [a_reading("2.cylinder", "bore", "78.15", OPENED_AT, level=level, axis=axis) for level, axis in places]
    workshop = Workshop(book).gauged(a_reading("2.ring-1", "closed-gap", "0.80", OPENED_AT, level="worst place"), *wide)

    assert "New rings alone do not restore this stage." in workshop.chief.get(workshop.url("/decide")).text
