"""Taking the last entry back by touch: with the network, and without it, behind the entry that still waits."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from app.domain.readings import Kind
from tests.browser.chromium import Tablet
from tests.browser.hand import follow, keep, tap_keys
from tests.browser.test_cut_network import GAP, fetched_ahead, forgive, sent
from tests.browser.test_gauging_screen import faults
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]


@pytest.mark.parametrize(("size", "light"), [("small", "day"), ("upright", "engine")])
def test_entry_just_kept_is_taken_back_by_one_tap(bench: Bench, workshop: Workshop, size: str, light: str) -> None:
    workshop.safe()
    one = bench("fitter", size, light)
    page = one.open(workshop.url(GAP))
    tap_keys(page, "0.70")
    keep(page)

    after_keep = faults(page)
    follow(page, page.locator(".take-back button"))

    assert after_keep == []
    assert faults(page) == []
    assert "taken back 0.70" in page.locator(".just-kept").inner_text()
    assert page.locator(".gauge-form").get_attribute("data-here") == workshop.url("/gauge/2.ring-1/closed-gap")
    assert [reading.kind for reading in workshop.readings] == [Kind.SIZE, Kind.TAKEN_BACK]
    assert one.axe() == []


def test_entry_that_waits_is_taken_back_without_network_and_the_book_hears_of_both(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.safe()
    one = bench("fitter", "upright", "day")
    page = one.open(workshop.url(GAP))
    fetched_ahead(page)
    one.context.set_offline(True)
    tap_keys(page, "0.70")
    keep(page)

    follow(page, page.locator("[data-take-back]"))
    expect(page.locator("[data-on-tablet]")).to_contain_text("2 readings")
    here, unsent = page.locator(".gauge-form").get_attribute("data-here"), page.locator(".place.unsent").count()
    offered = page.locator("[data-take-back]").is_visible()
    tap_keys(page, "0.30")
    keep(page)
    at_cut = one.axe()
    one.context.set_offline(False)
    sent(page)

    assert here == workshop.url("/gauge/2.ring-1/closed-gap")
    assert (unsent, offered) == (0, False)
    assert at_cut == []
    assert [reading.written for reading in workshop.readings] == ["0.70 mm", "taken back", "0.30 mm"]
    assert len(workshop.overhaul.first_looks(workshop.readings[0].occasion)) == 1
    forgive(one)


def test_entry_in_the_book_is_taken_back_when_the_network_goes(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "large", "day")
    page = one.open(workshop.url(GAP))
    fetched_ahead(page)
    tap_keys(page, "0.70")
    keep(page)
    one.context.set_offline(True)

    follow(page, page.locator(".take-back button"))
    expect(page.locator("[data-on-tablet]")).to_contain_text("1 reading kept on this tablet, not yet sent")
    one.context.set_offline(False)
    sent(page)

    assert [reading.written for reading in workshop.readings] == ["0.70 mm", "taken back"]
    forgive(one)
