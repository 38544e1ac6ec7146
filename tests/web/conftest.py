"""A book for each test of the pages, closed afterwards."""

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from app.settings import Settings
from app.store.book import Book
from app.store.opening import give_key
from tests.builders import SITE_KEY, a_book, an_app
from tests.on_postgres import a_book_on_postgres, wants_postgres
from tests.web.four_roles import as_it_stands, visitor_as
from tests.web.visitor import Visitor


@pytest.fixture
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    if wants_postgres(request):
        with a_book_on_postgres(tmp_path) as book:
            key = Settings(data_folder=tmp_path).key_path
            key.write_bytes(SITE_KEY)
            give_key(book, key)
            yield book
        return
    book = a_book(tmp_path)
    yield book
    book.close()


@pytest.fixture
def everybody(tmp_path: Path) -> Iterator[tuple[Visitor, ...]]:
    """Nobody signed in, a fitter, a chief engineer and an auditor at a copy of that book, a page before each."""
    file, known = as_it_stands()
    (tmp_path / "wearbook.db").write_bytes(file)
    with closing(a_book(tmp_path)) as book:
        app = an_app(book)
        yield tuple(visitor_as(app, cookies, page) for cookies, page in known)
