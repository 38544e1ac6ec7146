"""A trend reads old paper by the day it was done, also where it came into the book later."""

from decimal import Decimal

import pytest

from app.actions.history import part_history
from app.domain.people import Person
from app.store.book import Book
from tests.actions.papers import BEGAN, a_returned_overhaul, bring_in, instead, rows_of
from tests.builders import a_reading

GAP = ("2.ring-1", "closed-gap")


@pytest.mark.parametrize("is_paper_late", [True, False])
def test_what_is_expected_ahead_counts_paper_by_its_day_whenever_it_came(
    book: Book, chief: Person, is_paper_late: bool
) -> None:
    rows = instead(rows_of("8", "2015-06-01", "51000"), *GAP, value="0.30", goes="", does_not_go="")
    if not is_paper_late:
        bring_in(book, chief, *rows)
    gap = a_reading(*GAP, "0.50", BEGAN, level="worst place")
    a_returned_overhaul(book, gap)
    if is_paper_late:
        bring_in(book, chief, *rows)

    (trend,) = part_history(book, "GA-1", *GAP).trends

    # From 0.30 mm at 51,000 h to 0.50 mm at 61,000 h: 0.02 mm in 1,000 h, and 0.60 mm at the next opening.
    assert trend.ahead is not None
    assert (trend.ahead.operating_hours, trend.ahead.size_mm) == (Decimal(66000), Decimal("0.60"))
