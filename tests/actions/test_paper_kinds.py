"""Dial readings and places that could not be gauged come from paper into the book, as what they are."""

from decimal import Decimal

import pytest

from app.actions.past_overhauls import past_overhauls
from app.domain.people import Person
from app.domain.readings import Kind, Occasion, Place
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.evidence import verify_evidence
from tests.actions.papers import HEAD, bring_in, instead, looked_through, rows_of
from tests.old_paper import a_row, a_table

BORE = {"level": "top of ring travel", "axis": "across the pin"}


@pytest.mark.parametrize("kind", ["dial", ""])
def test_a_dial_reading_from_paper_keeps_what_the_dial_was_set_to_and_is_judged_by_both(
    book: Book, chief: Person, kind: str
) -> None:
    dial = {"value": "0.27", "set_size": "78.00", "kind": kind}
    rows = [row | dial if (row["level"], row["axis"]) == tuple(BORE.values()) else row for row in rows_of()]

    bring_in(book, chief, *rows)

    (past,) = past_overhauls(book, 1)
    entry = past.entries[Occasion.AS_FOUND][Place("2.cylinder", "bore", *BORE.values())]
    assert (entry.kind, entry.written, entry.size_mm) == (Kind.DIAL, "dial 0.27 mm on 78.00 mm", Decimal("78.27"))
    assert past.verdicts["2.cylinder"].verdict is Verdict.REWORK
    with book.reading() as session:
        assert verify_evidence(session) == []


def test_a_place_that_could_not_be_gauged_comes_in_with_its_reason_and_leaves_the_part_open(
    book: Book, chief: Person
) -> None:
    why = {"value": "", "goes": "", "does_not_go": "", "kind": "Cannot", "reason": "ring broke when drawn"}

    bring_in(book, chief, *instead(rows_of(), "2.ring-1", "closed-gap", **why))

    (past,) = past_overhauls(book, 1)
    entry = past.entries[Occasion.AS_FOUND][Place("2.ring-1", "closed-gap", "worst place")]
    assert (entry.kind, entry.reason) == (Kind.CANNOT, "ring broke when drawn")
    assert past.verdicts["2.ring-1"].verdict is Verdict.NOT_GAUGED
    assert "ring broke when drawn" in " ".join(reason.reason for reason in past.verdicts["2.ring-1"].reasons)


def test_a_dial_or_a_place_not_gauged_that_says_too_little_is_refused_by_its_line(book: Book, chief: Person) -> None:
    dial = a_row("2.cylinder", "bore", **BORE, **HEAD)
    rows = [
        dial | {"kind": "dial", "value": "0.27"},
        dial | {"kind": "dial", "set_size": "78.00"},
        dial | {"kind": "cannot"},
        dial | {"kind": "cannot", "reason": "gone", "value": "78.05"},
        a_row("2.ring-1", "closed-gap", level="worst place", kind="dial", value="0.1", set_size="0.4", **HEAD),
    ]

    found = looked_through(book, a_table(rows))

    assert [(line.line, line.column) for line in found.lines] == [
        (2, "set_size"), (3, "value"), (4, "reason"), (5, "value"), (6, "kind"),
    ]  # fmt: skip
    assert found.ready == []
