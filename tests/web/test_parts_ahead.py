"""Tests of the parts ahead of the openings: the page, the list to order, and the count of what is on hand."""

import csv
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from io import StringIO

import pytest

from app.actions import parts_ahead
from app.domain.overhaul import MeterReading
from app.domain.readings import Occasion
from app.store.book import Book
from app.store.chain import list_entries
from app.store.evidence import verify_evidence
from app.store.machines import save_meter_reading
from tests.builders import a_machine, a_reading, a_revision, a_sheet, an_overhaul, enter, good_readings, sign_all
from tests.web.forms import form_of, has_form, said_beside, typed_in
from tests.web.visitor import Visitor, a_visitor, an_auditor, audit, words_of

RING = ("2.ring-1", "closed-gap")
SEAL = {"number": "QM-31-193", "on_hand": "5", "best_before": ""}


def days_ago(days: int) -> datetime:
    return datetime.now(UTC) - timedelta(days=days)


def a_worn_machine(book: Book, tag: str = "GA-1", gaps: tuple[str, ...] = ("0.30", "0.41")) -> None:
    """A machine opened at 2500 h and 5000 h with these gaps of a ring, that comes to 10000 h in about 105 days."""
    sheet = a_sheet(book)
    machine = a_machine(book, tag, "0", days_ago(2000))
    for hours, days, gap in zip(("2500", "5000"), (1500, 1000), gaps, strict=False):
        at = days_ago(days)
        number = an_overhaul(book, machine, hours, at, sheet)
        enter(book, number, *good_readings(sheet.parts, Occasion.AS_FOUND, at))
        enter(book, number, a_reading(*RING, gap, at, level="worst place"))
        sign_all(book, number, at)
    with book.writing("M. Tarrow", days_ago(0)) as writing:
        save_meter_reading(writing, machine, MeterReading(Decimal(9500), days_ago(0), "M. Tarrow"))


def rows(visitor: Visitor, query: str = "") -> dict[str, dict[str, str]]:
    """The list to order, by part number."""
    text = visitor.get(f"/parts-ahead.csv{query}").content.decode("utf-8-sig")
    return {row["number"]: row for row in csv.DictReader(StringIO(text))}


def count(visitor: Visitor, status: int = 303, **other: str) -> str:
    """Count a part on hand and give the page that comes."""
    visitor.get("/parts-ahead")
    form = form_of(visitor.page, "/parts-ahead/stock") | SEAL | other
    answer = visitor.post("/parts-ahead/stock", form, status)
    return visitor.follow(answer).text if status == 303 else answer.text


def evidence_of(book: Book) -> tuple[list[str], int]:
    """What the evidence says, and how many counts are in the book."""
    with book.reading() as session:
        return verify_evidence(session), len(list_entries(session, "part number QM-31-193"))


def test_worn_ring_set_is_listed_with_its_number_kit_and_the_day_to_order_it_by(book: Book) -> None:
    a_worn_machine(book)

    page = a_visitor(book).get("/parts-ahead").text
    ring_set = rows(an_auditor(book))["QM-31-230"]

    opening = datetime.fromisoformat(ring_set["for"].removeprefix("GA-1 ")).date()
    assert 90 < (opening - days_ago(0).date()).days < 120
    assert datetime.fromisoformat(ring_set["order by"]).date() == opening - timedelta(days=42)
    assert (ring_set["kit"], ring_set["to order"], ring_set["delivery days"]) == ("Ring kit 78", "1", "42")
    assert "limit 0.65 mm reached at 10455 h" in words_of(page)
    assert "This list informs and decides nothing." in words_of(page)
    assert audit(page) == []


def test_ring_that_does_not_wear_is_not_listed_but_what_is_always_renewed_is(book: Book) -> None:
    a_worn_machine(book, gaps=("0.30", "0.30"))

    listed = rows(a_visitor(book))

    assert "QM-31-230" not in listed
    assert listed["QM-31-193"]["to order"] == "2"


def test_two_machines_are_ordered_for_together_and_each_by_itself(book: Book) -> None:
    a_worn_machine(book)
    a_worn_machine(book, "GA-2")
    visitor = a_visitor(book)

    both, one = rows(visitor)["QM-31-193"], rows(visitor, "?machine=GA-2")["QM-31-193"]

    assert (both["to order"], one["to order"]) == ("4", "2")
    assert "GA-1" in both["for"]
    assert "GA-1" not in one["for"]


def test_opening_after_the_window_is_named_and_nothing_is_ordered_for_it(book: Book) -> None:
    a_worn_machine(book)

    page = words_of(a_visitor(book).get("/parts-ahead?months=2").text)

    assert "Nothing: no opening is expected in this window." in page
    assert "its next opening is expected about" in page
    assert "after this window" in page


def test_machine_of_which_nothing_can_be_told_is_named_with_the_reason(book: Book) -> None:
    a_machine(book)
    machine = a_machine(book, "GA-2", "0", days_ago(9))
    number = an_overhaul(book, machine, "10", days_ago(5), a_sheet(book))
    visitor = a_visitor(book)

    open_now = words_of(visitor.get("/parts-ahead").text)
    sign_all(book, number, days_ago(5))
    returned = words_of(visitor.get("/parts-ahead").text)

    assert "no opening of it, or no reading of its meter, is in the book" in open_now
    assert "it is open now" in open_now
    assert "its next opening is expected about" in returned


def test_a_part_that_wears_out_sooner_brings_its_opening_forward_and_is_not_ordered_again(book: Book) -> None:
    a_worn_machine(book, gaps=("0.30", "0.44"))  # 0.65 mm at 8,750 h, and the meter stands at 9,500 h

    page = a_visitor(book).get("/parts-ahead").text
    ring_set = rows(an_auditor(book))["QM-31-230"]

    assert ring_set["for"] == f"GA-1 {days_ago(0).date().isoformat()}"
    assert ring_set["to order"] == "1"
    assert "Wear limit: Stage 2, ring set: opened at" in words_of(page)
    assert "Valves, Rings, pistons and cylinders, Opening by the interval of the sheet: opened at" in words_of(page)


def test_window_that_cannot_be_comes_back_beside_its_field(book: Book) -> None:
    a_worn_machine(book)
    visitor = a_visitor(book)

    for typed in ("0", "61", "x", "-1", "1.5", "²"):
        page = visitor.get(f"/parts-ahead?months={typed}", 422).text
        assert said_beside(page, "months") == "A whole number of months, 1 to 60."
        assert typed_in(page, "months") == typed
    visitor.get("/parts-ahead.csv?months=0", 422)
    visitor.get("/parts-ahead?machine=GA-9", 404)


def test_count_of_a_seal_is_taken_off_what_is_ordered_and_stands_in_the_chain(book: Book) -> None:
    a_worn_machine(book)
    visitor = a_visitor(book)

    page = count(visitor, on_hand="1")
    count(visitor, on_hand="1")

    assert "Count kept." in page
    assert rows(visitor)["QM-31-193"]["to order"] == "1"
    assert evidence_of(book) == ([], 1)


def test_seal_that_will_be_too_old_on_the_day_is_ordered_all_the_same(book: Book) -> None:
    a_worn_machine(book)
    visitor = a_visitor(book)

    page = count(visitor, best_before=(days_ago(-30).date()).isoformat())

    assert "too early for an opening here" in words_of(page)
    assert rows(visitor)["QM-31-193"]["to order"] == "2"


def test_count_that_cannot_be_comes_back_beside_its_fields_and_keeps_nothing(book: Book) -> None:
    a_worn_machine(book)

    page = count(a_visitor(book), 422, number="=1+1", on_hand="many", best_before="soon")

    assert said_beside(page, "number") == "No limit sheet of a machine in the book orders by this number."
    assert said_beside(page, "on_hand") == "How many are on hand: a whole number, 0 to 9999."
    assert said_beside(page, "best_before") == "A day, such as 2027-06-30; or leave it empty."
    assert typed_in(page, "on_hand") == "many"
    assert evidence_of(book) == ([], 0)


def test_auditor_reads_the_list_but_counts_nothing(book: Book) -> None:
    a_worn_machine(book)

    page = an_auditor(book).get("/parts-ahead").text

    assert not has_form(page, "/parts-ahead/stock")


def test_formula_in_a_part_name_is_a_text_in_the_list(book: Book) -> None:
    a_worn_machine(book)
    a_revision(book, '"O-ring, valve cover 78"', '"=1+1"')

    assert rows(a_visitor(book))["QM-31-293"]["name"] == "'=1+1"


def test_machine_page_and_list_of_machines_lead_to_the_parts_ahead(book: Book) -> None:
    a_worn_machine(book)
    visitor = a_visitor(book)

    assert 'href="/parts-ahead?machine=GA-1"' in visitor.get("/machines/GA-1").text
    assert 'href="/parts-ahead"' in visitor.get("/").text


def test_a_list_that_is_not_whole_yet_says_so_and_the_table_is_whole(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parts_ahead, "LONGEST_LOOK_S", 0.0)
    for tag in ("GA-1", "GA-2"):
        a_worn_machine(book, tag)
    visitor = a_visitor(book)

    first = words_of(visitor.get("/parts-ahead").text)

    assert "This list is not whole: 1 machine is not looked at yet. Load the page again" in first
    assert rows(visitor, "?months=13")["QM-31-230"]["needed"] == "2"
    assert "This list is not whole" not in visitor.get("/parts-ahead?months=13").text
