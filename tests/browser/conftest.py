"""A browser and a served demonstration for each module, a tablet for each test."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.chromium import Tablet, a_browser, a_server
from tests.demonstration_book import copy_demonstration


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One Chromium."""
    with a_browser() as started:
        yield started


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the demonstration, in a copy that the module's tests may write to."""
    folder: Path = tmp_path_factory.mktemp("demonstration")
    copy_demonstration(folder)
    with a_server(folder, is_demonstration=True) as served:
        yield served


@pytest.fixture
def tablet(browser: Browser, address: str) -> Iterator[Callable[..., Tablet]]:
    """A tablet of some size and light; the browser's complaints fail the test at its end."""
    taken: list[Tablet] = []

    def take(size: str = "large", light: str = "day") -> Tablet:
        """Take a tablet."""
        taken.append(Tablet(browser, address, size, light))
        return taken[-1]

    yield take
    for one in taken:
        one.close()
