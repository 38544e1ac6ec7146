"""A tablet left alone: the page covers itself, and what was typed is there when the password is given."""

from collections.abc import Callable

import pytest

from tests.browser.chromium import Tablet
from tests.browser.hand import keep, tap_keys
from tests.builders import PASSWORD
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]


def test_page_left_alone_covers_itself_and_what_was_typed_is_kept_after_the_password(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.safe()
    one = bench("fitter", "large", "day")
    page = one.open(workshop.url("/gauge/2.ring-1/closed-gap?how=size"))
    tap_keys(page, "0.60")

    before = page.locator("dialog.lock").count()
    page.evaluate("(() => { const now = Date.now; Date.now = () => now() + 21 * 60000 })()")
    page.locator("dialog.lock").wait_for()
    covered, faults = one.axe(), page.locator("dialog.lock").count()
    page.get_by_label("Password of M. Tarrow").fill("not this one")
    page.locator("#lock-next").tap()
    page.get_by_text("This is not M. Tarrow's password.").wait_for()
    page.keyboard.press("Escape")
    still = page.locator("dialog.lock").is_visible()
    page.get_by_label("Password of M. Tarrow").fill(PASSWORD)
    page.locator("#lock-next").tap()
    page.locator("dialog.lock").wait_for(state="detached")
    keep(page)

    assert (before, faults, covered, still) == (0, 1, [], True)
    assert [reading.written for reading in workshop.readings] == ["0.60 mm"]
