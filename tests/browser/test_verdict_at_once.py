"""The verdict of what is typed stands there at once, with no request, and the book's answer confirms it."""

import json
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Route, expect

from app.domain.overhaul import Phase
from app.domain.readings import Occasion
from tests.browser.chromium import Tablet
from tests.browser.hand import keep, tap_keys, would_be
from tests.builders import a_machine, a_reading, a_sheet, an_overhaul, confirm_all, enter, good_readings
from tests.web.workshop import BEFORE, OPENED_AT, Workshop

pytestmark = pytest.mark.browser
Take = Callable[..., Tablet]
GAP = "/gauge/2.ring-1/closed-gap"
# Each key is pressed in one task of the browser, which paints nothing before it ends; the box is read in that task.
PRESS = """(keys) => {
  const seen = [];
  for (const key of keys) {
    document.querySelector(`.pad [data-key="${key}"]`).click();
    const box = document.querySelector("#verdict");
    seen.push(box.classList.contains("typed") ? box.querySelector(".word").textContent : "");
  }
  return seen;
}"""

# Somebody else's entry that waits on this tablet.
WAITS = """tablet.store.put_entry(
  {id: "another-entry-1", person: "99", by: "R. Osk", state: "waiting", here: "/", fields: [], kept_at: Date.now()},
).then(() => tablet.queue.say())"""


VERDICTS = "**/_fragments/**/verdict*"


def held(page: Page) -> list[Route]:
    """Hold back every answer of the book to what is typed; give those held."""
    kept: list[Route] = []

    def hold(route: Route) -> None:
        """Answer nothing yet."""
        kept.append(route)

    page.route(VERDICTS, hold)
    return kept


def box(page: Page) -> str:
    """What the box says, which has to be marked as not kept."""
    return page.locator("#verdict.typed").inner_text()


def test_verdict_stands_there_in_the_task_of_the_last_key(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.safe().url(f"{GAP}?how=size"))
    asked = held(page)

    seen = page.evaluate(PRESS, list("0.70"))

    assert seen == ["", "", "", "RENEW"]
    assert not asked
    assert "Not kept yet" in box(page)
    assert "0.70 mm is over the limit 0.65 mm." in box(page)
    assert page.locator("#verdict.renew .mark.renew use[href='#n-renew']").count() == 1
    assert page.locator("#verdict .hat rect").get_attribute("fill") == "url(#v-renew)"


def test_verdict_goes_again_when_a_figure_is_taken_back(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.safe().url(f"{GAP}?how=size"))
    held(page)

    tap_keys(page, "0.70")
    page.locator('.pad [data-key="back"]').tap()

    assert page.locator("#verdict.typed").count() == 0
    assert page.locator("#verdict .word").inner_text() == "NOT GAUGED"


def test_a_page_that_was_turned_to_judges_by_its_own_bands_and_goes_back_to_its_own_words(
    bench: Take, workshop: Workshop
) -> None:
    enter(workshop.safe().book, workshop.id, a_reading("2.suction-valve", "seen", "sound", OPENED_AT))
    page = bench("fitter").open(workshop.url("/gauge/2.suction-valve/lift"))
    tap_keys(page, "1.50")
    keep(page)
    held(page)

    before = page.locator("#verdict").inner_text()
    tap_keys(page, "9.0")
    typed = box(page)
    page.locator('.pad [data-key="back"]').tap()

    assert "spring" in page.locator("#what").inner_text().lower()
    assert "9.0 mm is under the limit" in typed
    assert page.locator("#verdict").inner_text() == before


def test_while_a_reading_waits_on_the_tablet_a_verdict_is_provisional(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.safe().url(f"{GAP}?how=size"))
    held(page)
    page.evaluate(WAITS)
    expect(page.locator("[data-on-tablet]")).to_be_visible()

    tap_keys(page, "0.70")

    assert "Provisional: not everything on this tablet is in the book yet." in box(page)


def test_a_pair_names_the_leaf_to_try_next(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.safe().url(f"{GAP}?how=pair"))
    held(page)

    tap_keys(page, "0.60")
    alone = box(page)
    tap_keys(page, ">0.70")

    assert "UNDECIDED" in alone
    assert "Goes 0.60 mm: find the leaf that does not go." in alone
    assert "Goes 0.60 mm, does not go 0.70 mm: the limit 0.65 mm lies between the two leaves." in box(page)
    assert "Try 0.65. Does not go: REUSE." in box(page)


def test_leaves_taken_by_a_tap_are_judged_like_figures(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.safe().url(f"{GAP}?how=pair"))
    held(page)

    for leaf in ("0.65", "0.70"):
        page.locator(f'[data-leaf="{leaf}"]').tap()

    assert "Goes 0.65 mm, does not go 0.70 mm" in box(page)


def test_a_dial_is_judged_from_the_size_it_is_set_to(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.safe().url("/gauge/2.bush/diameter?how=dial"))
    held(page)

    page.get_by_label("Size the dial is set to").fill("22.000")
    page.get_by_label("Dial, from a size").fill("0.100")

    assert "22.100 mm is over the limit" in box(page)


def test_a_bore_is_judged_from_its_other_diameters(bench: Take, workshop: Workshop) -> None:
    five = good_readings(workshop.safe().parts("2.cylinder"), Occasion.AS_FOUND, OPENED_AT)[:6]
    enter(workshop.book, workshop.id, *five)
    page = bench("fitter").open(workshop.url("/gauge/2.cylinder/bore?level=2&axis=1"))
    held(page)

    tap_keys(page, "78.30")

    assert "REWORK" in box(page)
    assert "0.30 mm is over the limit" in box(page)
    assert page.locator(".result").first.inner_text().split()[:2] == ["Wear", "0.30"]


def test_a_size_of_a_clearance_is_provisional_and_names_the_part_it_runs_in(bench: Take, workshop: Workshop) -> None:
    enter(workshop.safe().book, workshop.id, *good_readings(workshop.parts("2.bush"), Occasion.AS_FOUND, OPENED_AT))
    page = bench("fitter").open(workshop.url("/gauge/2.pin/diameter"))
    held(page)

    tap_keys(page, "21.980")

    assert "Provisional: the book looks at small-end bush as well." in box(page)


def test_a_guarded_sheet_is_provisional_until_the_book_has_answered(bench: Take, workshop: Workshop) -> None:
    machine = a_machine(workshop.book, "TB-1", at=BEFORE, sheet="QM-TB")
    sheet = a_sheet(workshop.book, "qm-guarded.toml")
    there = an_overhaul(workshop.book, machine, "2300", OPENED_AT, sheet, stages=(1,))
    confirm_all(workshop.book, there, Phase.MAKE_SAFE, OPENED_AT)
    page = bench("fitter").open(f"/overhauls/{there}/gauge/1.ring-1/closed-gap?how=size")
    asked = held(page)

    tap_keys(page, "1.30")
    at_once = box(page)
    while not asked:  # it asks a moment after the last key
        page.wait_for_timeout(50)
    page.route(VERDICTS, lambda route: route.continue_())  # a hand that was slow is asked about again
    for route in asked:
        route.continue_()

    assert "Provisional: the book looks at instrument and temperature as well." in at_once
    expect(page.locator("#judged[data-judged] .verdict.typed")).to_be_visible()
    expect(page.locator(".provisional, .differing")).to_have_count(0)


@pytest.mark.parametrize(
    ("place", "keys"),
    [(f"{GAP}?how=size", "0.70"), (f"{GAP}?how=pair", "0.60>0.70"), ("/gauge/2.bush/diameter", "22.050"),
     ("/gauge/2.cylinder/bore?level=1&axis=0", "78.12"), ("/gauge/2.suction-valve/lift", "1.95")],
)  # fmt: skip
def test_the_book_confirms_what_the_page_said(bench: Take, workshop: Workshop, place: str, keys: str) -> None:
    page = bench("fitter").open(workshop.all_gauged().url(place))

    with page.expect_response(lambda answer: "_fragments" in answer.url):
        tap_keys(page, keys)
        at_once = box(page)
    expect(page.locator("#judged[data-judged]")).to_be_attached()

    assert box(page) == at_once
    assert page.locator(".differing").count() == 0


def test_a_page_that_differs_from_the_book_says_so_and_the_book_stands(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.all_gauged().url(f"{GAP}?how=size"))
    data = json.loads(page.locator("[data-bands]").get_attribute("data-bands") or "")
    data["sizes"] = [[data["sizes"][0][0], data["sizes"][0][1]]]
    page.evaluate("(text) => { document.querySelector('[data-bands]').dataset.bands = text; }", json.dumps(data))

    tap_keys(page, "0.70")

    expect(page.locator(".differing")).to_be_visible()
    assert "The book's verdict stands" in would_be(page, "RENEW")


def test_an_answer_on_something_typed_before_does_not_take_the_verdict_away(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.all_gauged().url(f"{GAP}?how=size"))
    asked = held(page)

    with page.expect_request("**/_fragments/**"):
        tap_keys(page, "0.50")
    page.locator('.pad [data-key="clear"]').tap()
    tap_keys(page, "0.70")
    asked[0].continue_()
    expect(page.locator("#judged[data-judged]")).to_be_attached()

    assert "RENEW" in box(page)


def test_figure_that_was_finished_while_an_answer_came_is_judged_by_the_book_too(
    bench: Take, workshop: Workshop
) -> None:
    page = bench("fitter").open(workshop.all_gauged().url(f"{GAP}?how=size"))
    first: list[Route] = []
    page.route("**/_fragments/**", lambda route: route.continue_() if first else first.append(route))

    with page.expect_request("**/_fragments/**"):
        tap_keys(page, "0.7")
    tap_keys(page, "0")
    first[0].continue_()

    expect(page.locator("#judged")).to_have_attribute("data-judged", "0.70||||")


def test_bands_of_older_readings_are_not_held_against_the_book(bench: Take, workshop: Workshop) -> None:
    page = bench("fitter").open(workshop.all_gauged().url(f"{GAP}?how=size"))
    enter(workshop.book, workshop.id, a_reading("2.ring-2", "closed-gap", "0.70", OPENED_AT, level="worst place"))

    tap_keys(page, "0.50")

    assert "RENEW" in would_be(page, "RENEW")
    assert page.locator(".differing").count() == 0
