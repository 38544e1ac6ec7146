"""A book for each test of the use cases, closed afterwards."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.domain.people import Person, Role
from app.store.book import Book
from tests.actions.papers import BEGAN
from tests.builders import a_book, a_machine, a_person
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


@pytest.fixture
def chief(book: Book) -> Person:
    """A chief engineer in a book with GA-1, which came into it at 60 000 h in 2020."""
    a_machine(book, hours="60000", at=BEGAN)
    return a_person(book, "I. Brandreth", Role.CHIEF)
