"""Two tablets on one overhaul see each other's readings within seconds, and never disturb what is being typed."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.chromium import Tablet
from tests.browser.hand import keep, tap_keys
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
GAP = "/gauge/2.ring-1/closed-gap?how=size"
WITHIN_MS = 12_000


def test_anothers_reading_comes_up_while_a_figure_is_typed_and_both_are_kept(
    bench: Callable[..., Tablet], workshop: Workshop
) -> None:
    workshop.safe()
    one, other = bench("fitter", "large", "day"), bench("chief engineer", "upright", "engine")
    mine, theirs = one.open(workshop.url(GAP)), other.open(workshop.url(GAP))
    tap_keys(theirs, "0.6")

    tap_keys(mine, "0.30")
    keep(mine)
    expect(theirs.locator(".place.kept")).to_contain_text("0.30", timeout=WITHIN_MS)
    expect(theirs.locator("[data-says]")).to_contain_text("M. Tarrow kept 0.30 mm here since this page opened")
    typed = theirs.locator("#f-value").input_value()
    tap_keys(theirs, "0")
    keep(theirs)

    assert typed == "0.6"
    assert theirs.locator(".looks summary").inner_text() == "2 differ"
    assert [reading.written for reading in workshop.readings] == ["0.30 mm"]
    assert [look.written for look in workshop.overhaul.looks] == ["0.60 mm"]
    assert other.axe() == []
