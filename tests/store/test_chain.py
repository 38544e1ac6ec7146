"""Tests of the chain of entries: what it holds, and that it shows every change made behind it."""

import hashlib
import json
from datetime import datetime

import pytest
from sqlalchemy import text as sql

from app.domain.people import Role
from app.store.book import Book
from app.store.chain import EMPTY_CHAIN, chain_head, list_entries, verify_chain
from app.store.people import change_person, save_person
from tests.store.behind import behind_the_book, past_the_book
from tests.store.builders import CHIEF, NOW, a_writing


def test_empty_chain_holds(book: Book) -> None:
    with book.reading() as session:
        assert verify_chain(session) is None
        assert chain_head(session) == EMPTY_CHAIN


def test_chain_of_several_entries_holds(book: Book) -> None:
    _three_entries(book)

    assert _first_broken(book) is None


def test_entry_says_who_when_what_from_what_to_what_and_why(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        writing.enter("limit asked", "machine GA-1", {"gap": 1}, ["µm", None], "the maker wrote")

    with book.reading() as session:
        entry = list_entries(session)[0]

    assert (entry.at, entry.person, entry.what, entry.subject) == (NOW, CHIEF, "limit asked", "machine GA-1")
    assert (entry.old, entry.new, entry.why) == ('{"gap":1}', '["µm",null]', "the maker wrote")


def test_digest_can_be_worked_out_by_anybody_from_the_columns(book: Book) -> None:
    _three_entries(book)

    with past_the_book(book) as connection:
        entries = [dict(row) for row in connection.execute(sql("SELECT * FROM entry ORDER BY seq")).mappings()]

    previous = ""
    for entry in entries:
        kept = entry.pop("digest")
        text = json.dumps(entry, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        assert entry["previous"] == previous
        assert hashlib.sha256(text.encode()).hexdigest() == kept
        previous = kept


@pytest.mark.parametrize("column", ["at", "person", "what", "subject", "old", "new", "why", "previous", "digest"])
def test_one_changed_byte_in_any_column_is_found(book: Book, column: str) -> None:
    _three_entries(book)

    behind_the_book(book, "entry", f"UPDATE entry SET {column} = {column} || 'x' WHERE seq = 2")

    assert _first_broken(book) == 2


def test_changed_digit_inside_an_entry_is_found(book: Book) -> None:
    _three_entries(book)

    behind_the_book(book, "entry", "UPDATE entry SET new = replace(new, 'fitter', 'Fitter') WHERE seq = 1")

    assert _first_broken(book) == 1


def test_entry_whose_digest_was_worked_out_anew_breaks_the_next(book: Book) -> None:
    _three_entries(book)
    with past_the_book(book) as connection:
        entry = dict(connection.execute(sql("SELECT * FROM entry WHERE seq = 2")).mappings().one())
    del entry["digest"]
    entry["new"] = "{}"
    text = json.dumps(entry, sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    forged = hashlib.sha256(text.encode()).hexdigest()
    behind_the_book(book, "entry", f"UPDATE entry SET new = '{{}}', digest = '{forged}' WHERE seq = 2")

    assert _first_broken(book) == 3


@pytest.mark.parametrize("seq", [1, 2])
def test_missing_entry_is_found(book: Book, seq: int) -> None:
    _three_entries(book)

    behind_the_book(book, "entry", f"DELETE FROM entry WHERE seq = {seq}")

    assert _first_broken(book) == seq


@pytest.mark.about_files
def test_byte_that_is_no_text_any_more_is_found(book: Book) -> None:
    _three_entries(book)

    behind_the_book(book, "entry", "UPDATE entry SET why = CAST(x'FF' AS TEXT) WHERE seq = 2")

    assert _first_broken(book) == 2


@pytest.mark.about_files
def test_text_replaced_by_bytes_is_found(book: Book) -> None:
    _three_entries(book)

    behind_the_book(book, "entry", "UPDATE entry SET why = x'41' WHERE seq = 3")

    assert _first_broken(book) == 3


def test_entries_cut_off_the_end_show_only_against_a_head_kept_elsewhere(book: Book) -> None:
    _three_entries(book)
    with book.reading() as session:
        kept_elsewhere = chain_head(session)

    behind_the_book(book, "entry", "DELETE FROM entry WHERE seq = 3")

    with book.reading() as session:
        assert verify_chain(session) is None
        assert chain_head(session) != kept_elsewhere


def test_entries_are_listed_newest_first_by_subject_and_page(book: Book) -> None:
    _three_entries(book)

    with book.reading() as session:
        of_venn = [entry.seq for entry in list_entries(session, "person S. Venn")]
        page = [entry.seq for entry in list_entries(session, before=3, limit=1)]

    assert (of_venn, page) == ([3, 1], [2])


def test_moment_without_time_zone_is_refused(book: Book) -> None:
    naive = datetime(2031, 4, 5)  # noqa: DTZ001  # a moment without its time zone is the point

    with pytest.raises(ValueError, match="time zone"), a_writing(book, now=naive) as writing:
        writing.enter("anything", "anybody", None, None)


def _three_entries(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        venn = save_person(writing, "S. Venn", Role.FITTER, "digest")
        save_person(writing, "R. Osk", Role.CHIEF, "digest")
        change_person(writing, venn.id, is_active=False)


def _first_broken(book: Book) -> int | None:
    with book.reading() as session:
        return verify_chain(session)
