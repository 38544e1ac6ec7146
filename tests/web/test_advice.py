"""Tests of what the review says ahead: renewal advised before the next opening, and the working that shows it."""

from app.domain.readings import Occasion
from app.store.book import Book
from tests.builders import a_reading, an_even_bore, enter, good_readings, sign_all
from tests.web.visitor import words_of
from tests.web.workshop import LATER, OPENED_AT, Workshop


def opened_after_new_rings(book: Book, gap: str) -> Workshop:
    """A ring set fitted new at 2300 h with a gap of 0.25 mm, and opened again at 7300 h with this one."""
    shop = Workshop(book).with_new_rings()
    enter(book, shop.id, *good_readings(shop.parts("2.ring-3"), Occasion.AS_FITTED, OPENED_AT))
    place = {"level": "worst place"}
    enter(book, shop.id, a_reading("2.ring-1", "closed-gap", "0.25", OPENED_AT, occasion=Occasion.AS_FITTED, **place))
    sign_all(book, shop.id, OPENED_AT)
    again = shop.opened_again("7300")
    enter(book, again.id, *good_readings(again.overhaul.parts, Occasion.AS_FOUND, LATER))
    enter(book, again.id, a_reading("2.ring-1", "closed-gap", gap, LATER, **place))
    return again


def test_ring_that_will_not_last_to_the_next_opening_is_advised_with_what_to_order(book: Book) -> None:
    shop = opened_after_new_rings(book, "0.50")

    page = words_of(shop.chief.get(shop.url("/decide")).text)

    assert "Renew advised." in page
    assert "Renew advised, not ordered yet 2-03 Ring 1 Ring set 78, QM-31-230" in page


def test_ring_that_lasts_is_not_advised(book: Book) -> None:
    shop = opened_after_new_rings(book, "0.35")

    assert "Renew advised" not in shop.chief.get(shop.url("/decide")).text


def test_working_of_every_part_prints_as_an_annex(book: Book) -> None:
    shop = opened_after_new_rings(book, "0.50")

    page = words_of(shop.auditor.get(shop.url("/working")).text)

    assert [part.item in page for part in shop.overhaul.parts] == [True] * len(shop.overhaul.parts)


def test_bore_that_wears_out_before_the_next_opening_is_advised_for_rework_and_orders_nothing(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    enter(book, shop.id, *an_even_bore(shop.overhaul.parts, "78.02", OPENED_AT))
    sign_all(book, shop.id, OPENED_AT)
    again = shop.opened_again("7300")
    enter(book, again.id, *good_readings(again.overhaul.parts, Occasion.AS_FOUND, LATER))
    enter(book, again.id, *an_even_bore(again.overhaul.parts, "78.06", LATER))

    page = words_of(again.chief.get(again.url("/decide")).text)

    assert "Rework advised. Wear of the bore: 0.10 mm expected at 12300 h" in page
    assert "not ordered yet" not in page
