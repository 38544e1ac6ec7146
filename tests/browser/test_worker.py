"""With the service worker the pages of an open overhaul open while the server is gone."""

from contextlib import ExitStack
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, Page, expect

from app.actions.people import sign_in
from tests.browser.chromium import Tablet, serving
from tests.browser.hand import follow, keep, tap_keys
from tests.browser.test_cut_network import fetched_ahead, foot, forgive
from tests.builders import PASSWORD
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
GAP = "/gauge/2.ring-1/closed-gap"
READY = """async () => {
  const registered = await navigator.serviceWorker.ready;
  return (await (await caches.open("wearbook-1")).keys()).length > 5 && Boolean(registered.active);
}"""


def ready(one: Tablet, workshop: Workshop) -> Page:
    """Sign in, open a place, and wait until worker and pages are on the tablet."""
    one.carry(sign_in(workshop.book, "M. Tarrow", PASSWORD, datetime.now(UTC)).token)
    page = one.open(workshop.url(GAP))
    assert page.evaluate(READY)
    fetched_ahead(page, 4)
    return page


def test_place_opens_and_keeps_while_the_server_is_gone(browser: Browser, workshop: Workshop) -> None:
    workshop.safe()
    with ExitStack() as stack:
        one = Tablet(browser, stack.enter_context(serving(workshop.app)), has_worker=True)
        ready(one, workshop).close()
        stack.close()

        one.page = page = one.another_page()
        page.goto(workshop.url(GAP))
        heading = page.locator("h1").inner_text()
        tap_keys(page, "0.60")
        keep(page)
        expect(page.locator("[data-on-tablet]")).to_contain_text("1 reading kept on this tablet, not yet sent")
        page.goto("/machines/GA-1")
        listed = page.locator("h1").inner_text()
        expect(page.locator("#tablet-entries")).to_contain_text("0.60 mm")
        expect(page.locator("#tablet-pages")).to_contain_text("Ring 1, closed gap")
        follow(page, page.locator("#tablet-pages a", has_text="Ring 1, side clearance"))
        again = page.locator("h1").inner_text()

    assert (heading, listed, again) == ("Ring 1, closed gap", "On this tablet", "Ring 1, side clearance")
    assert "1 reading" in foot(page)
    forgive(one)
    one.close()


def test_after_hand_over_no_page_opens_without_the_server_and_the_queue_is_still_there(
    browser: Browser, workshop: Workshop
) -> None:
    workshop.safe()
    with ExitStack() as stack:
        one = Tablet(browser, stack.enter_context(serving(workshop.app)), has_worker=True)
        page = ready(one, workshop)
        page.evaluate("""() => tablet.store.put_entry({ id: "made-here", person: "1", by: "M. Tarrow", state: "waiting",
            path: "/nowhere", here: "/nowhere", fields: [], where: "2-03 Ring 1", figure: "0.60 mm", work: "GA-1" })""")
        follow(page, page.get_by_role("button", name="Hand over"))
        page.locator("[data-on-tablet]", has_text="1 reading").wait_for()
        stack.close()

        page.goto(workshop.url(GAP))
        heading = page.locator("h1").inner_text()
        expect(page.locator("#tablet-entries")).to_contain_text("0.60 mm")
        pages = page.evaluate("async () => (await tablet.store.list_pages()).length")

    assert heading == "On this tablet"
    assert pages == 0
    forgive(one)
    one.close()
