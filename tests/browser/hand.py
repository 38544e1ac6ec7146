"""A hand on the tablet: it taps keys, keeps, confirms steps and signs, at the pace the pages allow."""

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Locator, Page

from tests.builders import PASSWORD

NAMES = {"-": "sign", ">": "next"}
# Keep is deaf for a moment after a page opens or is turned; the hand waits that moment out and no longer.
WAKE = """(deaf_ms) => new Promise((awake) => {
  const opened_ms = performance.getEntriesByType("navigation")[0].domContentLoadedEventStart;
  const since_ms = performance.now() - Math.max(opened_ms, Number(document.documentElement.dataset.turned ?? 0));
  setTimeout(awake, Math.max(0, deaf_ms - since_ms));
})"""
DEAF_MS = 620
# The page that is left is marked; the next one stands there when it has come whole and without the mark.
MARK = "document.querySelector('.sheet').dataset.gone = ''"
HAS_COME = ".sheet:not([data-gone])"


def tap_keys(page: Page, figure: str) -> None:
    """Tap a figure into the current field, key by key; where the leaves stand in the keys' place, change over first."""
    if page.locator(".leaves").is_visible():
        page.get_by_role("button", name="Keys", exact=True).tap()
    for key in figure:
        page.locator(f'.pad [data-key="{NAMES.get(key, key)}"]').tap()


def take_leaves(page: Page, *leaves: str) -> None:
    """Tap leaves of the feeler set, one after the other; a plus sign puts the next one on the one before."""
    for leaf in leaves:
        page.get_by_role("button", name="+ leaf" if leaf == "+" else leaf, exact=True).tap()


def keep(page: Page, name: str = "") -> None:
    """Tap Keep, or the way of keeping whose words are given, and wait for the page it leads to."""
    wake(page)
    ways = page.locator("[data-keep]")
    follow(page, ways.filter(has_text=name) if name else ways.last)


def wake(page: Page) -> None:
    """Wait until Keep hears again."""
    page.evaluate(WAKE, DEAF_MS)


def follow(page: Page, target: Locator) -> None:
    """Tap what leads to another page, and wait for it."""
    with another_page(page):
        target.tap()


@contextmanager
def another_page(page: Page) -> Iterator[None]:
    """Wait for the page that comes next, whether it is loaded or turned to."""
    page.evaluate(MARK)
    yield
    page.locator(HAS_COME).wait_for(state="attached")
    page.wait_for_load_state()


def verdict(page: Page) -> str:
    """The word in the verdict box."""
    return page.locator("#verdict .word").inner_text()


def would_be(page: Page, word: str) -> str:
    """Wait until the box says a word, and give everything it says; the box has to be marked as not kept."""
    box = page.locator("#verdict.typed").filter(has=page.locator(".word", has_text=word))
    box.wait_for()
    return box.inner_text()


def confirm_next(page: Page, value: str = "") -> None:
    """Confirm the first step that is open, with its value where it asks for one."""
    form = page.locator(".step form").first
    if form.locator("input[type=text]").count():
        form.locator("input[type=text]").fill(value)
    follow(page, form.get_by_role("button"))


def sign(page: Page, password: str = PASSWORD) -> None:
    """Type the password again and sign."""
    page.get_by_label("Your password").fill(password)
    follow(page, page.locator("#next"))
