"""Amended values on the pages: the verdict by them beside the one that was signed, and what is to be acted on."""

import io
import json

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from app.domain.overhaul import Meaning
from app.domain.readings import Kind, Place, Reading
from app.store.book import Book
from app.store.chain import verify_chain
from app.store.evidence import verify_evidence
from app.store.site_signatures import signature_faults
from tests.builders import PASSWORD, enter, good_readings, sign_all
from tests.web.forms import form_of
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import LATER, Workshop

PIN, SEEN = Place("2.pin", "diameter"), Place("2.pin", "seen")
DIFFERS = "signed: REUSE \N{EN DASH} by the amended value: RENEW"


@pytest.fixture
def shop(book: Book) -> Workshop:
    return Workshop(book).returned()


def entry(shop: Workshop, place: Place) -> Reading:
    return next(reading for reading in shop.overhaul.readings if reading.place == place)


def propose(shop: Workshop, by: Visitor, place: Place, status: int = 303, **typed: object) -> str:
    page = by.get(shop.url(f"/amendments?reading={entry(shop, place).id}")).text
    form = form_of(page, shop.url("/amendments")) | {"reason": "digits turned round"} | typed
    by.post(shop.url("/amendments"), form, status)
    return words_of(by.page)


def answer(shop: Workshop, by: Visitor, outcome: str = "signed") -> None:
    form = {"outcome": outcome, "password": PASSWORD, "words": "looked at again"}
    by.get(shop.url("/amendments"))
    by.post(shop.url(f"/amendments/{shop.overhaul.amendments[-1].id}"), form)


def test_whoever_signs_sees_the_verdict_first_and_every_document_shows_it_beside_the_signed_one(
    shop: Workshop,
) -> None:
    before = [signature.digest for signature in shop.overhaul.signatures]
    propose(shop, shop.fitter, PIN, value="20.00")
    ahead = words_of(shop.chief.get(shop.url("/amendments")).text)
    unsigned = words_of(shop.auditor.get(shop.url("/record")).text)
    answer(shop, shop.chief)

    record = words_of(shop.auditor.get(shop.url("/record")).text)
    pages = PdfReader(io.BytesIO(shop.auditor.get(shop.url("/record.pdf")).content)).pages
    printed = " ".join(" ".join(page.extract_text() for page in pages).split())
    workbook = load_workbook(io.BytesIO(shop.auditor.get(shop.url("/export.xlsx")).content))
    rows = list(workbook["verdicts"].values)

    assert "Verdict once signed" in ahead
    assert DIFFERS in ahead
    assert "VERDICT DIFFERS" not in unsigned
    assert f"VERDICT DIFFERS RENEW {DIFFERS}" in record
    assert f"VERDICT DIFFERS, {DIFFERS}" in printed
    by_amended = rows[0].index("by_amended_values")
    assert {row[by_amended] for row in rows[1:] if row[by_amended]} == {DIFFERS}
    verdicts = [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]
    assert {row["verdict"] for row in verdicts} == {"REUSE"}
    assert DIFFERS in str(list(workbook["amendments"].values)[1])
    assert [signature.digest for signature in shop.overhaul.signatures] == before
    export = shop.auditor.get(shop.url("/export.json")).json()
    sealed = json.loads(export["overhauls"][0]["amendment_answer"][0]["content"])
    assert any(DIFFERS in verdict for verdict in sealed["verdicts"])  # what whoever signed was shown


def test_finding_is_amended_from_the_same_list_and_judged(shop: Workshop) -> None:
    page = words_of(shop.fitter.get(shop.url(f"/amendments?reading={entry(shop, SEEN).id}")).text)
    both = propose(shop, shop.fitter, SEEN, 422, findings=["sound", "cracked"])
    none = propose(shop, shop.fitter, SEEN, 422, findings=[])
    same = propose(shop, shop.fitter, SEEN, 422, findings=["sound"])
    propose(shop, shop.fitter, SEEN, findings=["cracked", "scored"])
    answer(shop, shop.chief)

    (kept,) = shop.overhaul.amendments

    assert "Sound Scored Blued by heat Cracked Doubtful, for the chief engineer" in page
    assert "Sound and a fault contradict each other." in both
    assert "Choose what is seen" in none
    assert "This is what stands there already." in same
    assert (kept.old, kept.new) == ("sound", "cracked, scored")
    assert kept.amended is not None
    assert (kept.amended.kind, kept.amended.findings) == (Kind.SEEN, ("cracked", "scored"))
    assert f"VERDICT DIFFERS RENEW {DIFFERS}" in words_of(shop.auditor.get(shop.url("/record")).text)
    with shop.book.reading() as session:
        assert (verify_chain(session), verify_evidence(session), signature_faults(session)) == (None, [], [])


def test_history_and_the_readings_of_a_machine_show_it_at_the_entry_itself(shop: Workshop) -> None:
    propose(shop, shop.fitter, PIN, value="20.00")
    answer(shop, shop.chief)

    pages = ("history?part=2.pin&characteristic=diameter", "readings?part=2.pin", "readings.csv?part=2.pin")
    shown = [words_of(shop.auditor.get(f"/machines/GA-1/{page}").text) for page in pages]

    assert all(f"VERDICT DIFFERS, {DIFFERS}" in page for page in shown)


def test_worse_verdict_is_to_be_acted_on_until_a_later_overhaul_decides_the_part(shop: Workshop) -> None:
    propose(shop, shop.fitter, PIN, value="20.00")
    before = words_of(shop.auditor.get("/machines/GA-1").text) + words_of(shop.auditor.get("/due").text)
    answer(shop, shop.chief)
    machine, due = (words_of(shop.auditor.get(page).text) for page in ("/machines/GA-1", "/due"))

    again = shop.opened_again("4000")
    enter(again.book, again.id, *good_readings(again.overhaul.parts, entry(shop, PIN).occasion, LATER))
    sign_all(again.book, again.id, LATER, (Meaning.GAUGED, Meaning.DECIDED))
    after = words_of(shop.auditor.get("/machines/GA-1").text) + words_of(shop.auditor.get("/due").text)

    assert "To act on" not in before
    assert "To act on: amended verdicts" in machine
    assert DIFFERS in machine
    assert "Verdict amended to RENEW: 2-08 Piston pin" in due
    assert f"by amendment: {DIFFERS}" in due
    assert "To act on" not in after
    assert "Verdict amended" not in after


def test_declined_amendment_and_one_to_the_same_verdict_are_not_to_be_acted_on(shop: Workshop) -> None:
    propose(shop, shop.fitter, PIN, value="20.00")
    answer(shop, shop.chief, "declined")
    propose(shop, shop.fitter, PIN, value="21.99")
    answer(shop, shop.chief)

    machine = words_of(shop.auditor.get("/machines/GA-1").text)
    record = words_of(shop.auditor.get(shop.url("/record")).text)

    assert "To act on" not in machine
    assert "VERDICT DIFFERS" not in record
    assert "Amended signed: REUSE \N{EN DASH} by the amended value: REUSE" in record
    assert "not judged" in record
