"""What every run of the tests says at its end."""

import pytest
from hypothesis import settings

from tests.browser.debian import CHROMIUM, MISSING
from tests.on_postgres import ADDRESS, BOTH, is_tried_on_both
from tests.on_postgres import MISSING as NO_POSTGRES

# A busy machine stretches the clock; what an example costs is no property of the code.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run what is about any book on a file and on PostgreSQL."""
    if is_tried_on_both(metafunc):
        metafunc.parametrize("book", BOTH, indirect=True)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say plainly when pages were not tried in a browser, and books not on a server."""
    if CHROMIUM is None:
        terminalreporter.write_line(f"SKIPPED the browser tests. {MISSING}", yellow=True)
    if not ADDRESS:
        terminalreporter.write_line(f"SKIPPED the tests on PostgreSQL. {NO_POSTGRES}", yellow=True)
