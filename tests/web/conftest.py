"""A book for each test of the pages, closed afterwards."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.store.book import Book
from tests.builders import a_book
from tests.on_postgres import a_book_on_postgres, wants_postgres


@pytest.fixture
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    if wants_postgres(request):
        with a_book_on_postgres(tmp_path) as book:
            yield book
        return
    book = a_book(tmp_path)
    yield book
    book.close()
