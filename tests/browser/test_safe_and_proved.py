"""Safe again at a hand-over, a standby pair kept apart; a run proves, becomes the baseline and sets the early check."""

from collections.abc import Callable
from pathlib import Path

import pytest

from app.domain.overhaul import Phase
from tests.browser.chromium import Tablet
from tests.browser.hand import follow, sign
from tests.builders import a_book, a_good_run, a_machine, confirm_all
from tests.web.workshop import OPENED_AT, Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    """A book of its own with GA-1 opened, where another person confirms again that it is safe."""
    return Workshop(a_book(tmp_path), safe_again_hours=72)


def test_next_person_confirms_again_before_gauging_and_a_standby_machine_needs_a_chief_engineers_reason(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.safe()
    a_machine(workshop.book, "GA-2")
    chief, fitter = bench("chief engineer", "upright", "day"), bench("fitter", "small", "day")

    page = chief.open(workshop.url("/gauge"))
    asked, faults = page.locator("main").inner_text(), chief.axe()
    follow(page, page.locator("#next"))
    gauging = page.url, page.locator("footer").inner_text()
    page.goto("/site-rules")
    page.locator("[name=standby]").fill("GA-1, GA-2")
    follow(page, page.get_by_role("button", name="Add this rule"))
    other = fitter.open("/machines/GA-2/open")
    other.get_by_label("Hours on the meter").fill("2000")
    follow(other, other.locator("#next"))
    refused = other.locator("main").inner_text()
    page.goto("/machines/GA-2/open")
    page.get_by_label("Hours on the meter").fill("2000")
    follow(page, page.locator("#next"))
    page.locator("[name=standby_reason]").fill("A hired machine stands in.")
    follow(page, page.locator("#next"))

    assert "It is confirmed again because I. Brandreth has not confirmed it since the work began" in asked
    assert faults == []
    assert "/gauge/" in gauging[0]
    assert "permit" in gauging[1]
    assert "never opens GA-1 and GA-2 together" in refused
    assert "A hired machine stands in." in page.locator("main").inner_text()


def type_run(page: object, **other: str) -> None:
    """Type a run in good order into its form, with these figures in place of its own."""
    typed = a_good_run(**other)
    for name, figure in typed.items():
        if name != "request_id":
            page.locator(f'[name="{name}"]').fill(figure)  # type: ignore[attr-defined]


def test_run_that_was_asked_about_proves_the_machine_becomes_the_baseline_and_the_early_check_is_due(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.boxed_up()
    confirm_all(workshop.book, workshop.id, Phase.PROVE, OPENED_AT)
    fitter, chief = bench("fitter", "upright", "day"), bench("chief engineer", "large", "engine")

    page = fitter.open(workshop.url("/run"))
    type_run(page, **{"gauge-1": "3.3", "temperature-2": "277"})
    follow(page, page.locator("#next"))
    asked, faults, beyond = page.locator(".error").all_inner_texts(), fitter.axe(), fitter.overflow()
    page.locator('[name="gauge-1-is"]').select_option("absolute")
    page.locator('[name="temperature-2-is"]').select_option("F")
    follow(page, page.locator("#next"))
    for number in (2, 3):
        page.locator(f'[name="gauge-{number}-is"]').select_option("gauge")
    follow(page, page.locator("#next"))
    run_said = page.locator("#run").inner_text()
    sign(page)
    page = chief.open(workshop.url("/prove"))
    sign(page)
    page.goto("/runs/1")
    page.locator("[name=reason]").fill("Just overhauled, all as it should be.")
    follow(page, page.get_by_role("button", name="Make this run the baseline"))
    baseline = page.locator("main").inner_text()
    page.goto("/due")

    assert [words.split("?")[0] for words in asked] == ["Gauge or absolute", "In °C or in °F"]
    assert faults == []
    assert beyond == 0
    assert "2.287" in run_said
    assert "This run is the machine's baseline." in baseline
    assert "first check 100 h after overhaul 1" in page.locator("main").inner_text()
