"""Tests of backups: whole, verified, and never over another file."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.domain.people import Role
from app.store.backup import BackupFailed, back_up, verify_copy
from app.store.book import Book
from app.store.chain import chain_head, verify_chain
from app.store.overhauls import get_overhaul
from app.store.people import list_people, save_person
from app.store.readings import save_reading
from tests.store.builders import a_reading, a_writing, an_open_book


def test_backup_of_a_book_in_use_holds_everything_committed(book: Book, tmp_path: Path) -> None:
    _, overhaul_id = an_open_book(book)
    with a_writing(book) as writing:
        save_reading(writing, overhaul_id, a_reading())

    target = back_up(book.path, tmp_path / "copies" / "copy.db")

    with closing(Book(target)) as copy, copy.reading() as copied, book.reading() as session:
        assert get_overhaul(copied, overhaul_id) == get_overhaul(session, overhaul_id)
        assert chain_head(copied) == chain_head(session)
        assert verify_chain(copied) is None


def test_backup_taken_while_a_change_is_in_the_making_holds_the_state_before(book: Book, tmp_path: Path) -> None:
    an_open_book(book)

    with a_writing(book) as writing:
        save_person(writing, "S. Venn", Role.AUDITOR, "digest")
        target = back_up(book.path, tmp_path / "copy.db")

    with closing(Book(target)) as copy, copy.reading() as session:
        assert [person.name for person in list_people(session)] == ["M. Tarrow"]


def test_backup_is_one_file_that_needs_none_beside_it(book: Book, tmp_path: Path) -> None:
    folder = tmp_path / "copies"

    target = back_up(book.path, folder / "copy.db")

    does_not_ask_for_a_log = 1  # SQLite's file format, version 1.3.3: byte 18 is 1, or 2 for a write-ahead log.
    assert target.read_bytes()[18] == does_not_ask_for_a_log
    assert [path.name for path in folder.iterdir()] == ["copy.db"]


def test_backup_is_never_written_over_another_file(book: Book, tmp_path: Path) -> None:
    target = tmp_path / "copy.db"
    target.write_text("something dear")

    with pytest.raises(BackupFailed, match="there already"):
        back_up(book.path, target)

    assert target.read_text() == "something dear"


def test_backup_of_a_file_that_is_not_there_makes_none(tmp_path: Path) -> None:
    with pytest.raises(BackupFailed, match="not there"):
        back_up(tmp_path / "no book.db", tmp_path / "copy.db")

    assert list(tmp_path.iterdir()) == []


def test_backup_of_what_is_no_database_fails_and_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "book.db").write_bytes(b"this is no database at all" * 100)

    with pytest.raises(BackupFailed, match="could not be copied"):
        back_up(tmp_path / "book.db", tmp_path / "copy.db")

    assert [path.name for path in tmp_path.iterdir()] == ["book.db"]


def test_damaged_book_is_copied_by_no_backup(book: Book, tmp_path: Path) -> None:
    damaged = _damaged(book, tmp_path)

    with pytest.raises(BackupFailed, match="not a whole book"):
        back_up(damaged, tmp_path / "copy.db")

    assert not (tmp_path / "copy.db").exists()
    assert not (tmp_path / "copy.db.part").exists()


def test_reference_to_a_row_that_is_gone_is_found(book: Book) -> None:
    with closing(sqlite3.connect(book.path)) as connection, connection:
        connection.execute("INSERT INTO preference (person_id, key, value) VALUES (77, 'theme', 'dark')")

    with pytest.raises(BackupFailed, match="preference"):
        verify_copy(book.path)


def _damaged(book: Book, tmp_path: Path) -> Path:
    """Give a copy of a book in which the first bytes of the readings' page are gone."""
    an_open_book(book)
    target = back_up(book.path, tmp_path / "damaged.db")
    with closing(sqlite3.connect(target)) as connection:
        page_bytes = connection.execute("PRAGMA page_size").fetchone()[0]
        page = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'reading'").fetchone()[0]
    content = bytearray(target.read_bytes())
    content[(page - 1) * page_bytes : (page - 1) * page_bytes + 8] = b"\xff" * 8
    target.write_bytes(content)
    return target
