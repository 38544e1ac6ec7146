"""The demonstration, loaded once and read back through the actions."""

from collections.abc import Iterator
from contextlib import closing

import pytest

from app.store.book import Book
from tests.demonstration.told import Told
from tests.demonstration_book import copy_demonstration


@pytest.fixture(scope="session")
def told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Told]:
    """Everything the demonstration tells; no test changes it."""
    with closing(Book(copy_demonstration(tmp_path_factory.mktemp("told")))) as book:
        yield Told(book)
