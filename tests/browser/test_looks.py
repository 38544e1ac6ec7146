"""Questions about a reading and looks of others, on three tablets: nothing scrolls, and Keep is in view."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.chromium import Tablet
from tests.browser.hand import keep
from tests.builders import a_reading, enter
from tests.pictures import a_picture
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Take = Callable[..., Tablet]
MEASURE = Path(__file__).with_name("measure.js").read_text(encoding="utf-8")
ASKED = {
    "/gauge/2.ring-1/closed-gap?how=size": {"value": "5.0"},
    "/gauge/2.ring-2/closed-gap?how=pair": {"goes": "0.05", "does_not_go": "5.5"},
    "/gauge/2.cylinder/bore?level=2&axis=1&how=dial": {"value": "60"},
}


@pytest.mark.parametrize("size", ["large", "small", "upright"])
def test_question_about_a_slip_is_in_view_and_answered_by_a_reason(bench: Take, workshop: Workshop, size: str) -> None:
    workshop.safe()
    one = bench("fitter", size, "engine" if size == "small" else "day")

    found = {}
    for place, typed in ASKED.items():
        page = one.open(workshop.url(place))
        for name, figure in typed.items():
            page.locator(f"[name={name}]").fill(figure)
        keep(page)
        assert page.locator("#slip").is_visible()
        found[place] = page.evaluate(MEASURE)
    found["axe"] = one.axe() if size == "small" else []
    page.locator("#f-reason").fill("Measured twice.")
    keep(page)
    assert not page.locator("#slip").count()

    assert {place: wrong for place, wrong in found.items() if wrong} == {}
    assert [reading.reason for reading in workshop.readings] == ["Measured twice."]


def test_question_that_is_open_or_answered_by_measuring_again_is_nothing_the_book_did_not_take(
    bench: Take, workshop: Workshop
) -> None:
    place = workshop.safe().url("/gauge/2.ring-1/closed-gap?how=size")
    one = bench("fitter", "large", "day")
    page = one.open(place)
    foot = page.locator("[data-on-tablet]")

    page.locator("[name=value]").fill("5.0")
    keep(page)
    while_asked = page.locator("#slip").is_visible(), foot.is_visible()
    one.open(place)
    expect(foot).to_contain_text("1 not taken by the book.")
    page.locator("[name=value]").fill("0.50")
    keep(page)
    expect(foot).to_be_hidden()
    one.open("/on-this-tablet")
    row = page.get_by_role("row").filter(has_text="5.0 mm").inner_text()

    assert while_asked == (True, False)
    assert [reading.written for reading in workshop.readings] == ["0.50 mm"]
    assert "Set aside" in row
    assert "Entered again since: 0.50 mm." in row


@pytest.mark.parametrize("size", ["small"])
def test_photos_of_a_part_are_added_from_a_file_and_shown(
    bench: Take, workshop: Workshop, size: str, tmp_path: Path
) -> None:
    workshop.safe()
    one = bench("fitter", size, "engine" if size == "small" else "day")
    (tmp_path / "ring.jpg").write_bytes(a_picture(size=(1600, 1200)))
    page = one.open(workshop.url("/gauge/2.ring-1/closed-gap"))
    page.get_by_role("link", name="Photos").tap()

    page.get_by_label("Or choose a file").set_input_files(tmp_path / "ring.jpg")
    page.get_by_label("Note, if one is needed").fill("Worn at its end")
    page.get_by_role("button", name="Keep the photo").tap()
    page.get_by_role("img", name="Worn at its end").wait_for()

    page.locator(".photo-list img").first.evaluate("one => one.decode()")
    assert page.evaluate("document.querySelector('.photo-list img').naturalWidth") == 1600
    assert one.overflow() == 0
    assert one.axe() == []
    assert len(workshop.overhaul.photos) == 1


@pytest.mark.parametrize("size", ["large", "small", "upright"])
def test_what_several_persons_read_is_in_view_where_a_third_look_is_given(
    bench: Take, workshop: Workshop, size: str
) -> None:
    workshop.all_gauged()
    others = {"measured_by": "R. Osk", "entered_by": "R. Osk", "is_second_look": True}
    enter(workshop.book, workshop.id, a_reading("2.ring-1", "closed-gap", "0.70", level="worst place", **others),
          a_reading("2.cylinder", "bore", "78.20", level="mid stroke", axis="across the pin", **others))  # fmt: skip
    one = bench("chief engineer", size, "engine" if size == "small" else "day")

    found = {}
    for place in ("/gauge/2.ring-1/closed-gap?how=size", "/gauge/2.cylinder/bore?level=1&axis=1"):
        page = one.open(workshop.url(place))
        opened = page.evaluate(MEASURE)
        page.get_by_text("2 differ", exact=True).tap()
        page.get_by_role("link", name="Third look").tap()
        page.get_by_role("heading", name="Third look: ").wait_for()
        found[place] = opened + page.evaluate(MEASURE) + (one.axe() if size == "small" else [])

    assert {place: wrong for place, wrong in found.items() if wrong} == {}
