"""Tests of the book: what is kept, what is not, and who waits for whom."""

import shutil
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import URL, text
from sqlalchemy.exc import DBAPIError

from app.domain.people import Role
from app.store import book as book_module
from app.store.book import Book, NotStored
from app.store.chain import chain_head, list_entries, verify_chain
from app.store.migration import migrate
from app.store.people import list_people, save_person
from app.store.readings import list_readings, save_reading
from tests.store.behind import past_the_book
from tests.store.builders import NOW, a_reading, a_writing, an_open_book


def test_change_is_kept_when_the_block_ends(book: Book) -> None:
    with a_writing(book) as writing:
        save_person(writing, "S. Venn", Role.AUDITOR, "digest")

    with past_the_book(book) as other:
        assert other.execute(text("SELECT name, role FROM person")).all() == [("S. Venn", "auditor")]


def test_change_that_fails_leaves_nothing_and_no_entry(book: Book) -> None:
    def fail_half_way() -> None:
        with a_writing(book) as writing:
            save_person(writing, "S. Venn", Role.AUDITOR, "digest")
            raise RuntimeError("half way")

    with pytest.raises(RuntimeError, match="half way"):
        fail_half_way()

    with book.reading() as session:
        assert list_people(session) == []
        assert list_entries(session) == []


def test_book_takes_the_next_change_after_one_that_failed(book: Book) -> None:
    with pytest.raises(RuntimeError), a_writing(book):
        raise RuntimeError

    with a_writing(book) as writing:
        save_person(writing, "S. Venn", Role.AUDITOR, "digest")

    with book.reading() as session:
        assert [person.name for person in list_people(session)] == ["S. Venn"]


def test_reader_is_not_blocked_by_a_writer_and_sees_the_state_before(book: Book) -> None:
    with a_writing(book) as writing:
        save_person(writing, "S. Venn", Role.AUDITOR, "digest")
        with ThreadPoolExecutor(1) as pool:
            seen = pool.submit(_names, book).result(timeout=2)

    assert seen == []
    assert _names(book) == ["S. Venn"]


def test_writer_is_not_blocked_by_a_reader_who_keeps_seeing_one_moment(book: Book) -> None:
    with book.reading() as session:
        before = list_people(session)
        with a_writing(book) as writing:
            save_person(writing, "S. Venn", Role.AUDITOR, "digest")
        after = list_people(session)

    assert before == after == []


def test_reader_cannot_change_the_book(book: Book) -> None:
    with book.reading() as session, pytest.raises(DBAPIError, match=r"read-?only"):
        session.connection().execute(text("DELETE FROM person"))


def test_two_threads_writing_200_readings_each_lose_none(book: Book) -> None:
    _, overhaul_id = an_open_book(book)

    def write(thread: int) -> None:
        for number in range(200):
            with a_writing(book) as writing:
                save_reading(writing, overhaul_id, a_reading(f"tablet-{thread}-{number}"))

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(write, range(2)))

    with book.reading() as session:
        kept = {reading.id for reading in list_readings(session, overhaul_id)}
        assert kept == {f"tablet-{thread}-{number}" for thread in range(2) for number in range(200)}
        assert verify_chain(session) is None


def test_two_open_books_of_one_file_write_one_chain(book: Book) -> None:
    def write(place: Book) -> None:
        for number in range(100):
            with a_writing(place) as writing:
                save_person(writing, f"{id(place)} {number}", Role.FITTER, "digest")

    with closing(Book(book.path, book.url)) as beside, ThreadPoolExecutor(2) as pool:
        list(pool.map(write, [book, beside]))

    with book.reading() as session:
        assert chain_head(session)[0] == 200
        assert verify_chain(session) is None


@pytest.mark.about_files
def test_every_commit_is_flushed_and_every_reference_checked(book: Book) -> None:
    pragmas = {"synchronous": 2, "journal_mode": "wal", "foreign_keys": 1, "recursive_triggers": 1}

    with a_writing(book) as writing:
        found = {name: writing.session.connection().execute(text(f"PRAGMA {name}")).scalar() for name in pragmas}

    assert found == pragmas


def test_book_that_cannot_be_written_says_so_in_words(book: Book) -> None:
    _forbid_writing(book)

    with pytest.raises(NotStored, match="nothing was stored"), a_writing(book) as writing:
        save_person(writing, "S. Venn", Role.AUDITOR, "digest")


def test_book_knows_whether_it_can_be_written(book: Book) -> None:
    before = book.is_writable()

    _forbid_writing(book)

    assert (before, book.is_writable()) == (True, False)


def test_change_that_waits_too_long_is_refused(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(book_module, "LONGEST_WAIT_S", 0.01)

    with a_writing(book), ThreadPoolExecutor(1) as pool, pytest.raises(NotStored, match="too long"):
        pool.submit(_write_nothing, book).result()


def test_book_opens_by_the_url_of_a_database(tmp_path: Path) -> None:
    url = URL.create("sqlite", database=str(tmp_path / "by-url.db"))

    with closing(Book(tmp_path / "unused.db", url)) as book:
        assert book.revision() is None

    assert (tmp_path / "by-url.db").exists()


def test_book_makes_the_folder_it_lies_in(tmp_path: Path) -> None:
    with closing(Book(tmp_path / "data" / "book.db")):
        assert (tmp_path / "data").is_dir()


def test_checkpoint_moves_what_was_kept_from_the_log_into_the_file(tmp_path: Path) -> None:
    with closing(Book(tmp_path / "book.db")) as book:
        migrate(book)
        with book.writing("somebody", NOW) as writing:
            save_person(writing, "S. Venn", Role.AUDITOR, "digest")
        book.checkpoint()
        alone = shutil.copy(book.path, tmp_path / "alone.db")  # without its log

    with closing(Book(Path(alone))) as moved:
        assert _names(moved) == ["S. Venn"]


def test_checkpoint_waits_for_nobody_who_reads(book: Book) -> None:
    with book.reading() as session:
        before = list_people(session)
        with a_writing(book) as writing:
            save_person(writing, "S. Venn", Role.AUDITOR, "digest")
        book.checkpoint()

        assert list_people(session) == before
    assert len(_names(book)) == len(before) + 1


def _names(book: Book) -> list[str]:
    with book.reading() as session:
        return [person.name for person in list_people(session)]


def _write_nothing(book: Book) -> None:
    with book.writing("somebody", NOW):
        pass


def _forbid_writing(book: Book) -> None:
    with closing(book.writer.raw_connection()) as connection:
        refused = "PRAGMA query_only = ON" if book.is_file else "SET default_transaction_read_only = on"
        connection.cursor().execute(refused)
        connection.commit()
