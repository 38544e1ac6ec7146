"""Keep with nothing typed is refused beside its field at once, and never queued; and a refusal hides no key."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.browser.chromium import SIZES, Tablet
from tests.browser.hand import keep, wake
from tests.browser.test_gauging_screen import worn
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
MEASURE = Path(__file__).with_name("measure.js").read_text(encoding="utf-8")
NUMBER = "Nothing is typed. Type a number, such as 0.70 or 0,70."
# A page of each kind of entry, what is said beside its field, and the field that the hand is led back to.
EMPTY = {
    "/gauge/2.ring-1/closed-gap?how=pair": (NUMBER, "goes"),
    "/gauge/2.cylinder/bore?level=2&axis=1&how=dial": (NUMBER, "value"),
    "/gauge/2.suction-valve/seen": ("Choose what is seen: sound, or everything that is wrong.", "findings"),
    "/gauge/2.pin/diameter?how=cannot": ("Say why it cannot be gauged, in 4 to 500 characters.", "reason"),
}


@pytest.mark.parametrize("size", ["small", "upright"])
def test_nothing_typed_is_refused_beside_its_field_and_enters_no_queue(
    bench: Bench, workshop: Workshop, size: str
) -> None:
    workshop.safe()
    one = bench("fitter", size)
    sent: list[str] = []
    one.page.on("request", lambda request: sent.append(request.url) if request.method == "POST" else None)

    said, measured = {}, {}
    for place in EMPTY:
        page = one.open(workshop.url(place))
        wake(page)
        page.locator("[data-keep]").first.tap()
        said[place] = page.locator(".error").inner_text(), page.evaluate("document.activeElement.name")
        measured[place] = page.evaluate(MEASURE)
    at_refusal = one.axe() if size == "small" else []

    assert said == EMPTY
    assert {place: faults for place, faults in measured.items() if faults} == {}
    assert at_refusal == []
    assert sent == []


# What is typed into both fields, and what is said beside those that are refused.
ONE = {("1,234.5", "0.65"): ("not one plain number",)}
BOTH = {
    ("1,234.5", "0.7.0"): ("not one plain number", "As beside “Goes”."),
    ("0.5 cm", "0.6 miles"): ("“cm” is not a unit of length", "“miles” is not a unit of length"),
}
SCREENS = {**SIZES, "whole": (1280, 800)}
SCROLLED = """() => [...document.querySelectorAll(".leaf-keys")]
  .filter((keys) => keys.scrollHeight > keys.clientHeight + 1)
  .map((keys) => `leaves scroll: ${keys.scrollHeight} > ${keys.clientHeight}`)"""


@pytest.mark.parametrize(
    ("screen", "refused"), [("large", ONE), ("small", ONE), ("upright", ONE | BOTH), ("whole", ONE | BOTH)]
)
def test_figures_that_are_refused_leave_every_leaf_and_keep_in_view(
    bench: Bench, workshop: Workshop, screen: str, refused: dict[tuple[str, str], tuple[str, ...]]
) -> None:
    worn(workshop.safe())
    one = bench("fitter")
    one.page.set_viewport_size(dict(zip(("width", "height"), SCREENS[screen], strict=True)))  # type: ignore[arg-type]

    said, measured = {}, {}
    for goes, stops in refused:
        page = one.open(workshop.url("/gauge/2.ring-1/closed-gap?how=pair"))
        page.locator("[name=goes]").fill(goes)
        page.locator("[name=does_not_go]").fill(stops)
        keep(page)
        said[goes, stops] = page.locator(".read .error").all_inner_texts()
        measured[goes, stops] = page.evaluate(MEASURE)
        if screen != "small":  # on the lowest tablet the last leaves are reached within their own frame
            measured[goes, stops] += page.evaluate(SCROLLED)

    told = [words in text for typed in refused for words, text in zip(refused[typed], said[typed], strict=True)]
    assert all(told)
    assert {typed: faults for typed, faults in measured.items() if faults} == {}
