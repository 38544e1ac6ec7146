"""What every run of the tests says at its end."""

import pytest

from tests.browser.debian import CHROMIUM, MISSING


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say plainly when pages were not tried in a browser."""
    if CHROMIUM is None:
        terminalreporter.write_line(f"SKIPPED the browser tests. {MISSING}", yellow=True)
