"""A tablet left alone: the page covers itself, and what was typed is there when the password is given."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

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


def leave_alone(page: Page) -> None:
    """Let the page's clock go on until it covers itself."""
    page.evaluate("(() => { const now = Date.now; Date.now = () => now() + 21 * 60000 })()")
    page.locator("dialog.lock").wait_for()


def tap_pin(page: Page, pin: str, answer: str) -> None:
    """Tap a PIN on the page's own keys, send it and wait for what is said of it."""
    for digit in pin:
        page.locator(f"dialog.lock [data-pin-key='{digit}']").tap()
    page.locator("#lock-pin-next").tap()
    if answer:
        page.locator("dialog.lock [data-lock-said]").get_by_text(answer).wait_for()


def test_pin_is_tapped_on_large_keys_and_after_five_wrong_ones_the_password_opens(
    bench: Bench, workshop: Workshop
) -> None:
    one = bench("fitter", "small", "engine")
    page = one.open("/people/1#tablets")
    page.get_by_text("Set a PIN on this tablet").tap()
    for label, typed in (("PIN, 4 to 8 digits", "2749"), ("The same PIN again", "2749"), ("Your password", PASSWORD)):
        page.get_by_label(label, exact=True).fill(typed)
    page.get_by_role("button", name="Set the PIN").tap()
    page.get_by_text("Your PIN opens this tablet").wait_for()

    leave_alone(page)
    covered = one.axe()
    sizes = [key.bounding_box() for key in page.locator("dialog.lock .pin-keys .key").all()]
    tap_pin(page, "2794", "Tries left: 4.")
    tap_pin(page, "2749", "")
    page.locator("dialog.lock").wait_for(state="detached")
    leave_alone(page)
    for left in (4, 3, 2, 1):
        tap_pin(page, "2794", f"Tries left: {left}.")
    tap_pin(page, "2794", "5 wrong PINs: the PIN has ended on this tablet.")
    page.get_by_label("Password of M. Tarrow").fill(PASSWORD)
    page.locator("#lock-next").tap()
    page.locator("dialog.lock").wait_for(state="detached")

    assert covered == []
    assert all(box and min(box["width"], box["height"]) >= 68 for box in sizes)
