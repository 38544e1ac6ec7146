"""Gauging pages lose nothing at twice the text or zoom, at 320 px and at 4K; in forced colours all signs stay."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.chromium import Tablet
from tests.browser.test_gauging_modes import PLACES
from tests.browser.test_gauging_screen import worn
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Take = Callable[..., Tablet]
LOST = Path(__file__).with_name("lost.js").read_text(encoding="utf-8")
# The screen, and the lettering in per cent: by the browser's setting for text, or by the page's root.
SIZES = {
    "a tenth more text across": ((1280, 800), 100, 110),
    "a quarter more text across": ((1280, 800), 100, 125),
    "a quarter more text by the browser": ((1280, 800), 125, 100),
    "a quarter more text upright": ((800, 1280), 100, 125),
    "half more text across": ((1280, 800), 100, 150),
    "twice the text across": ((1280, 800), 100, 200),
    "twice the text upright": ((800, 1280), 100, 200),
    "twice the text by the browser": ((1280, 800), 200, 100),
    "twice the zoom": ((640, 400), 100, 100),
    "as narrow as a page is read": ((320, 800), 100, 100),
}
# The colour of each kind of line and of the lettering in a drawing.
COLOURS = """() => [".dr .lim", ".dr .i1", ".mark .sh", ".dr text"].map((selector) => {
  const one = document.querySelector(selector) ?? document.querySelector("#m-renew .sh");
  const style = getComputedStyle(one);
  return one.tagName === "text" ? style.fill : style.stroke;
})"""
# The colours of what is softer than full ink: a caption, a phase ahead, the note of a tag, the outline of the sheet.
SOFTER = """() => [".what small", ".chain li:last-child", ".tag .nt", ".sheet"].map((selector) => {
  const style = getComputedStyle(document.querySelector(selector));
  return selector === ".sheet" ? style.borderTopColor : style.color;
})"""


def at_size(page: Page, width_px: int, height_px: int, by_browser: int) -> None:
    """Set the screen, and the browser's own size of text."""
    page.set_viewport_size({"width": width_px, "height": height_px})
    fonts = {"fontSizes": {"standard": 16 * by_browser // 100}}
    page.context.new_cdp_session(page).send("Page.setFontSizes", fonts)


def test_nothing_is_lost_at_any_size_of_text_and_screen(bench: Take, workshop: Workshop) -> None:
    one = bench("fitter")
    worn(workshop.safe())

    found = {}
    for name, (screen, by_browser, by_root) in SIZES.items():
        at_size(one.page, *screen, by_browser)
        for place in PLACES:
            page = one.open(workshop.url(place))
            page.evaluate("size => { document.documentElement.style.fontSize = size; }", f"{by_root}%")
            found[name, place] = page.evaluate(LOST)

    assert {where: lost for where, lost in found.items() if lost} == {}


def test_screen_of_4k_is_used_and_nothing_scrolls(bench: Take, workshop: Workshop) -> None:
    one = bench("fitter")
    worn(workshop.safe())
    at_size(one.page, 3840, 2160, 100)

    page = one.open(workshop.url(PLACES[1]))

    assert one.overflow() == 0
    assert page.evaluate("document.documentElement.scrollHeight") == 2160


@pytest.mark.parametrize("light", ["day", "engine"])
def test_more_contrast_writes_captions_and_draws_thin_lines_in_full_ink(
    bench: Take, workshop: Workshop, light: str
) -> None:
    one = bench("fitter", light=light)
    worn(workshop.safe())
    page = one.open(workshop.url("/gauge/2.ring-1/closed-gap?how=size"))
    as_usual = page.evaluate(SOFTER)

    page.emulate_media(contrast="more")
    with_more = page.evaluate(SOFTER)

    assert ink_of(page) not in as_usual
    assert with_more == [ink_of(page)] * len(as_usual)
    assert one.axe() == []


def ink_of(page: Page) -> str:
    """The colour of what is written in full ink."""
    return str(page.evaluate("getComputedStyle(document.body).color"))


@pytest.mark.parametrize("scheme", ["dark", "light"])
def test_forced_colours_leave_lines_shapes_and_kept_or_not_kept_to_be_told(
    bench: Take, workshop: Workshop, scheme: str
) -> None:
    one = bench("fitter")
    worn(workshop.safe())
    one.page.emulate_media(forced_colors="active", color_scheme=scheme)  # type: ignore[arg-type]

    page = one.open(workshop.url("/gauge/2.ring-1/closed-gap?how=size"))
    kept_edge = page.evaluate("getComputedStyle(document.querySelector('#verdict')).borderTopStyle")
    page.locator("#f-value").fill("0.30")
    page.locator("#verdict.typed").wait_for()
    typed_edges = page.evaluate(
        "['#verdict', '.read'].map(s => getComputedStyle(document.querySelector(s)).borderTopStyle)"
    )
    ink = page.evaluate("getComputedStyle(document.body).color")
    shapes = page.locator(".tag .mark use").evaluate_all("all => all.map(one => one.getAttribute('href'))")

    assert kept_edge == "solid"
    assert typed_edges == ["dashed", "dashed"]
    assert set(page.evaluate(COLOURS)) == {ink}
    assert {"#m-undecided", "#m-notgauged", "#m-renew"} <= {shape.replace("#n-", "#m-") for shape in shapes}
