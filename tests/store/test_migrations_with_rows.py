"""Tests that each step of the book's form is taken from the step before it with rows in the tables."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config

from app.store.book import Book
from app.store.machines import list_meter_readings
from app.store.migration import MIGRATIONS, migrate
from app.store.search import search
from app.store.services import list_services

MACHINE = "INSERT INTO machine VALUES (1, 'GA-1', 'W31', 'Governor air', 'Quillmoor', 'QM-GA', '2031-04-05 06:07:08')"
HOURS = "INSERT INTO meter_reading VALUES (1, 1, '10300.50', '2031-04-05 06:07:08.000000', 'M. Tarrow')"


def a_book_at(path: Path, revision: str, *rows: str) -> Book:
    """A book in an earlier form, with rows in it."""
    book = Book(path / "book.db")
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.set_main_option("path_separator", "os")
    with book.writer.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
    with closing(sqlite3.connect(book.path)) as connection, connection:
        for row in rows:
            connection.execute(row)
    return book


ENTRY = (
    "INSERT INTO entry VALUES (1, '2031-04-05T06:07:08.000009+00:00', 'M. Tarrow', 'reading entered', 'overhaul 1', "
    """'null', '{"findings":"[\\"spring-tired\\"]"}', 'soot on the seat', '', 'digest')"""
)


@pytest.fixture
def meters_before(tmp_path: Path) -> Iterator[Book]:
    """A book from before meters could be changed or struck."""
    with closing(a_book_at(tmp_path, "0003", MACHINE, HOURS)) as book:
        yield book


def test_hours_from_before_are_what_the_meter_showed_and_stay_sealed(meters_before: Book) -> None:
    migrate(meters_before)

    with meters_before.reading() as session:
        (reading,) = list_meter_readings(session, 1)
    assert (reading.hours, reading.on_meter) == (Decimal("10300.50"), Decimal("10300.50"))
    assert (reading.is_new_meter, reading.source, reading.entered_at) == (False, "", None)
    with closing(sqlite3.connect(meters_before.path)) as connection:
        connection.execute("INSERT INTO meter_strike VALUES (1, 1, 'misread', 'M. Tarrow', '2031-04-06 06:07:08')")
        for change in ("UPDATE meter_reading SET hours = '1'", "DELETE FROM meter_strike"):
            with pytest.raises(sqlite3.IntegrityError, match="never"):
                connection.execute(change)


def test_a_book_from_before_services_keeps_its_hours_and_takes_services(tmp_path: Path) -> None:
    with closing(a_book_at(tmp_path, "0004", MACHINE, HOURS.replace("')", "', NULL, 0, '', NULL)"))) as book:
        migrate(book)

        with book.reading() as session:
            assert [str(each.hours) for each in list_meter_readings(session, 1)] == ["10300.50"]
            assert list_services(session, 1) == []


AMENDED = (
    "INSERT INTO entry VALUES (2, '2031-04-05T06:07:08.000009+00:00', 'M. Tarrow', 'amendment proposed', 'overhaul 1', "
    """'null', '{"what":"batch of the pin","old":"B-7","new":"B-8"}', 'the label was misread', '', 'digest')"""
)
WORDS_THEN = "INSERT INTO entry_words VALUES (1, 'soot on the seat'), (2, 'the label was misread')"


def test_words_of_amendments_from_before_they_were_told_are_found_and_all_others_still(tmp_path: Path) -> None:
    with closing(a_book_at(tmp_path, "0023", ENTRY, AMENDED, WORDS_THEN)) as book:
        asked = [("batch", "B", "8"), ("label", "misread"), ("soot", "spring"), ("wool",)]
        with book.reading() as session:
            before = [[each.seq for each in search(session, words, None, 5)] for words in asked]
        migrate(book)

        with book.reading() as session:
            after = [[each.seq for each in search(session, words, None, 5)] for words in asked]

    assert before == [[], [2], [], []]
    assert after == [[2], [2], [1], []]


def test_words_of_entries_from_before_the_index_are_found(tmp_path: Path) -> None:
    with closing(a_book_at(tmp_path, "0010", ENTRY)) as book:
        migrate(book)

        with book.reading() as session:
            found = [search(session, words, None, 5) for words in (("soot", "spring"), ("wool",))]

    assert [[each.seq for each in some] for some in found] == [[1], []]
