"""Trying to break it: two tabs, Back, a double tap, silly figures, a wrong role, a hand-over."""

from collections.abc import Callable

import pytest

from tests.browser.chromium import Tablet
from tests.browser.hand import another_page, follow, keep, tap_keys, wake
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

    with another_page(page):
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

    with another_page(page):
        page.touchscreen.tap(x, y)
        page.touchscreen.tap(x, y)
    page.touchscreen.tap(x, y)
    wake(page)

    assert [reading.place.characteristic for reading in workshop.readings] == ["seen"]


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
