"""The fitter's whole job on a tablet: open, make safe, gauge by keys and keyboard, put right, sign."""

from collections.abc import Callable

import pytest

from app.domain.readings import Kind, Occasion
from tests.browser.chromium import Tablet
from tests.browser.hand import another_page, confirm_next, follow, keep, sign, tap_keys, verdict, wake, would_be
from tests.builders import PASSWORD, a_machine, a_reading, enter, good_readings
from tests.web.workshop import BEFORE, OPENED_AT, Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
RING_1, RING_2 = "/gauge/2.ring-1/closed-gap", "/gauge/2.ring-2/closed-gap"


def test_fitter_opens_a_machine_and_makes_it_safe(bench: Bench, workshop: Workshop) -> None:
    a_machine(workshop.book, "GA-2", at=BEFORE)
    one = bench("", "small", "engine")
    page = one.sign_in("fitter", PASSWORD)

    follow(page, page.locator("a.machine", has_text="GA-2"))
    machine = one.axe()
    follow(page, page.locator("#next"))
    page.get_by_label("Hours on the meter").fill("2480")
    opening = one.axe()
    follow(page, page.locator("#next"))
    making_safe = one.axe()
    confirm_next(page)
    refused = page.locator(".step .error").inner_text()
    confirm_next(page, "26-118")
    while page.locator(".step form").count():
        confirm_next(page, "0.0 bar")

    assert "/gauge/1.suction-valve/seen" in page.url
    assert refused
    assert "permit 26-118" in page.locator("footer").inner_text()
    assert [machine, opening, making_safe, one.axe()] == [[], [], [], []]


def test_gap_over_its_limit_is_shown_before_it_is_kept_and_then_turns_the_whole_set(
    bench: Bench, workshop: Workshop
) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url(f"{RING_1}?how=size"))

    tap_keys(page, "0.70")
    before = would_be(page, "RENEW")
    set_before = page.locator(".set-row").inner_text()
    kept_before = len(workshop.readings)
    keep(page)

    assert "0.70 mm is over the limit 0.65 mm" in before
    assert "RENEW" not in set_before
    assert kept_before == 0
    assert "RENEW" in page.locator(".set-row").inner_text()
    assert page.locator(".set .tag .wd").all_inner_texts() == ["RENEW"] * 3
    assert "kept 0.70" in page.locator(".just-kept").inner_text()
    assert [reading.written for reading in workshop.readings] == ["0.70 mm"]


def test_comma_from_a_keyboard_and_enter_keep_a_reading_as_it_was_written(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "small", "day")
    workshop.safe()
    page = one.open(workshop.url(f"{RING_1}?how=size"))

    page.locator("#f-value").tap()
    page.keyboard.type("0,30")
    wake(page)
    with another_page(page):
        page.keyboard.press("Enter")

    assert [(r.value.typed, str(r.size_mm)) for r in workshop.readings if r.value] == [("0,30", "0.30")]
    assert "kept 0.30" in page.locator(".just-kept").inner_text()


def test_two_leaves_with_the_limit_between_them_are_undecided_and_name_the_leaf_to_try(
    bench: Bench, workshop: Workshop
) -> None:
    one = bench("fitter", "upright", "engine")
    workshop.safe()
    enter(workshop.book, workshop.id, a_reading("2.ring-1", "seen", "sound", OPENED_AT))
    enter(workshop.book, workshop.id, a_reading("2.ring-1", "side-clearance", "0.05/0.06", OPENED_AT))
    page = one.open(workshop.url(f"{RING_1}?how=pair"))

    tap_keys(page, "0.60")
    page.locator('[data-key="next"]').tap()
    tap_keys(page, "0.70")
    before = would_be(page, "UNDECIDED")
    keep(page)
    page.go_back()
    page.reload()

    assert "ry 0.6" in before
    assert verdict(page) == "UNDECIDED"
    assert workshop.readings[-1].kind is Kind.PAIR
    assert one.axe() == []


def test_sound_takes_one_tap_and_the_next_place_comes_by_itself(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "upright", "day")
    workshop.safe()
    page = one.open(workshop.url("/gauge"))
    began = page.url

    keep(page, "Sound.")

    assert began.endswith("/gauge/2.suction-valve/seen")
    assert "/gauge/2.suction-valve/lift" in page.url
    assert workshop.readings[0].findings == ("sound",)


def test_what_is_wrong_is_ticked_with_a_note(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "engine")
    workshop.safe()
    page = one.open(workshop.url("/gauge/2.piston/seen"))

    page.get_by_text("Heavily scuffed").tap()
    page.get_by_label("Note, if one is needed").fill("thrust side, picked up")
    keep(page, "Keep what is ticked")

    assert "/gauge/2.piston/skirt" in page.url
    assert page.locator(".tag.sel .wd").inner_text() == "RENEW"
    assert workshop.readings[0].findings == ("heavily-scuffed",)
    assert workshop.readings[0].reason == "thrust side, picked up"


def test_part_that_cannot_be_gauged_wants_a_reason_and_says_so_beside_the_field(
    bench: Bench, workshop: Workshop
) -> None:
    one = bench("fitter", "small", "engine")
    workshop.safe()
    page = one.open(workshop.url("/gauge/2.bush/diameter"))

    follow(page, page.get_by_role("link", name="Cannot gauge"))
    page.locator("#f-reason").fill("no")
    keep(page)
    refused = page.locator("#f-reason-error").inner_text()
    at_refusal = one.axe()
    page.locator("#f-reason").fill("Bush end is upset.")
    keep(page)

    assert refused
    assert at_refusal == []
    assert [(r.kind, r.reason) for r in workshop.readings] == [(Kind.CANNOT, "Bush end is upset.")]


def test_reading_is_put_right_and_the_old_one_stays_on_record(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "large", "day")
    workshop.safe()
    page = one.open(workshop.url(f"{RING_2}?how=size"))

    tap_keys(page, "0.25")
    keep(page)
    follow(page, page.get_by_role("link", name="Put right"))
    label = page.locator("[data-read] label").inner_text()
    tap_keys(page, "0.30")
    keep(page)
    page.goto(workshop.url("/record"))

    assert "Kept: 0.25" in label
    assert [reading.written for reading in workshop.readings] == ["0.25 mm", "0.30 mm"]
    assert page.locator("del", has_text="0.25").count() > 0
    assert one.axe() == []


def test_fitter_keeps_the_last_place_and_signs_gauged(bench: Bench, workshop: Workshop) -> None:
    one = bench("fitter", "small", "day")
    workshop.safe()
    last = good_readings(workshop.overhaul.parts, Occasion.AS_FOUND, OPENED_AT)
    enter(
        workshop.book, workshop.id, *(r for r in last if r.place.part != "2.head" or r.place.characteristic == "seen")
    )
    page = one.open(workshop.url("/gauge"))

    tap_keys(page, "0.6")
    keep(page)
    at_the_end = page.url
    asked = one.axe()
    sign(page, "not the password")
    refused = page.locator(".error").first.inner_text()
    sign(page)

    assert "/gauged" in at_the_end
    assert asked == []
    assert refused
    assert "Signed: gauged" in page.locator("footer").inner_text()
    assert workshop.overhaul.signatures[0].person == "M. Tarrow"


def test_signed_reading_is_shown_without_any_way_to_change_it(bench: Bench, workshop: Workshop) -> None:
    workshop.decided()
    one = bench("fitter", "upright", "engine")

    page = one.open(workshop.url(f"{RING_2}?how=size"))

    assert page.locator("[data-keep], [data-pad], [data-pad-field]").count() == 0
    assert "Read only. The overhaul is at “box up”." in page.locator(".keys").inner_text()
    assert one.axe() == []
