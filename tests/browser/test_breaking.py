"""Trying to break it: two tabs, Back, a double tap, a cut network, silly figures, a wrong role, a hand-over."""

from collections.abc import Callable

import pytest

from tests.browser.chromium import Tablet
from tests.browser.hand import follow, keep, tap_keys, wake
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
GAP = "/gauge/2.ring-1/closed-gap?how=size"
OFFLINE = "net::ERR_INTERNET_DISCONNECTED"


def test_two_tabs_at_one_place_keep_both_entries_and_the_later_one_counts(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "large", "day")
    first, second = one.open(workshop.url(GAP)), one.another_page()
    second.goto(workshop.url(GAP))

    tap_keys(first, "0.70")
    tap_keys(second, "0.60")
    keep(first)
    keep(second)

    earlier, later = workshop.readings
    assert (earlier.written, later.written) == ("0.70 mm", "0.60 mm")
    assert later.supersedes == earlier.id


def test_going_back_after_keep_and_keeping_the_same_form_again_stores_one_reading(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.safe()
    one = bench("fitter", "small", "day")
    page = one.open(workshop.url(GAP))
    tap_keys(page, "0.60")
    sent = page.locator(".gauge-form [name=id]").input_value()
    keep(page)

    page.go_back()
    page.evaluate("id => { document.querySelector('.gauge-form [name=id]').value = id }", sent)
    page.locator("#f-value").fill("0.60")
    keep(page)

    assert [reading.id for reading in workshop.readings] == [sent]


def test_double_tap_on_keep_stores_one_reading_and_does_not_reach_the_next_place(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.safe()
    one = bench("fitter", "upright", "day")
    page = one.open(workshop.url("/gauge"))
    wake(page)
    x, y = page.locator("[data-keep].next").evaluate("k => [k.getBoundingClientRect().x + 40, k.getBoundingClientRect().y + 20]")

    with page.expect_event("load"):
        page.touchscreen.tap(x, y)
        page.touchscreen.tap(x, y)
    page.touchscreen.tap(x, y)
    page.wait_for_load_state("networkidle")

    assert [reading.place.characteristic for reading in workshop.readings] == ["seen"]


def test_network_cut_during_keep_loses_nothing_and_stores_nothing_twice(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "small", "engine")
    page = one.open(workshop.url(GAP))
    tap_keys(page, "0.60")
    wake(page)

    one.context.set_offline(True)
    page.locator("#keep").tap()
    page.wait_for_url("chrome-error://**")
    stored_while_cut = len(workshop.readings)
    one.context.set_offline(False)
    page.go_back()
    typed = page.locator("#f-value").input_value()
    keep(page)

    one.complaints[:] = [each for each in one.complaints if OFFLINE not in each]
    assert stored_while_cut == 0
    assert typed == "0.60"
    assert [reading.written for reading in workshop.readings] == ["0.60 mm"]


@pytest.mark.parametrize("figure", ["abc", "1e9999", "--3", "999999999999", "0x10", "٣.٤", "60", "-0.6"])
def test_silly_figure_is_refused_beside_its_field_and_stays_there(
    bench: Bench, workshop: Workshop, figure: str
) -> None:
    workshop.safe()
    one = bench("fitter", "large", "day")
    page = one.open(workshop.url(GAP))

    page.locator("#f-value").fill(figure)
    keep(page)

    assert page.locator("#f-value-error").is_visible()
    assert page.locator("#f-value").input_value() == figure
    assert workshop.readings == ()


def test_page_of_another_role_is_refused_in_words(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "small", "day")

    page = one.open("/machines/new")

    assert page.locator("h1").inner_text() == "Not for this role"
    assert one.axe() == []


def test_after_hand_over_back_shows_nothing_and_keeps_nothing(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "large", "engine")
    page = one.open(workshop.url(GAP))
    tap_keys(page, "0.60")

    follow(page, page.get_by_role("button", name="Hand over"))
    page.go_back()

    assert "/sign-in" in page.url
    assert page.locator("#f-value").count() == 0
    assert workshop.readings == ()
