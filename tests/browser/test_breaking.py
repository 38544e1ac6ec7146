"""Trying to break it: two tabs, Back, a double tap, a cut network, silly figures, a wrong role, a hand-over."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Route

from tests.browser.chromium import Tablet
from tests.browser.hand import follow, keep, tap_keys, wake
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
GAP = "/gauge/2.ring-1/closed-gap?how=size"


def test_two_tabs_at_one_place_keep_both_entries_and_the_later_one_counts(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "large", "day")
    first, second = one.open(workshop.url(GAP)), one.another_page()
    second.goto(workshop.url(GAP))

    tap_keys(second, "0.60")
    first.bring_to_front()
    tap_keys(first, "0.70")
    keep(first)
    second.bring_to_front()
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
    box = page.locator("[data-keep].next").bounding_box() or {}
    x, y = box["x"] + 40, box["y"] + 20

    with page.expect_event("load"):
        page.touchscreen.tap(x, y)
        page.touchscreen.tap(x, y)
    page.touchscreen.tap(x, y)
    page.wait_for_load_state("networkidle")

    assert [reading.place.characteristic for reading in workshop.readings] == ["seen"]


def cut_off(one: Tablet) -> None:
    """Tap Keep where no answer can come, and go back once the browser has said so."""
    wake(one.page)
    with one.page.expect_event("framenavigated", lambda frame: frame.url.startswith("chrome-error")):
        one.page.locator("#keep").tap()
    one.complaints[:] = [each for each in one.complaints if "net::ERR_" not in each and "Failed to fetch" not in each]


def test_network_cut_before_keep_arrives_loses_nothing_that_was_typed(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "small", "engine")
    page = one.open(workshop.url(GAP))
    tap_keys(page, "0.60")

    one.context.set_offline(True)
    cut_off(one)
    stored_while_cut = len(workshop.readings)
    one.context.set_offline(False)
    page.go_back()
    typed = page.locator("#f-value").input_value()
    keep(page)

    assert stored_while_cut == 0
    assert typed == "0.60"
    assert [reading.written for reading in workshop.readings] == ["0.60 mm"]


def test_keep_whose_answer_is_lost_is_stored_once_when_it_is_sent_again(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "large", "day")
    page = one.open(workshop.url(GAP))
    tap_keys(page, "0.60")

    def lose_the_answer(route: Route) -> None:
        """Let the form arrive and cut what comes back."""
        route.fetch(max_redirects=0)
        route.abort("connectionreset")

    page.route("**/readings", lose_the_answer, times=1)
    cut_off(one)
    stored_while_cut = len(workshop.readings)
    page.go_back()
    keep(page)

    assert stored_while_cut == 1
    assert len(workshop.readings) == 1


def test_silly_figures_are_refused_beside_their_field_and_stay_there(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "large", "day")

    seen = {}
    for figure in ("abc", "1e9999", "--3", "99999999999", "0x10", "٣.٤", "-0.6", "0..6"):
        page = one.open(workshop.url(GAP))
        page.locator("#f-value").fill(figure)
        keep(page)
        seen[figure] = page.locator("#f-value").input_value() if page.locator("#f-value-error").is_visible() else ""

    assert {figure: stays for figure, stays in seen.items() if stays != figure} == {}
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
