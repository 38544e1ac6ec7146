"""The gauging page with large text, for gloves for the left hand: keypad, verdict and Keep stay in view."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

from app.actions.people import person_named, prefer
from tests.browser.chromium import SIZES, Tablet, name_of
from tests.browser.test_gauging_screen import worn
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Take = Callable[..., Tablet]
MEASURE = Path(__file__).with_name("modes.js").read_text(encoding="utf-8")
USUAL = {"text": "usual", "keys": "usual", "hand": "right"}
LARGE, GLOVE, LEFT = {"text": "large"}, {"keys": "glove"}, {"hand": "left"}
MODES = (LARGE, GLOVE, LARGE | GLOVE, LARGE | GLOVE | LEFT)
# The places that crowd the page most: two figures and a verdict of many words, leaves, a grid with a dial, findings.
PLACES = (
    "/gauge/2.suction-valve/seen",
    "/gauge/2.suction-valve/lift",
    "/gauge/2.ring-2/closed-gap?how=pair",
    "/gauge/2.cylinder/bore?level=2&axis=1&how=dial",
)
SCREENS = {**SIZES, "whole": (1280, 800)}


def choose(workshop: Workshop, chosen: dict[str, str]) -> None:
    """Set what the fitter chose, in place of all chosen before."""
    prefer(workshop.book, person_named(workshop.book, name_of("fitter")), USUAL | chosen)


def faults(page: Page, chosen: dict[str, str]) -> list[str]:
    """Everything the work cannot go on without that is cut off, out of view or too small."""
    found: list[str] = page.evaluate(MEASURE, 104 if "keys" in chosen else 76)
    return found


@pytest.mark.parametrize("screen", SCREENS)
def test_keypad_verdict_and_keep_stay_in_view_in_every_mode(bench: Take, workshop: Workshop, screen: str) -> None:
    one = bench("fitter")
    width, height = SCREENS[screen]
    one.page.set_viewport_size({"width": width, "height": height})
    worn(workshop.safe())

    found = {}
    for chosen in MODES:
        choose(workshop, chosen)
        for place in PLACES:
            found[place, *chosen] = faults(one.open(workshop.url(place)), chosen)

    assert {mode: wrong for mode, wrong in found.items() if wrong} == {}


@pytest.mark.parametrize("light", ["day", "engine"])
def test_nothing_scrolls_sideways_on_the_narrowest_screen_and_axe_finds_nothing(
    bench: Take, workshop: Workshop, light: str
) -> None:
    one = bench("fitter", light=light)
    one.page.set_viewport_size({"width": 320, "height": 800})
    worn(workshop.safe())

    found: dict[str, tuple[int, list[str]]] = {}
    for chosen in ({}, LARGE | GLOVE | LEFT):
        choose(workshop, chosen)
        for place in PLACES:
            one.open(workshop.url(place))
            found[f"{place} {chosen}"] = one.overflow(), one.axe()

    assert {mode: wrong for mode, wrong in found.items() if wrong != (0, [])} == {}


def test_keypad_stands_on_the_side_of_the_hand_that_taps(bench: Take, workshop: Workshop) -> None:
    one = bench("fitter")
    workshop.safe()
    sides = {}

    for hand in ("left", "right"):
        choose(workshop, {"hand": hand})
        page = one.open(workshop.url(PLACES[1]))
        keys, drawn = (page.locator(f".{part}").bounding_box() for part in ("keys", "drawn"))
        assert keys
        assert drawn
        sides[hand] = keys["x"] < drawn["x"]

    assert sides == {"left": True, "right": False}


def test_settings_page_needs_no_script_and_is_as_accessible_as_the_others(bench: Take, workshop: Workshop) -> None:
    one = bench("fitter", has_script=False)
    page = one.open("/settings")

    page.get_by_label("For gloves").check()
    page.get_by_label("Large", exact=True).check()
    with page.expect_navigation():
        page.locator("#next").tap()

    assert page.locator("html").get_attribute("data-keys") == "glove"
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == "20px"


def test_lamp_is_remembered_for_the_person(bench: Take, workshop: Workshop) -> None:
    here, elsewhere = bench("fitter"), bench("")
    page = here.open("/settings")

    with page.expect_response("**/settings"):
        page.get_by_role("button", name="Dark").tap()
    elsewhere.sign_in("fitter", "leaf-lamp-and-oil")

    assert elsewhere.page.locator("html").get_attribute("data-room") == "engine"
