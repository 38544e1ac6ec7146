"""Tests that what an auditor opens is noted, and that no reading of anybody changes the book."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime

import pytest

from app.store.book import Book
from app.store.evidence import ENTERED_AS
from app.store.reads import MOST_FILES, Read, ReadLog
from app.store.rows import EntryRow, table_of
from tests.web.four_roles import everybody_at, shop_with_a_run
from tests.web.test_roles import PAGES
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

NOW = datetime(2031, 4, 5, 6, 7, 8, tzinfo=UTC)


def evidence(book: Book) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table of evidence, and of the chain."""
    names = [table_of(row).name for row in (*ENTERED_AS, EntryRow)]
    with closing(sqlite3.connect(book.path)) as connection:
        return {name: connection.execute(f"SELECT * FROM {name}").fetchall() for name in names}


def test_no_reading_of_any_page_by_anybody_changes_the_evidence_or_the_chain(book: Book) -> None:
    shop = shop_with_a_run(book)
    visitors = everybody_at(shop)
    before = evidence(book)

    for path, _ in PAGES.values():
        for visitor in visitors:
            visitor.client.get(path)

    assert all(before[name] for name in ("entry", "reading", "signature", "run"))
    assert evidence(book) == before


def test_a_change_would_be_seen(book: Book) -> None:
    shop = shop_with_a_run(book)
    before = evidence(book)

    shop.fitter.get("/machines/GA-1/hours")
    shop.fitter.post("/machines/GA-1/hours", {"hours": "2310"})

    changed = [name for name, rows in evidence(book).items() if rows != before[name]]
    assert changed == ["meter_reading", "entry"]


def test_every_address_that_an_auditor_opens_is_noted_with_its_answer(book: Book) -> None:
    shop = Workshop(book)
    shop.auditor.get("/machines/GA-1/history?part=2.pin")
    shop.auditor.get("/machines/new", 403)
    shop.auditor.client.get("/overhauls/1/export.csv")

    noted = shop.app.state.reads.newest(4)

    opened = ["/overhauls/1/export.csv", "/machines/new", "/machines/GA-1/history?part=2.pin"]
    assert [(read.address, read.status, read.person) for read in noted] == [
        (address, status, "S. Venn") for address, status in zip(opened, (200, 403, 200), strict=True)
    ]


def test_what_others_read_and_what_anybody_sends_is_not_noted(book: Book) -> None:
    shop = Workshop(book)
    Visitor(shop.app).get("/sign-in")
    shop.fitter.get("/")
    shop.chief.get("/people")

    assert shop.app.state.reads.newest(9) == []
    assert not shop.app.state.reads.path.exists()


def test_chief_engineer_and_auditor_see_what_was_opened_and_a_fitter_does_not(book: Book) -> None:
    shop = Workshop(book)
    shop.auditor.get("/search?q=ring")

    assert "S. Venn /search?q=ring 200" in words_of(shop.chief.get("/reads").text)
    assert "/search?q=ring" in shop.auditor.get("/reads?person=S.+Venn").text
    assert "Nothing has been opened" in shop.chief.get("/reads?person=nobody").text
    assert 'href="/reads"' in shop.auditor.get("/people").text
    assert 'href="/reads"' not in shop.fitter.get("/people").text


def test_the_log_turns_over_and_its_oldest_file_makes_way(book: Book) -> None:
    log = ReadLog(book.path, most_bytes=1)

    for number in range(MOST_FILES + 5):
        log.note(Read(NOW, "S. Venn", f"/{number}", 200))

    kept = [read.address for read in log.newest(100)]
    assert kept == [f"/{number}" for number in range(MOST_FILES + 4, 3, -1)]
    assert len(list(book.path.parent.glob("*-reads.log*"))) == MOST_FILES + 1


def test_a_line_that_was_cut_off_is_passed_over(book: Book) -> None:
    log = ReadLog(book.path)
    log.note(Read(NOW, "S. Venn", "/a", 200))
    with log.path.open("a") as file:
        file.write('{"at": "2031-04\nnull\n{}\n')
    log.note(Read(NOW, "S. Venn", "/" + "b" * 10_000, 200))

    assert [read.address[:2] for read in log.newest(9)] == ["/b", "/a"]


def test_a_log_that_cannot_be_written_stops_no_page(book: Book, caplog: pytest.LogCaptureFixture) -> None:
    shop = Workshop(book)
    shop.app.state.reads.path.mkdir()

    shop.auditor.get("/")

    assert "could not be noted" in caplog.text
