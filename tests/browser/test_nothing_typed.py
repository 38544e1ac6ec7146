"""Keep with nothing typed is refused beside its field at once, and never queued; and a refusal hides no key."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.browser.chromium import Tablet
from tests.browser.hand import keep, wake
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


@pytest.mark.parametrize("size", ["large", "small", "upright"])
def test_figure_that_is_refused_leaves_every_leaf_and_keep_in_view(bench: Bench, workshop: Workshop, size: str) -> None:
    workshop.safe()
    page = bench("fitter", size).open(workshop.url("/gauge/2.ring-1/closed-gap?how=pair"))

    page.locator("[name=goes]").fill("1,234.5")
    keep(page)

    assert "not one plain number" in page.locator("#f-goes-error").inner_text()
    assert page.evaluate(MEASURE) == []
