"""Everything that must work when no script runs: sign in, gauge a part, see the verdict, put right."""

from collections.abc import Callable

import pytest

from tests.browser.chromium import Tablet
from tests.browser.hand import confirm_next, follow, verdict
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]


def test_one_part_is_gauged_whole_without_script(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "small", "day", has_script=False)
    page = one.open(workshop.url("/gauge/2.pin"))

    has_keys = page.locator(".pad").is_visible()
    follow(page, page.get_by_role("button", name="Sound."))
    page.locator("#f-value").fill("21.98")
    follow(page, page.locator("#keep"))
    follow(page, page.locator(".tag", has_text="Piston pin"))

    assert not has_keys
    assert verdict(page) == "REUSE"
    assert [reading.written for reading in workshop.readings] == ["sound", "21.98 mm"]


def test_refused_figure_comes_back_as_typed_without_script(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "upright", "engine", has_script=False)
    page = one.open(workshop.url("/gauge/2.pin/diameter"))

    page.locator("#f-value").fill("21.98 furlong")
    follow(page, page.locator("#keep"))

    assert page.locator("#f-value-error").is_visible()
    assert page.locator("#f-value").input_value() == "21.98 furlong"
    assert workshop.readings == ()


def test_machine_is_made_safe_without_script(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "day", has_script=False)
    page = one.open(workshop.url())

    steps = page.locator(".step form").count()
    for _ in range(steps):
        confirm_next(page, "0.0 bar")

    assert "/gauge/2.suction-valve/seen" in page.url
