"""A book for each test, closed afterwards."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.store.book import Book
from tests.builders import a_book


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    book = a_book(tmp_path)
    yield book
    book.close()
