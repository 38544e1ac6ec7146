"""Tests of trying a figure on a limit sheet in the making: judged by the draft as it stands, and kept nowhere."""

import pytest

from app.store.book import Book
from app.store.chain import chain_head
from tests.web.drafting import a_copy, a_draft, send
from tests.web.forms import said_beside, typed_in
from tests.web.visitor import words_of

TRY = "/drafts/1/try"
GAP, PIN, BORE = "2.ring-1/closed-gap", "2.pin/diameter", "2.cylinder/bore"


@pytest.mark.parametrize(
    ("at", "value", "said"),
    [
        (GAP, "0.65", "REUSE"),
        (GAP, "0,66", "RENEW"),
        (GAP, "0.0260 in", "RENEW"),
        (PIN, "21.50", "RENEW"),
        (BORE, "78.05", "As if it had been read at every place of the bore."),
    ],
)
def test_a_figure_is_judged_by_the_draft_with_its_reason(book: Book, at: str, value: str, said: str) -> None:
    visitor = a_copy(book)

    page = visitor.get(f"{TRY}?at={at}&value={value}").text

    assert said in words_of(page)
    assert typed_in(page, "value") == value


def test_a_limit_changed_in_the_draft_is_what_the_next_figure_is_judged_by(book: Book) -> None:
    visitor = a_copy(book)
    with book.reading() as session:
        before = chain_head(session)

    send(visitor, "/drafts/1/stages/2", **{"ring/closed-gap/value-upper": "0.60"})
    words = words_of(visitor.get(f"{TRY}?at={GAP}&value=0.62").text)

    assert "RENEW" in words
    assert "0.60" in words
    with book.reading() as session:
        assert chain_head(session) == before


@pytest.mark.parametrize(
    ("at", "value", "field"), [(GAP, "", "value"), (GAP, "wide", "value"), ("2.wheel/size", "1", "at")]
)
def test_what_cannot_be_tried_is_said_beside_its_field(book: Book, at: str, value: str, field: str) -> None:
    page = a_copy(book).get(f"{TRY}?at={at}&value={value}", 422).text

    assert said_beside(page, field)


def test_a_draft_with_figures_missing_says_what_it_waits_for(book: Book) -> None:
    words = words_of(a_draft(book).get(TRY).text)

    assert "Waits until everything is filled in and put right" in words


def test_of_parts_that_are_alike_one_is_offered(book: Book) -> None:
    page = a_copy(book).get(TRY).text

    assert page.count("Stage 2, ring: closed gap") == 1
    assert "Stage 2, cylinder: bore" in words_of(page)
