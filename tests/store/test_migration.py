"""Tests of bringing a book up to date: from nothing, from before, and not from what is no book of ours."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy.exc import OperationalError
from sqlmodel import SQLModel

from app.__main__ import main
from app.store.backup import verify_copy
from app.store.book import Book
from app.store.chain import verify_chain
from app.store.migration import MIGRATIONS, NotThisBook, migrate
from app.store.people import list_people
from tests.house.readme import free_port
from tests.store.builders import an_open_book

NEWEST = max(path.name for path in (MIGRATIONS / "versions").glob("*.py"))[:4]
NEXT = '''
"""A step after the newest."""

import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "{newest}"


def upgrade() -> None:
    op.add_column("machine", sa.Column("note", sa.String, nullable=False, server_default=""))
    {fails}
'''


def test_empty_file_becomes_a_book_without_a_backup(tmp_path: Path) -> None:
    with closing(Book(tmp_path / "book.db")) as book:
        before, backup, after = book.revision(), migrate(book), book.revision()

    assert (before, backup, after) == (None, None, NEWEST)
    assert not (tmp_path / "backups").exists()


def test_book_in_the_newest_form_is_left_alone(book: Book) -> None:
    assert migrate(book) is None
    assert not (book.path.parent / "backups").exists()


def test_migrated_tables_are_the_very_tables_of_the_rows(book: Book) -> None:
    with book.reading() as session:
        opts = {"compare_type": True, "include_name": _is_no_index_of_words}
        context = MigrationContext.configure(session.connection(), opts=opts)
        differences = compare_metadata(context, SQLModel.metadata)

    assert differences == []


def test_migrations_have_readable_names_in_one_order() -> None:
    names = sorted(path.name for path in (MIGRATIONS / "versions").glob("*.py"))

    assert names[0] == "0001_book.py"
    assert [int(name[:4]) for name in names] == list(range(1, len(names) + 1))


def test_book_with_rows_is_backed_up_verified_and_upgraded(book: Book, tmp_path: Path) -> None:
    an_open_book(book)
    newest = book.revision()

    backup = migrate(book, _with_a_next_step(tmp_path, newest))

    assert book.revision() == "9999"
    assert _people(book) == ["M. Tarrow"]
    assert backup is not None
    verify_copy(backup)
    with closing(Book(backup)) as before:
        assert before.revision() == newest
        assert _people(before) == ["M. Tarrow"]


def test_update_is_undone_by_the_program_before_it_and_the_backup_that_it_took(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    an_open_book(book)
    newest = book.revision()
    backup = migrate(book, _with_a_next_step(tmp_path, newest))
    book.close()
    for name, value in (("DATA_FOLDER", book.path.parent), ("PORT", free_port())):
        monkeypatch.setenv(f"WEARBOOK_{name}", str(value))
    beside = book.path.rename(book.path.with_name("wearbook.db"))

    # To this program the book is of a newer one now: it leaves it alone, and takes the backup from before in its place.
    with closing(Book(beside)) as updated, pytest.raises(NotThisBook):
        migrate(updated)
    status = main(["restore", str(backup)])

    assert status == 0
    with closing(Book(beside)) as again:
        assert again.revision() == newest
        assert _people(again) == ["M. Tarrow"]
    assert len(list(beside.parent.glob("wearbook*.db*"))) >= 2  # the newer book is set aside, not thrown away


def test_upgrade_that_fails_leaves_the_book_as_it_was_and_its_backup(book: Book, tmp_path: Path) -> None:
    an_open_book(book)
    newest = book.revision()

    with pytest.raises(OperationalError, match="nothing_there"):
        migrate(book, _with_a_next_step(tmp_path, newest, 'op.execute("DELETE FROM nothing_there")'))

    assert book.revision() == newest
    assert "note" not in _columns(book, "machine")
    assert migrate(book) is None
    assert _people(book) == ["M. Tarrow"]
    assert len(list((book.path.parent / "backups").iterdir())) == 1


def test_upgraded_book_still_seals_its_rows_and_keeps_its_chain(book: Book, tmp_path: Path) -> None:
    an_open_book(book)

    migrate(book, _with_a_next_step(tmp_path, book.revision()))

    with book.reading() as session:
        assert verify_chain(session) is None
    with closing(sqlite3.connect(book.path)) as connection, pytest.raises(sqlite3.IntegrityError, match="never"):
        connection.execute("DELETE FROM entry")


def test_book_of_a_newer_version_is_refused_and_left_alone(book: Book, tmp_path: Path) -> None:
    migrate(book, _with_a_next_step(tmp_path, book.revision()))

    with pytest.raises(NotThisBook, match="newer version"):
        migrate(book)

    assert book.revision() == "9999"


def test_file_of_another_program_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE pigeons (ring TEXT)")
    before = path.read_bytes()

    with closing(Book(path)) as book, pytest.raises(NotThisBook, match="left alone"):
        migrate(book)

    assert path.read_bytes() == before


def _with_a_next_step(tmp_path: Path, newest: str | None, fails: str = "") -> Path:
    """Give a copy of the migrations with one more step."""
    scripts = Path(shutil.copytree(MIGRATIONS, tmp_path / "100% migrations"))
    step = NEXT.format(newest=newest, fails=fails)
    (scripts / "versions" / "9999_next.py").write_text(step, encoding="utf-8")
    return scripts


def _is_no_index_of_words(name: str | None, *_rest: object) -> bool:
    """The tables of the index of words are SQLite's own affair."""
    return not (name or "").startswith("entry_search")


def _people(book: Book) -> list[str]:
    with book.reading() as session:
        return [person.name for person in list_people(session)]


def _columns(book: Book, table: str) -> list[str]:
    with closing(sqlite3.connect(book.path)) as connection:
        return [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
