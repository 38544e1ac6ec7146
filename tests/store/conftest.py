"""A book for each test, closed afterwards; it is migrated once and copied, since migrating takes the longest."""

import shutil
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from app.store.book import Book
from app.store.migration import migrate
from tests.on_postgres import a_book_on_postgres, wants_postgres


@pytest.fixture(scope="session")
def newest_form(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("newest") / "book.db"
    with closing(Book(path)) as book:
        migrate(book)
    return path


@pytest.fixture
def book(request: pytest.FixtureRequest, newest_form: Path, tmp_path: Path) -> Iterator[Book]:
    if wants_postgres(request):
        with a_book_on_postgres(tmp_path) as book:
            yield book
        return
    with closing(Book(Path(shutil.copy(newest_form, tmp_path / "book.db")))) as book:
        yield book
