"""The browser tests would notice what they look for."""

import pytest
from playwright.sync_api import Browser

from tests.browser.chromium import Tablet

pytestmark = pytest.mark.browser


@pytest.fixture
def blank(browser: Browser) -> Tablet:
    """A tablet in front of no book at all."""
    return Tablet(browser, "http://127.0.0.1:9")


def test_violation_of_the_guidelines_is_found(blank: Tablet) -> None:
    blank.page.set_content("<title>A</title><main><h1>A</h1><input name=bore></main>")

    found = blank.axe()
    blank.close()

    assert any("label" in violation for violation in found)


def test_error_in_a_script_is_a_complaint(blank: Tablet) -> None:
    blank.page.set_content("<script>throw new Error('leaf slipped')</script>")

    with pytest.raises(AssertionError, match="leaf slipped"):
        blank.close()


def test_error_in_the_console_is_a_complaint(blank: Tablet) -> None:
    blank.page.set_content("<script>console.error('leaf slipped')</script>")

    with pytest.raises(AssertionError, match="leaf slipped"):
        blank.close()


def test_page_wider_than_the_screen_is_measured(blank: Tablet) -> None:
    blank.page.set_content("<div style='width:1380px'>wide</div>")

    wider = blank.overflow()
    blank.close()

    assert wider >= 100
