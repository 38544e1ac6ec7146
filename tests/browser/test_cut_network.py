"""The network is cut: entries stay on the tablet, are shown as not sent, and stored once when it is back."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.chromium import Tablet
from tests.browser.hand import follow, keep, tap_keys
from tests.builders import PASSWORD
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
GAP = "/gauge/2.ring-1/closed-gap?how=size"
# Asks the tablet's memory again and again until what is waited for stands there.
POLL = """([what, count]) => new Promise((done) => {
  const found = {
    pages: async () => (await tablet.store.list_pages()).length >= count,
    sent: async () => (await tablet.store.list_entries()).every((entry) => entry.state !== "waiting"),
  };
  const ask = async () => (await found[what]()) ? done() : setTimeout(ask, 50);
  ask();
})"""
# Whether the foot lies over the button that keeps.
COVERED = """() => {
  const bottom = document.querySelector("[data-keep]").getBoundingClientRect().bottom;
  return bottom > document.querySelector("footer").getBoundingClientRect().top;
}"""
IS_CUT = ("net::ERR_", "Failed to fetch")


def fetched_ahead(page: Page, count: int = 3) -> None:
    """Wait until so many pages are on the tablet."""
    page.evaluate(POLL, ["pages", count])


def foot(page: Page) -> str:
    """What the foot says of entries on this tablet."""
    page.locator("[data-on-tablet] a:not(:empty)").wait_for()
    return page.locator("[data-on-tablet]").inner_text()


def sent(page: Page) -> None:
    """Wait until nothing waits on the tablet any more."""
    page.evaluate(POLL, ["sent", 0])


def forgive(one: Tablet) -> None:
    """A cut network is what is tested: the browser may complain of it."""
    one.complaints[:] = [each for each in one.complaints if not any(words in each for words in IS_CUT)]


def test_fitter_goes_on_without_network_and_everything_is_stored_in_order(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "upright", "day")
    page = one.open(workshop.url(GAP))
    fetched_ahead(page)

    one.context.set_offline(True)
    tap_keys(page, "0.60")
    keep(page)
    expect(page.locator("[data-on-tablet]")).to_contain_text("1 reading")
    after_first, foot_after_first = page.url, foot(page)
    chip, title = page.locator(".place.unsent").inner_text(), page.locator(".place.unsent").get_attribute("title")
    keep(page)
    expect(page.locator("[data-on-tablet]")).to_contain_text("2 readings")
    stored_while_cut = len(workshop.readings)
    at_cut, covered = one.axe(), page.evaluate(COVERED)
    one.context.set_offline(False)
    sent(page)

    assert "/gauge/2.ring-1/" in after_first
    assert "0.60 mm" in chip
    assert "not yet sent" in (title or "")
    assert "1 reading kept on this tablet, not yet sent. Carry on, nothing is lost." in foot_after_first
    assert stored_while_cut == 0
    assert at_cut == []
    assert not covered
    assert workshop.readings[0].written == "0.60 mm"
    assert len(workshop.readings) == 2
    forgive(one)


def test_keep_whose_answer_is_lost_is_stored_once(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "small", "engine")
    page = one.open(workshop.url(GAP))
    fetched_ahead(page)
    tap_keys(page, "0.60")

    def lose_the_answer(route: Route) -> None:
        """Let the entry arrive and cut what comes back."""
        route.fetch(max_redirects=0)
        route.abort("connectionreset")

    page.route("**/tablet/overhauls/*/readings", lose_the_answer, times=2)
    keep(page)
    sent(page)

    assert [reading.written for reading in workshop.readings] == ["0.60 mm"]
    forgive(one)


def test_entry_survives_the_browser_and_waits_for_whoever_made_it(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("", "large", "engine")
    page = one.sign_in("fitter", PASSWORD)
    page.goto(workshop.url(GAP))
    fetched_ahead(page)
    one.context.set_offline(True)
    tap_keys(page, "0.60")
    keep(page)
    page.close()
    one.page = page = one.another_page()
    page.route("**/tablet/overhauls/*/readings", lambda route: route.abort("connectionreset"))
    one.context.set_offline(False)

    page.goto("/")
    follow(page, page.get_by_role("button", name="Hand over"))
    foot_at_sign_in = foot(page)
    pages_after = page.evaluate("async () => (await tablet.store.list_pages()).length")
    page.unroute("**/tablet/overhauls/*/readings")
    one.sign_in("chief engineer", PASSWORD)
    expect(page.locator("[data-on-tablet]")).to_contain_text("waits until M. Tarrow signs in")
    stored_by_another = len(workshop.readings)
    follow(page, page.get_by_role("button", name="Hand over"))
    one.sign_in("fitter", PASSWORD)
    sent(page)

    assert "1 reading kept on this tablet, not yet sent. Sign in to send." in foot_at_sign_in
    assert pages_after == 0
    assert stored_by_another == 0
    assert [(r.written, r.measured_by, r.entered_by) for r in workshop.readings] == [
        ("0.60 mm", "M. Tarrow", "M. Tarrow")
    ]
    forgive(one)


def test_entry_that_the_book_refuses_stays_on_the_tablet_with_its_reason(
    bench: Bench, workshop: Workshop, tmp_path: Path
) -> None:
    workshop.safe()
    one = bench("fitter", "upright", "day")
    page = one.open(workshop.url(GAP))
    fetched_ahead(page)
    one.context.set_offline(True)
    tap_keys(page, "0.60")
    keep(page)
    workshop.decided()
    stored = len(workshop.readings)

    one.context.set_offline(False)
    sent(page)
    page.goto("/on-this-tablet")
    row = page.locator("#tablet-entries tbody tr")
    expect(row).to_contain_text("Not taken by the book")
    words, at_list = row.inner_text(), one.axe()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save all as a file").tap()
    download.value.save_as(tmp_path / "entries.json")
    page.get_by_role("button", name="Set aside").tap()
    expect(row).to_contain_text("Set aside")

    assert "0.60 mm" in words
    assert "signed" in words.lower()
    assert at_list == []
    assert json.loads((tmp_path / "entries.json").read_text())[0]["figure"] == "0.60 mm"
    assert len(workshop.readings) == stored
    assert page.evaluate("async () => (await tablet.store.list_entries()).map((entry) => entry.state)") == ["aside"]
    forgive(one)
