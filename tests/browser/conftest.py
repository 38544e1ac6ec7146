"""A browser and a served demonstration for each module, a tablet for each test, a workshop where a test begins one."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from app.actions.people import sign_in
from tests.browser.chromium import Tablet, a_browser, a_server, name_of, serving
from tests.builders import PASSWORD, a_book
from tests.demonstration_book import copy_demonstration
from tests.web.workshop import Workshop


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


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    """A book of its own with GA-1 opened, stage 2 alone; the test brings it to the phase it begins at."""
    return Workshop(a_book(tmp_path))


@pytest.fixture
def bench(browser: Browser, workshop: Workshop) -> Iterator[Callable[..., Tablet]]:
    """A tablet in front of the workshop's book with somebody of this role signed in; nobody where the role is empty."""
    taken: list[Tablet] = []
    with serving(workshop.app) as served:

        def take(role: str = "fitter", size: str = "large", light: str = "day", has_script: bool = True) -> Tablet:
            """Take a tablet."""
            taken.append(Tablet(browser, served, size, light, has_script))
            if role:
                taken[-1].carry(sign_in(workshop.book, name_of(role), PASSWORD, datetime.now(UTC)).token)
            return taken[-1]

        yield take
        for one in taken:
            one.close()
