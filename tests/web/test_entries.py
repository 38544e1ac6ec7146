"""Tests of the chain as pages: searched, listed, and each entry by itself."""

import re
import sqlite3
from contextlib import closing
from urllib.parse import quote

import pytest

from app.domain.overhaul import Decision
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.chain import chain_head
from tests.builders import NOW, a_machine, a_reading, a_sheet, an_overhaul, decide, enter
from tests.web.visitor import an_auditor, words_of


def a_told_book(book: Book) -> int:
    """A machine with a reading kept for a reason, and a decision; gives the number of the last entry."""
    machine = a_machine(book)
    overhaul = an_overhaul(book, machine, "2300", NOW, a_sheet(book))
    enter(book, overhaul, a_reading("2.ring-1", "closed-gap", "0.70", level="worst place", reason="leaf bent <b>"))
    decide(book, overhaul, Decision("2.ring-set", Verdict.RENEW, "scored all round", "I. Brandreth", NOW))
    with book.reading() as session:
        return chain_head(session)[0]


def test_a_reason_is_found_with_who_when_and_where_it_stands(book: Book) -> None:
    a_told_book(book)

    page = an_auditor(book).get("/search?q=bent+leaf").text

    assert "1 entry found" in words_of(page)
    assert "M. Tarrow reading entered GA-1, overhaul 1 2.ring-1, closed-gap" in words_of(page)
    (link,) = re.findall(r'<a href="(/machines/GA-1/history[^"]+)"', page)
    assert link.startswith("/machines/GA-1/history?part=2.ring-1&amp;characteristic=closed-gap#r-reading-")


def test_what_a_search_links_to_has_its_place_there(book: Book) -> None:
    a_told_book(book)
    visitor = an_auditor(book)

    for asked in ("leaf", "scored"):
        (link,) = re.findall(r'<td><a href="([^"]+)"', visitor.get(f"/search?q={asked}").text)
        address, anchor = link.replace("&amp;", "&").split("#")
        assert f'id="{anchor}"' in visitor.get(address).text


@pytest.mark.parametrize("odd", ['"', "*", "' OR 1=1 --", "\N{WRENCH}", "x" * 10_000, "\x00", "ring* AND", "<script>"])
def test_an_odd_question_gets_an_answer(book: Book, odd: str) -> None:
    a_told_book(book)

    answer = an_auditor(book).get(f"/search?q={quote(odd)}")

    assert "found" in answer.text


def test_the_chain_is_listed_newest_first_and_by_subject(book: Book) -> None:
    a_told_book(book)
    visitor = an_auditor(book)

    every, one = visitor.get("/entries").text, visitor.get("/entries?subject=overhaul+1").text

    numbers = [int(number) for number in re.findall(r'id="e-(\d+)"', every)]
    assert numbers == list(range(len(numbers), 0, -1))
    assert re.findall(r"</small></td><td>([^<]+)</td>", one) == ["decision made", "reading entered", "overhaul opened"]


def test_a_long_chain_goes_on_to_its_earlier_entries(book: Book) -> None:
    a_told_book(book)
    enter(book, 1, *(a_reading("2.ring-1", "closed-gap", "0.50", level="worst place") for _ in range(60)))
    visitor = an_auditor(book)

    first = visitor.get("/entries").text
    (link,) = re.findall(r'href="(/entries\?[^"]+before=\d+)"', first)
    then = visitor.get(link.replace("&amp;", "&")).text

    last = int(re.findall(r'id="e-(\d+)"', first)[-1])
    assert int(re.findall(r'id="e-(\d+)"', then)[0]) == last - 1


def test_an_entry_shows_what_was_entered_by_whom_and_that_it_is_as_written(book: Book) -> None:
    last = a_told_book(book)

    page = words_of(an_auditor(book).get(f"/entries/{last}").text)

    assert "By I. Brandreth What decision made On GA-1, overhaul 1 Why scored all round" in page
    assert "Worked out anew just now the same" in page
    assert "ref 2.ring-set" in page


def test_an_entry_changed_behind_the_book_says_so(book: Book) -> None:
    last = a_told_book(book)
    with closing(sqlite3.connect(book.path)) as connection, connection:
        connection.execute("DROP TRIGGER entry_refuses_update")
        connection.execute("UPDATE entry SET person = 'nobody' WHERE seq = ?", (last,))

    assert "this entry was changed" in an_auditor(book).get(f"/entries/{last}").text


def test_an_entry_that_is_not_there_is_not_found(book: Book) -> None:
    visitor = an_auditor(book)

    for number in ("0", "999", "99999999999999999999", "x"):
        visitor.get(f"/entries/{number}", 404)
