"""Tests of finding entries by their words."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import select, text

from app.domain.overhaul import Confirmation, Decision, Fitting, Phase
from app.domain.readings import SEEN, Kind, Place
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.facts import save_confirmation, save_decision, save_fitting
from app.store.readings import save_reading
from app.store.search import ENTRY, WORDS, count_found, make_index_again, search, words_asked, words_of
from tests.builders import a_book
from tests.store.builders import CHIEF, FITTER, NOW, a_reading, a_writing, an_open_book, statements_of
from tests.store.lived_book import live_in

NOTHING = {"goes": None, "does_not_go": None}


@pytest.fixture
def told(book: Book) -> Book:
    """A book in which something was seen, decided, confirmed and fitted."""
    _, overhaul_id = an_open_book(book)
    seen = a_reading("seen", place=Place("2.suction", SEEN), kind=Kind.SEEN, findings=("spring-tired",), **NOTHING)
    with a_writing(book) as writing:
        save_reading(writing, overhaul_id, a_reading("kept", reason="measured twice, bore egg-shaped"))
        save_reading(writing, overhaul_id, seen)
        save_confirmation(writing, overhaul_id, Confirmation(Phase.MAKE_SAFE, "cooled", "", FITTER, NOW))
        save_decision(writing, overhaul_id, Decision("2.ring-1", Verdict.RENEW, "Ölkohle im Kanal", CHIEF, NOW))
        save_fitting(writing, overhaul_id, Fitting("2.ring-set", "QM-31-230", "B-7", FITTER, NOW))
    return book


def found(book: Book, question: str) -> list[str]:
    """What was entered, of the entries that answer a question."""
    with book.reading() as session:
        words = words_asked(question)
        entries = search(session, words, None, 50)
        assert count_found(session, words) == len(entries)
    return [each.what for each in entries]


@pytest.mark.parametrize(
    ("question", "whats"),
    [
        ("egg", ["reading entered"]),
        ("TIRED spring", ["reading entered"]),
        ("mist", ["step confirmed"]),
        ("olkohle", ["decision made"]),
        ("QM-31-230 B-7", ["part fitted"]),
        ("egg mist", []),
        ("gg-shaped", []),
    ],
)
def test_an_entry_is_found_by_the_beginnings_of_its_words(told: Book, question: str, whats: list[str]) -> None:
    assert found(told, question) == whats


def test_index_made_anew_finds_what_was_not_told_when_it_was_entered_and_each_entry_once(told: Book) -> None:
    with told.noting() as session:
        session.connection().execute(text("DELETE FROM entry_words WHERE seq = (SELECT max(seq) FROM entry_words)"))
        make_index_again(session.connection())
    with a_writing(told) as writing:
        save_reading(writing, 1, a_reading("later", reason="egg-shaped still"))

    assert [found(told, question) for question in ("B-7", "egg", "mist")] == [
        ["part fitted"],
        ["reading entered", "reading entered"],
        ["step confirmed"],
    ]


def test_newest_entries_come_first_and_the_earlier_ones_after(told: Book) -> None:
    with told.reading() as session:
        words = words_asked("m")
        first = search(session, words, None, 1)
        then = search(session, words, first[0].seq, 50)

    assert first[0].seq > then[0].seq
    assert [each.seq for each in then] == sorted((each.seq for each in then), reverse=True)


@pytest.mark.parametrize(
    "odd",
    [
        '"',
        "'; DROP TABLE entry; --",
        "*",
        "a* OR NOT",
        "NEAR(x, 2)",
        "words:egg",
        "\N{WRENCH}",
        "_",
        "^x",
        "(",
        "e\x00g",
    ],
)
def test_odd_signs_are_no_question_and_no_error(told: Book, odd: str) -> None:
    with told.reading() as session:
        words = words_asked(odd)
        assert not words or isinstance(search(session, words, None, 5), list)


def test_a_question_of_ten_kilobytes_is_cut() -> None:
    assert max(map(len, words_asked("x" * 10_000))) == 40
    assert len(words_asked(" ".join(f"w{n}" for n in range(3000)))) == 12


@pytest.mark.about_files
def test_entries_are_found_through_the_index_and_their_own_numbers(told: Book) -> None:
    def ask() -> None:
        with told.reading() as session:
            search(session, ("egg",), 9, 5)

    with closing(sqlite3.connect(told.path)) as connection:
        plans = [
            step[3]
            for statement, values in statements_of(ask)
            for step in connection.execute(f"EXPLAIN QUERY PLAN {statement}", values)
        ]

    assert [plan.split(" INDEX ")[0] for plan in plans if plan.startswith("SCAN")] == [
        "SCAN entry_search VIRTUAL TABLE"
    ]
    assert sum("USING INTEGER PRIMARY KEY" in plan for plan in plans) == 2


def test_a_change_that_is_not_kept_is_not_found(told: Book) -> None:
    def fail() -> None:
        with a_writing(told) as writing:
            save_reading(writing, 1, a_reading("lost", reason="zebra"))
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()

    assert found(told, "zebra") == []


def test_words_told_while_entering_are_those_that_the_chain_tells_later(tmp_path: Path) -> None:
    book = a_book(tmp_path)
    live_in(book)
    with book.reading() as session:
        rows = session.connection().execute(select(ENTRY, WORDS.c.words).outerjoin(WORDS, WORDS.c.seq == ENTRY.c.seq))
        entries = [dict(row) for row in rows.mappings()]

    kept = [entry["words"] or "" for entry in entries]
    assert kept == [words_of(entry) for entry in entries]
    assert sum(map(bool, kept)) > 20
    book.close()
