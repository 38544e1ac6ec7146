"""The chief engineer decides on a tablet: what is open, a concession that wants a second signature, the signature."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from app.domain.overhaul import Meaning
from app.domain.readings import SEEN
from app.domain.verdicts import Verdict
from tests.browser.chromium import Tablet
from tests.browser.hand import follow, sign
from tests.builders import PASSWORD, a_reading
from tests.web.workshop import OPENED_AT, Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
DOUBTFUL_PISTON = a_reading("2.piston", SEEN, "doubtful", OPENED_AT, reason="bright band, pin side")
WORN_PIN = a_reading("2.pin", "diameter", "21.960", OPENED_AT)


def begin_to_decide(page: Page, item: str) -> None:
    """Open the decision on an item."""
    follow(page, page.get_by_role("link", name=f"Decide item {item}"))


def choose(page: Page, word: str, reason: str) -> None:
    """Choose a verdict and give the reason."""
    page.locator(".decision .choice", has_text=word).tap()
    page.get_by_label("Reason, in your words").fill(reason)


def test_what_waits_for_a_decision_leads_the_page_and_holds_the_signature(bench: Bench, workshop: Workshop) -> None:
    workshop.gauged(DOUBTFUL_PISTON)
    one = bench("chief engineer", "upright", "day")

    page = one.open(workshop.url())

    assert page.url.endswith("/decide")
    assert "1 part waits for a decision" in page.locator(".intro").inner_text()
    assert page.locator(".item b").first.inner_text() == "Piston"
    assert page.locator("#next").get_attribute("aria-disabled") == "true"
    assert "2-07 Piston is UNDECIDED" in page.locator("#next-why").inner_text()
    assert one.axe() == []
    assert one.overflow() == 0


def test_undecided_part_is_decided_beside_its_first_verdict_and_the_decisions_are_signed(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.gauged(DOUBTFUL_PISTON)
    one = bench("chief engineer", "small", "engine")
    page = one.open(workshop.url("/decide"))

    begin_to_decide(page, "2-07")
    deciding = one.axe()
    choose(page, "REUSE", "Polished, not scuffed, and full size.")
    follow(page, page.locator("#put"))
    row = page.locator("#row-2\\.piston").inner_text()
    sign(page)

    assert deciding == []
    assert "Decided by I. Brandreth: Polished, not scuffed" in row
    assert "First verdict: UNDECIDED" in row
    assert "/box-up" in page.url
    assert workshop.overhaul.decisions[0].verdict is Verdict.REUSE
    assert [s.meaning for s in workshop.overhaul.signatures] == [Meaning.GAUGED, Meaning.DECIDED]


def test_concession_is_refused_without_its_end_and_its_second_signature_and_what_was_typed_stays(
    bench: Bench, workshop: Workshop
) -> None:
    workshop.gauged(WORN_PIN)
    one = bench("chief engineer", "large", "day")
    page = one.open(workshop.url("/decide"))

    begin_to_decide(page, "2-08")
    choose(page, "REUSE", "New pin on order, five weeks.")
    follow(page, page.locator("#put"))

    assert "needs an end and a second signature" in page.locator(".decision .error").first.inner_text()
    assert page.get_by_label("Reason, in your words").input_value() == "New pin on order, five weeks."
    assert page.get_by_role("radio", name="REUSE").is_checked()
    assert workshop.overhaul.decisions == ()
    assert one.axe() == []


def test_concession_is_granted_with_the_second_chief_engineers_password(bench: Bench, workshop: Workshop) -> None:
    workshop.gauged(WORN_PIN)
    one = bench("chief engineer", "upright", "engine")
    page = one.open(workshop.url("/decide"))

    begin_to_decide(page, "2-08")
    choose(page, "REUSE", "New pin on order, five weeks.")
    page.get_by_label("Until, hours on the meter").fill("2600")
    page.get_by_label("Second chief engineer").select_option("R. Osk")
    page.get_by_label("Their password").fill("not hers at all")
    follow(page, page.locator("#put"))
    refused = page.locator(".decision .error").first.inner_text()
    page.get_by_label("Their password").fill(PASSWORD)
    follow(page, page.locator("#put"))
    row = page.locator("#row-2\\.pin").inner_text()

    granted = workshop.overhaul.decisions[0].concession
    assert "not R. Osk's password" in refused
    assert granted is not None
    assert (granted.second_person, granted.until_hours) == ("R. Osk", 2600)
    assert "Concession until" in row
    assert "second signature R. Osk" in row
    assert one.axe() == []


def test_crack_offers_nothing_but_renewal(bench: Bench, workshop: Workshop) -> None:
    workshop.gauged(a_reading("2.pin", SEEN, "cracked", OPENED_AT))
    one = bench("chief engineer", "small", "day")
    page = one.open(workshop.url("/decide"))

    begin_to_decide(page, "2-08")

    assert page.locator(".decision .choice").all_inner_texts() == ["RENEW"]
    assert page.get_by_label("Second chief engineer").count() == 0
