"""Sizes in both units: where the sheet prints both, and for whoever puts the other unit first."""

from io import BytesIO

from pypdf import PdfReader

from app.store.book import Book
from tests.builders import a_reading
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

BOTH = "0.65 mm = 0.0256 in"
GAP = "/gauge/2.ring-1/closed-gap"
PIN = "/gauge/2.pin/diameter"
WORN_PIN = a_reading("2.pin", "diameter", "21.960", OPENED_AT)
WORN = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")


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


def test_verdict_says_both_units_where_the_sheet_prints_both_in_the_same_words_on_page_record_and_export(
    book: Book,
) -> None:
    printed = "21.970 mm = 0.86496 in"
    shop = Workshop(book, change=("{ lower = 21.970 }", f'{{ lower = "{printed}" }}')).all_gauged(WORN_PIN)
    words = f"21.960 mm (0.86457 in) is under the limit {printed}."

    pages = [words_of(shop.fitter.get(shop.url(path)).text) for path in (PIN, "/decide", "/record")]
    pdf = PdfReader(BytesIO(shop.fitter.get(shop.url("/record.pdf")).content))
    files = [
        " ".join(" ".join(each.extract_text() for each in pdf.pages).split()),
        shop.fitter.get(shop.url("/export.json")).text,
    ]

    assert [words in each for each in (*pages, *files)] == [True] * 5


def test_verdict_says_both_units_to_whoever_puts_inches_first_and_the_sheets_to_everybody_else(book: Book) -> None:
    shop = Workshop(book).all_gauged(WORN, WORN_PIN)
    shop.chief.post("/settings", {"unit": "in"})
    paths = {GAP: "0.70 mm (0.0276 in) is over the limit 0.65 mm (0.0256 in).",
             "/decide": "21.960 mm (0.864567 in) is under the limit 0.864961 in (21.97 mm)."}  # fmt: skip

    own, other = ([words in words_of(each.get(shop.url(path)).text) for path, words in paths.items()]
                  for each in (shop.chief, shop.fitter))  # fmt: skip

    assert own == [True, True]
    assert other == [False, False]
