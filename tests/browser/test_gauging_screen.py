"""The gauging page on three tablets: nothing scrolls, and keypad, Keep, verdict and foot are in view."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

from app.domain.readings import Occasion
from tests.browser.chromium import NAMED_AS_SEEN, Tablet
from tests.browser.hand import tap_keys
from tests.builders import a_reading, enter, good_readings
from tests.web.workshop import OPENED_AT, Workshop

pytestmark = pytest.mark.browser
Take = Callable[..., Tablet]
HERE = Path(__file__).parent
MEASURE, TARGETS = (HERE.joinpath(f"{name}.js").read_text(encoding="utf-8") for name in ("measure", "targets"))
SMALLEST_PX = 44
TYPED = """() => ["value", "goes", "does_not_go", "set_size", "temperature"]
  .map((name) => document.querySelector(".gauge-form").elements[name]?.value ?? "").join("|")"""
GUARDED_MS = 700
ASKED_OF_AXE = "small"  # the guidelines are asked once a page, on the tablet that crowds it most
# Every kind of gauging page, and the figure that is typed into it.
PLACES = {
    "/gauge/2.suction-valve/seen": "",
    "/gauge/2.suction-valve/lift": "1.95",
    "/gauge/2.ring-1/closed-gap?how=size": "0.66",
    "/gauge/2.ring-2/closed-gap?how=pair": "0.60>0.70",
    "/gauge/2.ring-3/seen": "",
    "/gauge/2.cylinder/bore?level=1&axis=0": "78.12",
    "/gauge/2.cylinder/bore?level=2&axis=1&how=dial": "0.12-",
    "/gauge/2.pin/diameter?how=cannot": "",
    "/gauge/2.bush/diameter": "22.05",
    "/gauge/2.bush/diameter?how=dial": "",
    "/gauge/2.head/bumping-clearance": "0.35",
}
OF_THE_DEMONSTRATION = (
    "/gauge/1.ring-1/closed-gap?level=1",
    "/gauge/1.ring-2/closed-gap?level=0&how=pair",
    "/gauge/1.cylinder/bore?level=0&axis=1&how=dial",
    "/gauge/2.bush/diameter",
    "/gauge/3.suction-valve/seen",
    "/gauge/3.cylinder/bore?level=0&axis=0",
    "/gauge/1.ring-1/side-clearance",
    "/gauge/2.ring-3/seen",
    "/gauge/2.ring-3/side-clearance",
    "/gauge/2.suction-valve/spring-length",
)


def faults(page: Page) -> list[str]:
    """Everything that is out of view, too small or too close on a page that must not scroll."""
    return [*page.evaluate(MEASURE), *page.evaluate(TARGETS, SMALLEST_PX)]


def type_in(page: Page, figure: str) -> None:
    """Type a figure, or two with the next field between them, and wait for the book's verdict on all of it."""
    if not figure:
        return
    tap_keys(page, figure)
    page.locator(f'#judged[data-judged="{page.evaluate(TYPED)}"] #verdict.typed').wait_for()


def worn(workshop: Workshop) -> None:
    """Enter a set with one ring over its limit, a bore half gauged, a valve in doubt: pages with much to say."""
    ring = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")
    doubtful = a_reading("2.suction-valve", "seen", "doubtful", OPENED_AT)
    half = good_readings(workshop.parts("2.cylinder"), Occasion.AS_FOUND, OPENED_AT)[:4]
    enter(workshop.book, workshop.id, ring, doubtful, *half)


@pytest.mark.parametrize(("size", "light"), [("large", "day"), ("small", "engine"), ("upright", "engine")])
def test_every_gauging_page_is_in_view_as_it_opens_and_as_it_is_typed_into(
    bench: Take, workshop: Workshop, size: str, light: str
) -> None:
    one = bench("fitter", size, light)
    worn(workshop.safe())

    found = {}
    for place, figure in PLACES.items():
        page = one.open(workshop.url(place))
        opened = faults(page)
        type_in(page, figure)
        found[place] = opened + faults(page) + (one.axe(NAMED_AS_SEEN) if size == ASKED_OF_AXE else [])

    assert {place: wrong for place, wrong in found.items() if wrong} == {}


@pytest.mark.parametrize(("size", "light"), [("large", "engine"), ("small", "day"), ("upright", "day")])
def test_gauging_pages_with_a_past_and_three_stages_are_in_view(tablet: Take, size: str, light: str) -> None:
    one = tablet(size, light)
    page = one.sign_in("fitter")
    page.goto("/machines/GA-1")
    base = page.locator("#next").get_attribute("href")

    found = {place: faults(one.open(f"{base}{place}")) for place in OF_THE_DEMONSTRATION}

    assert {place: wrong for place, wrong in found.items() if wrong} == {}


@pytest.mark.parametrize(
    ("size", "light", "place", "figure"),
    [
        ("large", "engine", "2.ring-1/closed-gap?how=size", "0.66"),
        ("small", "day", "2.ring-1/closed-gap?how=size", "0.66"),
        ("upright", "day", "2.ring-1/closed-gap?how=size", "0.66"),
        ("small", "day", "2.suction-valve/seen", ""),
    ],
)
def test_page_that_asks_why_another_persons_entry_is_put_right_is_in_view(
    bench: Take, workshop: Workshop, size: str, light: str, place: str, figure: str
) -> None:
    one = bench("chief engineer", size, light)
    worn(workshop.safe())

    page = one.open(workshop.url(f"/gauge/{place}"))
    type_in(page, figure)
    page.wait_for_timeout(GUARDED_MS)  # a page that has just opened takes no tap
    page.locator("[data-keep]").first.tap()
    page.locator("#why").wait_for()

    assert faults(page) + (one.axe() if size == ASKED_OF_AXE else []) == []
