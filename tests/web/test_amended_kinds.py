"""Amendments that make a size of what could not be gauged, or the other way round: by fields, and judged again."""

from dataclasses import replace

import pytest

from app.actions.gauging import last_reading
from app.domain.readings import Kind, Place, Reading
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.chain import verify_chain
from app.store.evidence import verify_evidence
from app.store.site_signatures import signature_faults
from tests.builders import PASSWORD, a_reading
from tests.web.forms import form_of, has_form, said_beside, ticked, typed_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop, a_decision

PIN, SEEN, RING = Place("2.pin", "diameter"), Place("2.pin", "seen"), Place("2.ring-1", "closed-gap", "worst place")
STUCK = "the pin was stuck in the rod"
PAGE = "/amendments"


def not_gauged(characteristic: str, short: str) -> Reading:
    entry = a_reading("2.pin", characteristic, short, OPENED_AT)
    return replace(entry, kind=Kind.CANNOT, value=None, findings=(), reason=STUCK)


@pytest.fixture
def shop(book: Book) -> Workshop:
    """Decided, with a pin that could be neither gauged nor looked at, and that a chief engineer let stay in."""
    entries = not_gauged("diameter", "21.98"), not_gauged("seen", "sound")
    return Workshop(book).decided(*entries, decisions=(a_decision("2.pin", Verdict.REUSE, "9000"),))


def entry(shop: Workshop, place: Place) -> Reading:
    return shop.overhaul.standing(a_reading("2.pin", "diameter", "21.98").occasion)[place]


def form(shop: Workshop, place: Place, way: str = "") -> dict[str, object]:
    shop.fitter.get(shop.url(f"{PAGE}?reading={entry(shop, place).id}&kind={way}"))
    return form_of(shop.fitter.page, shop.url(PAGE)) | {"reason": "it stands in the notebook"}


def propose(shop: Workshop, place: Place, way: str = "", status: int = 303, **typed: object) -> str:
    sent = form(shop, place, way) | typed
    shop.fitter.post(shop.url(PAGE), sent, status)
    return shop.fitter.page


def sign(shop: Workshop) -> None:
    osk = shop.visitor("R. Osk")
    osk.get(shop.url(PAGE))
    sent = {"outcome": "signed", "password": PASSWORD, "words": ""}
    osk.post(shop.url(f"{PAGE}/{shop.overhaul.amendments[-1].id}"), sent)


def test_value_is_given_for_what_could_not_be_gauged_and_judged_beside_what_was_signed(shop: Workshop) -> None:
    before = [signature.digest for signature in shop.overhaul.signatures]
    propose(shop, PIN, value="20.00", instrument="F-03", temperature="21")
    sign(shop)

    (kept,) = shop.overhaul.amendments
    record = words_of(shop.auditor.get(shop.url("/record")).text)

    assert (kept.old, kept.new) == (f"cannot gauge: {STUCK}", "20.00 mm (F-03, 21 °C)")
    assert kept.amended is not None
    assert (kept.amended.kind, kept.amended.reason) == (Kind.SIZE, "")
    assert "VERDICT DIFFERS" in record
    assert "signed: REUSE, decided; the sheet then: NOT GAUGED – by the amended value: RENEW" in record
    assert [signature.digest for signature in shop.overhaul.signatures] == before
    with shop.book.reading() as session:
        assert (verify_chain(session), verify_evidence(session), signature_faults(session)) == (None, [], [])


def test_value_is_amended_to_cannot_be_gauged_with_its_reason_and_counts_nowhere_after(shop: Workshop) -> None:
    propose(shop, RING, "cannot", cannot="the leaf was bent, so nothing was gauged")
    again = shop.opened_again("4000")
    before = last_reading(shop.book, again.overhaul, RING)
    sign(shop)

    record = words_of(shop.auditor.get(shop.url("/record")).text)
    (kept,) = shop.overhaul.amendments

    assert before is not None
    assert last_reading(shop.book, again.overhaul, RING) is None
    assert kept.new == "cannot gauge: the leaf was bent, so nothing was gauged"
    assert kept.amended is not None
    assert (kept.amended.value, kept.amended.goes, kept.amended.does_not_go) == (None, None, None)
    assert "signed: REUSE – by the amended value: NOT GAUGED" in record
    with shop.book.reading() as session:
        assert (verify_chain(session), verify_evidence(session)) == (None, [])


def test_amended_value_is_what_a_later_opening_compares_with(shop: Workshop) -> None:
    again = shop.opened_again("4000")
    before = last_reading(shop.book, again.overhaul, PIN)
    propose(shop, PIN, value="21.97")
    sign(shop)

    after = last_reading(shop.book, again.overhaul, PIN)

    assert before is None
    assert after is not None
    assert str(after.size_mm) == "21.97"


def test_what_could_not_be_seen_is_amended_from_the_list_of_what_is_seen(shop: Workshop) -> None:
    propose(shop, SEEN, findings=["cracked"])

    (kept,) = shop.overhaul.amendments

    assert (kept.new, kept.amended.kind if kept.amended else "") == ("cracked", Kind.SEEN)
    assert "by the amended value: RENEW" in words_of(shop.chief.get(shop.url(PAGE)).text)


def test_another_reason_why_it_could_not_be_gauged_is_an_amendment_and_the_same_is_none(shop: Workshop) -> None:
    same = propose(shop, PIN, "cannot", 422)
    propose(shop, PIN, "cannot", cannot="the pin was lost on the bench")

    assert said_beside(same, "cannot") == "This is what stands there already."
    assert [each.new for each in shop.overhaul.amendments] == ["cannot gauge: the pin was lost on the bench"]


@pytest.mark.parametrize(
    ("kind", "typed", "field"),
    [
        ("cannot", {"cannot": "no"}, "cannot"),
        ("size", {"value": "thick"}, "value"),
        ("size", {"value": ""}, "value"),
        ("pair", {"goes": "0.30", "does_not_go": "0.25"}, "does_not_go"),
    ],
)
def test_what_is_refused_stands_beside_its_field_and_what_was_typed_stays(
    shop: Workshop, kind: str, typed: dict[str, str], field: str
) -> None:
    page = propose(shop, RING, kind, 422, **typed)

    assert said_beside(page, field)
    assert {name: typed_in(page, name) for name in typed} == typed
    assert shop.overhaul.amendments == ()


def test_form_offers_the_ways_of_its_place_alone_and_nonsense_is_the_entry_s_own_way(shop: Workshop) -> None:
    odd = form(shop, RING, "dial")
    words = words_of(shop.fitter.page)
    refused = propose(shop, RING, "size", 422, kind="dial", value="0.01", set_size="1.00")

    assert odd["kind"] == "pair"
    assert "One reading Goes / does not go Cannot be gauged" in words
    assert "Choose how it is gauged" in words_of(refused)
    assert has_form(refused, shop.url(PAGE))
    assert ticked(shop.fitter.get(shop.url(f"{PAGE}?reading={entry(shop, SEEN).id}")).text, "findings") == []


def test_amendment_sent_twice_waits_once_and_another_of_its_entry_is_refused_with_what_was_typed(
    shop: Workshop,
) -> None:
    sent = form(shop, PIN) | {"value": "21.97"}
    shop.fitter.post(shop.url(PAGE), sent)
    shop.fitter.post(shop.url(PAGE), sent)
    page = propose(shop, PIN, status=422, value="21.96")

    assert [each.new for each in shop.overhaul.amendments] == ["21.97 mm (F-03)"]
    assert "An amendment to 21.97 mm (F-03) waits for its signature. It is answered first." in words_of(page)
    assert typed_in(page, "value") == "21.96"
