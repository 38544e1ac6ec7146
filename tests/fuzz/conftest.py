"""One ground for every shot, since each is taken back; and what stands on it to shoot at."""

from collections.abc import Iterator

import pytest

from tests.builders import a_book
from tests.fuzz.crawler import Form, crawl
from tests.fuzz.ground import CHIEF, Ground


@pytest.fixture(scope="session")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ground]:
    """The book with the program around it."""
    book = a_book(tmp_path_factory.mktemp("ground"))
    ground = Ground(book)
    yield ground
    ground.close()
    book.close()


@pytest.fixture(scope="session")
def forms(ground: Ground) -> list[tuple[str, Form]]:
    """Every form that a chief engineer meets, who may do all that a fitter does."""
    return list(crawl(ground, ground.visitors[CHIEF], 1))
