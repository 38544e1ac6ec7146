"""A size that the sheet prints in both units stands in both: gauging page, sheet page and record."""

from app.store.book import Book
from tests.web.visitor import words_of
from tests.web.workshop import Workshop

BOTH = "0.65 mm = 0.0256 in"
GAP = "/gauge/2.ring-1/closed-gap"


def test_limit_printed_in_both_units_stands_in_both_wherever_it_is_read(book: Book) -> None:
    shop = Workshop(book, change=("{ upper = 0.65 }", f'{{ upper = "{BOTH}" }}')).all_gauged()

    pages = {path: words_of(shop.fitter.get(shop.url(path)).text) for path in (GAP, "/record")}
    sheet = words_of(shop.fitter.get("/sheets/QM-GA/D").text)

    assert f"Limit at most {BOTH}" in pages[GAP]
    assert f"at most {BOTH}, " in pages["/record"]
    assert f"at most {BOTH}" in sheet


def test_limit_printed_in_one_unit_is_not_said_twice(book: Book) -> None:
    shop = Workshop(book).safe()

    page = words_of(shop.fitter.get(shop.url(GAP)).text)

    assert "Limit at most" not in page
