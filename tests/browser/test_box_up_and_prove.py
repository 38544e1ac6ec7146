"""Closing the machine on a tablet: what went in, gauged as fitted, every step, both signatures, the record on paper."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from app.domain.overhaul import Meaning, Phase
from app.domain.phases import phase_of
from app.domain.readings import Occasion
from tests.browser.chromium import Tablet
from tests.browser.hand import confirm_next, follow, keep, sign, tap_keys, verdict
from tests.builders import a_reading, enter, good_readings
from tests.web.workshop import OPENED_AT, Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
WORN_RING = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")
A4_PT = (595, 842)


def confirm_all_steps(page: Page) -> None:
    """Confirm step after step, each with a value where it asks for one."""
    while page.locator(".step form").count():
        confirm_next(page, "75 N.m, W-02")


def sheets_of(pdf: bytes) -> list[tuple[int, int]]:
    """The size of every page of a document, in whole points."""
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == len(re.findall(rb"/MediaBox", pdf))
    boxes = re.findall(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]", pdf)
    return [(round(float(width)), round(float(height))) for width, height in boxes]


def test_new_set_is_entered_and_gauged_as_fitted_until_no_hold_point_is_open(bench: Bench, workshop: Workshop) -> None:
    workshop.decided(WORN_RING)
    one = bench("fitter", "large", "engine")
    page = one.open(workshop.url())
    holds_at_first = page.locator(".holds li").count()
    boxing_up = one.axe()

    follow(page, page.get_by_role("link", name="Enter the new set"))
    page.get_by_label("Batch or serial number").fill("B-118")
    fitting = one.axe()
    follow(page, page.locator("#next"))
    rings = good_readings(workshop.parts("2.ring-1", "2.ring-2", "2.ring-3"), Occasion.AS_FITTED, OPENED_AT)
    enter(workshop.book, workshop.id, *(r for r in rings if r.place.part != "2.ring-3"))
    follow(page, page.locator("#next"))
    gauging = page.url
    keep(page, "Sound.")
    tap_keys(page, "0.20")
    page.locator('[data-key="next"]').tap()
    tap_keys(page, "0.25")
    keep(page)
    tap_keys(page, "0.05>0.06")
    as_fitted = one.axe()
    keep(page)

    assert holds_at_first == 3
    assert gauging.endswith("/fit/2.ring-3/seen")
    assert "/box-up" in page.url
    assert "None open" in page.locator(".rail").inner_text()
    assert "batch B-118" in page.locator("main").inner_text()
    assert [boxing_up, fitting, as_fitted] == [[], [], []]


def test_as_fitted_gap_outside_the_new_range_keeps_the_hold_point(bench: Bench, workshop: Workshop) -> None:
    workshop.with_new_rings()
    one = bench("fitter", "small", "day")
    page = one.open(workshop.url("/fit/2.ring-3/closed-gap?how=size"))

    tap_keys(page, "0.45")
    keep(page)
    page.goto(workshop.url("/fit/2.ring-3/closed-gap"))
    as_fitted = verdict(page)
    page.goto(workshop.url("/box-up"))

    assert as_fitted != "REUSE"
    assert "2-05" in page.locator(".holds").inner_text()


def test_every_step_of_boxing_up_and_proving_is_confirmed_in_its_order(bench: Bench, workshop: Workshop) -> None:
    workshop.decided()
    one = bench("fitter", "upright", "day")
    page = one.open(workshop.url("/box-up"))

    open_at_first = page.locator(".step form").count()
    confirm_all_steps(page)
    boxed_up = phase_of(workshop.overhaul)
    follow(page, page.locator("#next"))
    proving = one.axe()
    confirm_all_steps(page)

    assert open_at_first == 1
    assert boxed_up is Phase.PROVE
    assert proving == []
    assert page.locator(".step.done").count() == page.locator(".step").count()
    assert one.overflow() == 0


def test_both_sign_and_the_machines_page_shows_the_overhaul_first(bench: Bench, workshop: Workshop) -> None:
    workshop.proved()
    fitter, chief = bench("fitter", "small", "engine"), bench("chief engineer", "large", "day")

    page = fitter.open(workshop.url("/prove"))
    sign(page)
    after_one = phase_of(workshop.overhaul)
    page = chief.open(workshop.url("/prove"))
    sign(page)
    signed = chief.axe()
    page.goto("/machines/GA-1")

    assert after_one is Phase.PROVE
    assert signed == []
    assert phase_of(workshop.overhaul) is Phase.RETURNED
    assert [s.person for s in workshop.overhaul.signatures][-2:] == ["M. Tarrow", "I. Brandreth"]
    assert "Overhaul 1" in page.locator("section:has(#records) tbody tr").first.inner_text()
    assert "In service" in page.locator("main").inner_text()


def test_record_prints_a_cover_the_stage_and_proving_on_a4_sheets(bench: Bench, workshop: Workshop) -> None:
    workshop.returned()
    one = bench("auditor", "large", "engine")
    page = one.open(workshop.url("/record"))
    shown = one.axe()

    printed = page.pdf(prefer_css_page_size=True, print_background=True)

    assert shown == []
    assert sheets_of(printed) == [A4_PT] * 3
    assert workshop.overhaul.signature(Meaning.RETURNED_CHIEF) is not None


def test_record_of_three_stages_prints_on_six_sheets_and_the_newest_opening_stands_first(
    tablet: Callable[..., Tablet],
) -> None:
    one = tablet("small", "day")
    page = one.sign_in("auditor")
    page.goto("/machines/GA-2")
    records = page.locator("section:has(#records) tbody tr")
    numbers = [int(re.findall(r"Overhaul (\d+)", row)[0]) for row in records.all_inner_texts()]
    page.goto(str(records.nth(1).get_by_role("link", name="Record").get_attribute("href")))

    printed = page.pdf(prefer_css_page_size=True, print_background=True)

    assert numbers == sorted(numbers, reverse=True)
    assert len(numbers) > 1
    assert sheets_of(printed) == [A4_PT] * 6  # the cover's steps take a second sheet, and proving one of its own
