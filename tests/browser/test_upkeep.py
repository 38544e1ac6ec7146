"""The job around the gauging, on the demonstration: hours, what is due, services, parts ahead, a fault, old paper."""

import csv
import re
from collections.abc import Callable
from io import StringIO

import pytest
from icalendar import Calendar
from playwright.sync_api import Page, expect

from app.demonstration.people import PEOPLE
from tests.browser.chromium import Tablet, name_of
from tests.browser.hand import follow
from tests.old_paper import a_row, a_table

pytestmark = pytest.mark.browser
Take = Callable[..., Tablet]
TAP_S, FIGURE_S = 2, 6  # for a hand in a glove: common practice, no source
MOST_S = 60


def digits(words: str) -> int:
    """The whole number in some words."""
    return int(re.sub(r"\D", "", words))


def fill(page: Page, **typed: str) -> None:
    """Type into fields by their names."""
    for name, text in typed.items():
        page.locator(f'[name="{name.replace("_", "-")}"]').fill(text)


def answer_in_order(page: Page) -> tuple[int, int]:
    """Answer every item of a service as in order, and count the taps and the figures it took."""
    choices = page.locator('form.form fieldset:has(input[name^="item-"])')
    for choice in choices.all():
        choice.locator("label").first.tap()
    figures = page.locator('form.form input[inputmode=decimal][name^="item-"]')
    for figure in figures.all():
        limits = re.findall(r"\d+(?:\.\d+)?", page.locator(f"#{figure.get_attribute('aria-describedby')}").inner_text())
        figure.fill(limits[0] if limits else "1")
    return choices.count(), figures.count()


def test_what_is_due_is_put_together_for_one_opening_and_subscribed_to_as_a_calendar(tablet: Take) -> None:
    one = tablet("large", "day")
    page = one.sign_in("fitter")
    page.get_by_role("link", name="Due", exact=True).tap()
    page.get_by_label("Put together what falls due within").select_option("0")
    follow(page, page.get_by_role("button", name="Put together"))
    apart, days = page.locator("tbody.visit").count(), page.locator("tbody.visit th b").all_inner_texts()
    worn = page.locator("tr", has_text="Wear limit").inner_text()
    page.get_by_label("Put together what falls due within").select_option("30")
    follow(page, page.get_by_role("button", name="Put together"))
    together = page.locator("tbody.visit").count()
    follow(page, page.get_by_role("button", name="Make my calendar address"))

    events = Calendar.from_ical(page.request.get(page.locator("#address").inner_text()).text()).walk("VEVENT")

    assert together < apart
    assert len(days) == apart
    assert re.search(r"by wear: .* at its limit of .* h left at", worn)
    assert len(events) == page.locator("tbody.visit").count() == together
    assert one.axe() == []
    assert one.overflow() == 0


def test_meter_that_ran_back_is_asked_about_and_the_right_reading_is_kept_and_drawn(tablet: Take) -> None:
    one = tablet("upright", "engine")
    page = one.sign_in("fitter")
    page.goto("/machines/GA-1/hours")
    before = digits(page.locator(".figure").nth(1).inner_text())

    fill(page, hours=str(before - 9))
    follow(page, page.locator("#next"))
    asked, still_typed = page.locator("main").inner_text(), page.get_by_label("Hours on the meter").input_value()
    asking = one.axe()
    fill(page, hours=str(before + 9))
    follow(page, page.locator("#next"))

    assert "It cannot run back: read it again." in asked
    assert still_typed == str(before - 9)
    assert asking == []
    assert digits(page.locator(".figure").first.inner_text()) == before + 9
    expect(page.get_by_role("img", name=re.compile("Operating hours from")).first).to_be_visible()
    assert one.overflow() == 0


def test_every_service_of_a_machine_is_recorded_within_a_minute(
    tablet: Take, capsys: pytest.CaptureFixture[str]
) -> None:
    one = tablet("upright", "day")
    page = one.sign_in("fitter")
    page.goto("/machines/GA-2/hours")
    hours = str(digits(page.locator(".figure").nth(1).inner_text()) + 9)
    page.goto("/machines/GA-2/service")
    forms = page.locator("tbody").first.locator('a[href*="/service/"]').all()
    addresses = {link.inner_text(): str(link.get_attribute("href")) for link in forms}

    took = {}
    for task, address in addresses.items():
        page.goto(address)
        taps, figures = answer_in_order(page)
        fill(page, hours=hours)
        follow(page, page.locator("#next"))
        assert "Recorded. Its next due is worked out anew." in page.locator("body").inner_text()
        took[task] = (taps + 1, figures + 1)

    with capsys.disabled():
        for task, (taps, figures) in took.items():
            print(f"\n{task}: {taps} taps, {figures} figures, about {taps * TAP_S + figures * FIGURE_S} s", end="")
    assert len(took) == 8
    assert max(taps * TAP_S + figures * FIGURE_S for taps, figures in took.values()) <= MOST_S


def test_parts_ahead_are_listed_to_order_as_a_table_and_what_is_on_hand_is_taken_off(tablet: Take) -> None:
    one = tablet("large", "engine")
    page = one.sign_in("chief engineer")
    page.get_by_role("link", name="Parts ahead").first.tap()
    page.get_by_label("Months ahead").fill("24")
    follow(page, page.get_by_role("button", name="Show these openings"))
    with page.expect_download() as download:
        page.get_by_role("link", name="List to order, as CSV").tap()
    text = download.value.path().read_text(encoding="utf-8-sig")
    rows = {row["number"]: row for row in csv.DictReader(StringIO(text))}
    number, row = next((number, row) for number, row in rows.items() if row["to order"] not in ("", "0"))

    page.locator('[name="number"]').fill(number)
    page.locator('[name="on_hand"]').fill("1")
    follow(page, page.get_by_role("button", name="Keep this count"))
    page.goto("/parts-ahead?months=24")
    line = page.locator("#to-order tbody tr", has_text=number).first

    assert len(rows) == page.locator("#to-order tbody tr").count()
    assert {"number", "name", "oversize", "kit", "to order", "order by", "why"} <= row.keys()
    assert line.locator("td b").first.inner_text() == str(int(row["to order"]) - 1)
    assert one.axe() == []
    assert one.overflow() == 0


def test_a_fault_seen_in_service_names_a_stage_and_opens_it_alone(tablet: Take) -> None:
    one = tablet("upright", "day")
    page = one.sign_in("fitter")
    page.goto("/machines/BA-1/hours")
    hours = str(digits(page.locator(".figure").nth(1).inner_text()) + 1)
    page.goto("/machines/BA-1")
    follow(page, page.get_by_role("link", name="Runs and faults"))
    follow(page, page.get_by_role("link", name="A fault was seen"))
    seen = {"seen": "Gauge 1 stands low, air is short.", "hours": hours, "barometer": "14.7", "speed": "900"}
    seen |= {"intake_temperature": "70", "gauge-1": "26", "gauge-2": "118"}
    for name, text in seen.items():
        page.locator(f'[name="{name}"]').fill(text)
    follow(page, page.locator("#next"))
    said = page.get_by_role("complementary").inner_text()
    shown = one.axe()

    follow(page, page.locator("#next"))
    chosen = page.locator('[name="stages"]:checked').evaluate_all("boxes => boxes.map(box => box.value)")
    page.locator('[name="hours"]').fill(hours)
    follow(page, page.locator("#next"))

    assert "Stage 1" in said
    assert shown == []
    assert chosen == ["1"]
    assert "/overhauls/" in page.url
    page.goto("/machines/BA-1")
    assert "Stage 1; " in page.locator(".work").inner_text()


def test_old_paper_is_looked_through_and_comes_in_with_what_is_refused_listed(tablet: Take) -> None:
    one = tablet("large", "day")
    page = one.sign_in("chief engineer")
    head = {"date": "2014-05-02", "hours": "9", "machine": "GA-2", "overhaul": "old 1"}
    rows = [
        a_row("2.ring-1", "closed-gap", level="worst place", value="0.50") | head,
        a_row("2.ring-1", "seen", findings="sound") | head,
        a_row("2.flywheel", "diameter", value="9") | head,
    ]
    page.goto("/machines/GA-2/paper")
    paper = {"name": "old.csv", "mimeType": "text/csv", "buffer": a_table(rows).encode()}
    page.get_by_label("The template, filled in").set_input_files([paper])
    follow(page, page.get_by_role("button", name="Look it through"))
    page.locator("#refused").wait_for()
    listed = page.locator("section:has(#refused) tbody").inner_text()
    looked = one.axe()

    page.get_by_text("Leave out the 1 refused").tap()
    known = {person.name: person.password for person in PEOPLE}
    page.get_by_label("Your password").fill(known[name_of("chief engineer")])
    follow(page, page.get_by_role("button", name="Bring in 1 overhaul"))
    page.get_by_text("1 of 1 overhauls came in").wait_for()
    page.goto("/machines/GA-2")

    assert "The sheet has no part “2.flywheel”" in listed
    assert looked == []
    assert f"from paper, entered by {name_of('chief engineer')}" in page.locator("section:has(#records)").inner_text()
