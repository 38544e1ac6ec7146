"""Gauging with the keyboard alone, and as it is heard: focus is never lost, and one region says each verdict once."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.browser.chromium import Tablet
from tests.browser.hand import another_page, wake
from tests.builders import PASSWORD
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
MOST_STOPS = 60
# A ring of two pixels at least around what has the focus, or around the block that it is the field of; in view.
SEEN = """() => {
  const at = document.activeElement;
  const ringed = [at, at.closest('.read, .choice')].filter(Boolean).some((one) => {
    const style = getComputedStyle(one);
    return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
  });
  const { top, bottom } = at.getBoundingClientRect();
  return at !== document.body && ringed && top < innerHeight && bottom > 0;
}"""
LISTEN = """() => {
  globalThis.heard = [];
  const region = document.getElementById('aloud');
  new MutationObserver(() => region.textContent && heard.push(region.textContent))
    .observe(region, { childList: true, characterData: true, subtree: true });
}"""
LIVE = "[role=status], [role=alert], [role=log], [aria-live], output"


def tab_to(page: Page, selector: str, back: bool = False) -> None:
    """Press Tab until this has the focus; at every stop on the way the focus has to be seen."""
    for _ in range(MOST_STOPS):
        if page.evaluate("selector => document.activeElement.matches(selector)", selector):
            return
        page.keyboard.press("Shift+Tab" if back else "Tab")
        assert page.evaluate(SEEN), f"no ring: {page.evaluate('document.activeElement.outerHTML')[:120]}"
    pytest.fail(f"Tab does not lead to {selector}")


def press_on(page: Page, key: str) -> str:
    """Press a key that keeps, and say what has the focus on the page that comes."""
    wake(page)
    with another_page(page):
        page.keyboard.press(key)
    return str(page.evaluate("document.activeElement.id"))


def sign_in_by_keys(page: Page) -> None:
    """Sign the fitter in on the page that asks for it, which leads on to where it was asked."""
    tab_to(page, "[name=name]")
    page.keyboard.type("M. Tarrow")
    tab_to(page, "[name=password]")
    page.keyboard.type(PASSWORD)
    with page.expect_navigation(url=re.compile("/seen$")):
        page.keyboard.press("Enter")


def test_several_parts_are_gauged_from_sign_in_to_kept_with_nothing_but_keys(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    page = bench("").open(f"/sign-in?then={workshop.url('/gauge/2.suction-valve/seen')}")

    sign_in_by_keys(page)
    page.keyboard.press("Tab")
    skip = page.evaluate("document.activeElement.innerText")
    page.keyboard.press("Enter")
    tab_to(page, "[value=leaks]")
    page.keyboard.press("Space")
    tab_to(page, "[data-keep]:not([value])")
    landed = [press_on(page, "Space")]
    page.keyboard.type("1,50")
    landed.append(press_on(page, "Enter"))
    tab_to(page, "a.tag[href$='2.ring-1']", back=True)
    landed.append(press_on(page, "Enter"))
    tab_to(page, "[data-keep][value=sound]")
    landed.append(press_on(page, "Enter"))
    tab_to(page, "[href$='how=pair']", back=True)
    landed.append(press_on(page, "Enter"))
    page.keyboard.type("0.30")
    page.keyboard.press("Enter")
    page.keyboard.type("0.35")
    landed.append(press_on(page, "Enter"))
    tab_to(page, "a.tag[href$='2.cylinder']", back=True)
    landed.append(press_on(page, "Enter"))
    tab_to(page, "[data-keep][value=sound]")
    landed.append(press_on(page, "Enter"))
    for _ in range(2):
        page.keyboard.type("78.01")
        landed.append(press_on(page, "Enter"))

    assert skip == "Skip to the entry"
    assert landed == ["f-value", "f-value", "f-findings", "f-value", "f-goes", "f-goes", "f-findings", *["f-value"] * 3]
    assert [reading.written for reading in workshop.readings] == [
        "leaks", "1,50 mm", "sound", "goes 0.30 mm, does not go 0.35 mm", "sound",
        "78.01 mm", "78.01 mm",
    ]  # fmt: skip


def test_one_region_outlives_every_page_and_says_a_verdict_once_with_its_part(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    page = bench("fitter").open(workshop.url("/gauge/2.ring-2/closed-gap?how=size"))
    page.evaluate(LISTEN)

    page.locator("#f-value").focus()
    page.keyboard.type("0.7")
    page.locator("#aloud", has_text="Ring 2, closed gap: RENEW").wait_for(state="attached")
    with page.expect_response(lambda answer: "_fragments" in answer.url):
        page.keyboard.type("0")
    page.wait_for_timeout(1000)  # as long as the page waits before it speaks
    press_on(page, "Enter")
    page.locator("#aloud", has_text="kept 0.70").wait_for(state="attached")

    assert page.evaluate("heard") == [
        "Ring 2, closed gap: RENEW. 0.70 mm is over the limit 0.65 mm. Not kept yet.",
        "Ring 2, closed gap, worst place: kept 0.70. Ring 2: RENEW.",
    ]
    assert page.locator(LIVE).evaluate_all("all => all.map(one => one.id)") == ["aloud"]


def test_parts_levels_cells_leaves_and_keys_have_their_names(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter")
    workshop.all_gauged()

    page = one.open(workshop.url("/gauge/2.ring-1/closed-gap?how=pair"))
    ring = page.locator("main").aria_snapshot()
    page = one.open(workshop.url("/gauge/2.cylinder/bore?level=2&axis=1&how=dial"))
    bore = page.locator("main").aria_snapshot()

    for name in (
        'navigation "Parts of this stage. Touch a part to gauge it."', 'link "Item 2-03 Ring 1 REUSE',
        'group "Ring set: REUSE"', 'link "Closed gap: ', 'textbox "Goes', 'group "Leaves of the feeler set"',
        'button "0.30"', 'button "+ leaf"', 'region "Verdict"', 'region "Entry: Ring 1, closed gap"',
    ):  # fmt: skip
        assert name in ring, name
    for name in (
        'table "Diameters kept so far, in mm"', 'link "mid stroke, across the pin: 78.00"', 'group "Keypad"',
        'button "7"', 'button "decimal point"', 'button "change sign"', 'button "Back one"',
        'textbox "Dial, from 78.00',
    ):  # fmt: skip
        assert name in bore, name
    assert not re.search(r"(link|button|textbox)(:|\n| \[)", ring + bore)
