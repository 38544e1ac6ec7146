"""The leaves of the feeler set in place of the keys: one tap a leaf, stacks, and the way back to the keys."""

from collections.abc import Callable

import pytest
from playwright.sync_api import FloatRect

from tests.browser.chromium import SIZES, Tablet
from tests.browser.hand import another_page, keep, take_leaves, tap_keys, wake, would_be
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
PAIR = "/gauge/2.ring-1/closed-gap?how=pair"


def test_two_taps_and_keep_are_a_gap_between_leaves(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url(PAIR))

    take_leaves(page, "0.30", "0.35")
    pressed = page.locator(".leaf[aria-pressed=true]").all_inner_texts()
    keep(page)

    assert pressed == ["0.35"]
    assert [reading.written for reading in workshop.readings] == ["goes 0.30 mm, does not go 0.35 mm"]
    assert one.axe() == []


def test_gauge_that_types_as_a_keyboard_loses_no_digit_where_nothing_was_tapped(
    bench: Bench, workshop: Workshop
) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url(PAIR))
    wake(page)

    page.keyboard.type("0,30")
    page.keyboard.press("Enter")
    page.keyboard.type("0.35")
    with another_page(page):
        page.keyboard.press("Enter")

    assert [reading.written for reading in workshop.readings] == ["goes 0,30 mm, does not go 0.35 mm"]


def test_leaves_are_stacked_on_the_leaf_that_was_just_taken(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "small", "engine")
    workshop.safe()
    page = one.open(workshop.url(PAIR))

    take_leaves(page, "0.50", "+", "0.15", "0.70")
    said = would_be(page, "UNDECIDED")
    keep(page)

    assert "0.65" in said
    assert [r.goes.typed for r in workshop.readings if r.goes] == ["0.50+0.15"]
    assert [str(r.goes.mm) for r in workshop.readings if r.goes] == ["0.65"]


def test_verdict_that_comes_while_a_stack_is_built_does_not_end_it(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url(PAIR))

    take_leaves(page, "0.50", "+")
    page.evaluate("document.dispatchEvent(new CustomEvent('htmx:after:settle', {detail: {newContent: []}}))")
    take_leaves(page, "0.15")

    assert page.locator("#f-goes").input_value() == "0.50+0.15"


def test_stack_that_was_begun_in_one_field_is_not_built_on_in_another(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url(PAIR))

    take_leaves(page, "0.50", "0.60")
    page.locator("#f-goes").tap()
    take_leaves(page, "+")
    page.locator("#f-does_not_go").tap()
    take_leaves(page, "0.65")

    assert page.locator("#f-goes").input_value() == "0.50"
    assert page.locator("#f-does_not_go").input_value() == "0.65"


def test_stack_is_typed_with_keys_too_as_thick_as_it_needs_to_be(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "small", "day")
    workshop.safe()
    page = one.open(workshop.url(PAIR))

    tap_keys(page, "1.00+.15>1.00+.20")
    keep(page)

    assert [r.written for r in workshop.readings] == ["goes 1.00+0.15 mm, does not go 1.00+0.20 mm"]


def test_one_reading_takes_one_leaf_and_a_second_takes_its_place(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "upright", "day")
    workshop.safe()
    page = one.open(workshop.url("/gauge/2.ring-1/closed-gap?how=size"))

    take_leaves(page, "0.30", "0.40")

    assert page.locator("#f-value").input_value() == "0.40"
    assert page.get_by_role("button", name="+ leaf").count() == 0


def test_tablet_remembers_whether_leaves_or_keys_were_last_used(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url(PAIR))
    at_first = page.locator(".leaves").is_visible(), page.locator(".pad").is_visible()

    tap_keys(page, "0.6")
    page.reload()
    after = page.locator(".leaves").is_visible(), page.locator(".pad").is_visible()
    page.get_by_role("button", name="Leaves", exact=True).tap()

    assert at_first == (True, False)
    assert after == (False, True)
    assert page.locator(".leaves").is_visible()


def test_every_leaf_and_every_card_is_on_the_screen_and_large_enough(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    found = {}

    for size, (width, height) in SIZES.items():
        one = bench("fitter", size, "day")
        for path in (PAIR, "/gauge/2.delivery-valve/seen"):
            page = one.open(workshop.url(path))
            boxes = [target.bounding_box() for target in page.locator(".leaf, .drawn-choice, [data-keep]").all()]
            small = [b for b in boxes if b and (b["height"] < 56 or b["width"] < 56)]
            outside = [b for b in boxes if b and (b["y"] + b["height"] > height or b["x"] + b["width"] > width)]
            found[size, path] = small + outside

    assert {where: boxes for where, boxes in found.items() if boxes} == {}


def test_tick_of_a_finding_hides_nothing_of_its_drawing(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    hidden = {}

    for size in SIZES:
        page = bench("fitter", size, "engine").open(workshop.url("/gauge/2.delivery-valve/seen"))
        cards = page.locator(".drawn-choice").all()
        pairs = [[card.locator(part).bounding_box() for part in (".finding-mark", "input")] for card in cards]
        hidden[size] = [pair for pair in pairs if pair[0] and pair[1] and do_overlap(pair[0], pair[1])]

    assert {size: pairs for size, pairs in hidden.items() if pairs} == {}


def do_overlap(one: FloatRect, other: FloatRect) -> bool:
    """Whether two boxes cover each other by more than a pixel."""
    across = min(one["x"] + one["width"], other["x"] + other["width"]) - max(one["x"], other["x"])
    down = min(one["y"] + one["height"], other["y"] + other["height"]) - max(one["y"], other["y"])
    return across > 1 and down > 1


def test_keys_are_there_where_the_gap_is_not_gauged_with_leaves(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()

    page = one.open(workshop.url("/gauge/2.pin/diameter"))

    assert page.locator(".pad").is_visible()
    assert page.locator(".leaves").count() == 0
