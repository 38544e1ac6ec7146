"""What every run of the tests says at its end."""

import pytest
from hypothesis import settings

from tests.browser.debian import CHROMIUM, MISSING

# A busy machine stretches the clock; what an example costs is no property of the code.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say plainly when pages were not tried in a browser."""
    if CHROMIUM is None:
        terminalreporter.write_line(f"SKIPPED the browser tests. {MISSING}", yellow=True)
