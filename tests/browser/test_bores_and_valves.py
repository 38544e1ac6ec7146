"""Bores by whole sizes and by the dial, and valves by eye and by lift, on a real page."""

from collections.abc import Callable

import pytest

from app.domain.readings import SEEN, Kind, Occasion
from tests.browser.chromium import Tablet
from tests.browser.hand import keep, tap_keys, verdict, would_be
from tests.builders import a_reading, enter, good_readings
from tests.web.workshop import OPENED_AT, Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
BORE = "/gauge/2.cylinder/bore?level={}&axis={}&how={}"


def good_cylinder(workshop: Workshop, but: tuple[tuple[str, str], ...]) -> None:
    """Enter the cylinder as sound and unworn, but for some places."""
    readings = good_readings(workshop.parts("2.cylinder"), Occasion.AS_FOUND, OPENED_AT)
    enter(workshop.book, workshop.id, *(r for r in readings if (r.place.level, r.place.axis) not in but))


def test_dial_reads_from_the_size_it_is_set_to_with_either_sign(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "small", "day")
    workshop.safe()
    enter(workshop.book, workshop.id, a_reading("2.cylinder", SEEN, "sound", OPENED_AT))
    page = one.open(workshop.url(BORE.format(0, 0, "dial")))

    tap_keys(page, "0.02")
    keep(page)
    goes_on_by_dial = page.locator("[data-read] label").inner_text()
    tap_keys(page, "0.01-")
    keep(page)

    assert "Dial, from 78.00" in goes_on_by_dial
    assert [(r.kind, str(r.size_mm)) for r in workshop.readings[1:]] == [(Kind.DIAL, "78.02"), (Kind.DIAL, "77.99")]
    assert page.locator(".cell-link").all_inner_texts()[:2] == ["78.02", "77.99"]
    assert one.axe() == []


def test_last_diameter_of_a_worn_bore_turns_it_to_rework_before_it_is_kept(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "upright", "day")
    workshop.safe()
    good_cylinder(workshop, (("top of ring travel", "across the pin"),))
    page = one.open(workshop.url(BORE.format(0, 1, "size")))

    tap_keys(page, "78.12")
    before = would_be(page, "REWORK")
    measures = page.locator(".results").inner_text()
    keep(page)
    page.goto(workshop.url(BORE.format(0, 1, "size")))

    assert "Hone to 78.25" in before
    assert "0.12" in measures
    assert verdict(page) == "REWORK"
    assert page.locator(".tag.sel .wd").inner_text() == "REWORK"


def test_figure_typed_into_a_kept_diameter_says_that_it_is_not_kept_yet(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "engine")
    workshop.safe()
    good_cylinder(workshop, ())
    page = one.open(workshop.url(BORE.format(1, 0, "size")))

    tap_keys(page, "78.01")
    added = page.evaluate("getComputedStyle(document.querySelector('.read.typed label'), '::after').content")

    assert "not kept yet" in added
    assert "Kept: 78.00" in page.locator(".read.typed label").inner_text()
    assert one.axe() == []


def test_cracked_plate_renews_plate_and_springs_and_no_good_lift_takes_that_back(
    bench: Bench, workshop: Workshop
) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url("/gauge/2.delivery-valve/seen"))

    page.get_by_text("Plate cracked or broken").tap()
    keep(page, "Keep what is ticked")
    tap_keys(page, "1.50")
    keep(page)
    tap_keys(page, "14.0")
    keep(page)
    page.goto(workshop.url("/gauge/2.delivery-valve/lift"))

    assert verdict(page) == "RENEW"
    assert "plate and springs" in page.locator("#verdict").inner_text()
    assert [r.place.characteristic for r in workshop.readings] == [SEEN, "lift", "spring-length"]


def test_valve_lift_over_its_limit_renews_the_whole_valve(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "small", "engine")
    workshop.safe()
    enter(workshop.book, workshop.id, a_reading("2.suction-valve", SEEN, "sound", OPENED_AT))
    page = one.open(workshop.url("/gauge/2.suction-valve/lift"))

    tap_keys(page, "1.90")
    on_the_limit = page.locator("#verdict.typed").inner_text(timeout=15_000)
    page.locator('[data-key="clear"]').tap()
    tap_keys(page, "1.91")
    past_it = would_be(page, "RENEW")

    assert "RENEW" not in on_the_limit
    assert "whole valve" in past_it
    assert workshop.readings[-1].place.characteristic == SEEN
