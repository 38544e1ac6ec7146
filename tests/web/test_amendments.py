"""Amendments on the pages: proposed, waiting, signed by another person, and shown beside what was signed everywhere."""

import io
import json
import zipfile

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from app.actions.gauging import last_reading
from app.domain.readings import Place, Reading
from app.reports.verifier import export_faults
from app.store.book import Book
from app.store.chain import verify_chain
from app.store.evidence import verify_evidence
from app.store.site_signatures import signature_faults
from tests.builders import PASSWORD
from tests.web.forms import form_of
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

PIN = Place("2.pin", "diameter")
WHY = "the last two digits were turned round"


def pin_of(shop: Workshop) -> Reading:
    return next(reading for reading in shop.overhaul.readings if reading.place == PIN)


def propose(shop: Workshop, by: Visitor, status: int = 303, **typed: str) -> None:
    """Choose the pin, and fill the form in as it comes."""
    pin = pin_of(shop)
    page = by.get(shop.url(f"/amendments?reading={pin.id}")).text
    form = form_of(page, shop.url("/amendments")) | {"value": "21.97", "reason": WHY} | typed
    by.post(shop.url("/amendments"), form, status)


def answer(shop: Workshop, by: Visitor, status: int = 303, **typed: str) -> str:
    form = {"outcome": "signed", "password": PASSWORD, "words": ""} | typed
    by.get(shop.url("/amendments"))
    by.post(shop.url(f"/amendments/{shop.overhaul.amendments[-1].id}"), form, status)
    return words_of(by.page)


@pytest.fixture
def shop(book: Book) -> Workshop:
    return Workshop(book).returned()


def test_amendment_is_clearly_unsigned_until_another_chief_engineer_signs_it(shop: Workshop) -> None:
    before = [signature.digest for signature in shop.overhaul.signatures]
    propose(shop, shop.chief)
    waiting = words_of(shop.auditor.get(shop.url("/record")).text)
    own = words_of(shop.chief.get(shop.url("/amendments")).text)

    refused = answer(shop, shop.visitor("R. Osk"), 422, password="not the password")
    answer(shop, shop.visitor("R. Osk"))

    assert "to 21.97 mm (F-03): amendment NOT SIGNED, does not count" in waiting
    assert "Another chief engineer signs it: whoever proposes one does not." in own
    assert "This is not R. Osk&#39;s password." in refused
    signed = words_of(shop.auditor.get(shop.url("/record")).text)
    assert "amended to 21.97 mm (F-03), signed by R. Osk" in signed
    assert WHY in signed
    assert "1 amendment stands beside it" in signed
    assert [signature.digest for signature in shop.overhaul.signatures] == before
    with shop.book.reading() as session:
        assert (verify_chain(session), verify_evidence(session), signature_faults(session)) == (None, [], [])


def test_whoever_proposed_it_a_fitter_and_an_auditor_sign_nothing(shop: Workshop) -> None:
    propose(shop, shop.chief)

    answer(shop, shop.chief, 403)
    answer(shop, shop.fitter, 403)
    answer(shop, shop.auditor, 403)

    assert shop.overhaul.amendments[0].is_open


def test_declined_amendment_stays_with_its_words_and_counts_nowhere(shop: Workshop) -> None:
    propose(shop, shop.fitter)
    unsaid = answer(shop, shop.chief, 422, outcome="declined")
    answer(shop, shop.chief, outcome="declined", words="the micrometer said 21.95")

    record = words_of(shop.auditor.get(shop.url("/record")).text)

    assert "Say why, in 4 to 500 characters." in unsaid
    assert "declined by I. Brandreth: the micrometer said 21.95" in record
    assert "amended to" not in record


def test_whoever_answers_after_another_lands_on_that_answer_and_is_told_that_nothing_changed(shop: Workshop) -> None:
    propose(shop, shop.fitter)
    late = shop.visitor("R. Osk")
    late.get(shop.url("/amendments"))
    form = form_of(late.page, shop.url("/amendments/1"))
    answer(shop, shop.chief, outcome="declined", words="the micrometer said 21.95")

    too_late = late.post(shop.url("/amendments/1"), form | {"outcome": "signed", "password": PASSWORD})

    page = words_of(late.follow(too_late).text)
    assert too_late.headers["location"].endswith("#amendment-1")
    assert "Nothing was changed: this page says what stands already" in page
    assert "declined by I. Brandreth: the micrometer said 21.95" in page
    assert "Amend this entry anew" in page
    assert [each.standing for each in shop.overhaul.amendments] == [
        "declined by I. Brandreth: the micrometer said 21.95"
    ]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"value": "thick"}, "f-value-error"),
        ({"value": ""}, "f-value-error"),
        ({"value": "2197", "reason": ""}, "f-value-error"),
        ({"reason": "no"}, "f-reason-error"),
        ({"temperature": "warm"}, "f-temperature-error"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_with_what_was_typed(
    shop: Workshop, typed: dict[str, str], said: str
) -> None:
    propose(shop, shop.fitter, 422, **typed)

    for name, value in typed.items():
        assert value == "" or value in shop.fitter.page, name
    assert shop.overhaul.amendments == ()
    assert f'id="{said}"' in shop.fitter.page


def test_amendment_that_changes_nothing_and_one_of_what_is_not_sealed_are_refused(shop: Workshop) -> None:
    propose(shop, shop.fitter, 422, value=pin_of(shop).value.typed)  # type: ignore[union-attr]
    same = words_of(shop.fitter.page)
    opened = shop.opened_again("4000")
    page = words_of(opened.fitter.get(opened.url("/amendments")).text)

    assert "This is what stands there already." in same
    assert "Nothing is sealed yet: what is wrong is put right where it was entered." in page


def test_something_else_is_amended_in_words_and_the_same_sent_twice_is_proposed_once(shop: Workshop) -> None:
    page = shop.fitter.get(shop.url("/amendments?reading=else")).text
    form = form_of(page, shop.url("/amendments"))
    form |= {"part": "2.pin", "what": "batch of the pin", "old": "B-7", "new": "B-8", "reason": "the label was misread"}

    shop.fitter.post(shop.url("/amendments"), form | {"new": ""}, 422)
    for _ in range(2):
        shop.fitter.post(shop.url("/amendments"), form)

    assert "amendment proposed" in words_of(shop.auditor.get("/search?q=batch+B-8").text)
    (kept,) = shop.overhaul.amendments
    assert (kept.what, kept.old, kept.new, kept.reading, kept.amended) == ("batch of the pin", "B-7", "B-8", "", None)


def test_signed_amendment_counts_in_what_comes_after_and_stands_in_the_history(shop: Workshop) -> None:
    propose(shop, shop.fitter)
    again = shop.opened_again("4000")
    unsigned = last_reading(shop.book, again.overhaul, PIN)
    history = "/machines/GA-1/history?part=2.pin&characteristic=diameter"
    plotted = words_of(shop.auditor.get(history).text)
    answer(shop, shop.chief)

    counted = last_reading(shop.book, again.overhaul, PIN)

    assert unsigned is not None
    assert counted is not None
    assert (str(unsigned.size_mm), str(counted.size_mm)) == (str(pin_of(shop).size_mm), "21.97")
    after = words_of(shop.auditor.get(history).text)
    assert "amendment NOT SIGNED, does not count" in plotted
    assert "amended to 21.97 mm (F-03), signed by I. Brandreth" in after
    assert after.count("21.97") > plotted.count("21.97")
    readings = shop.auditor.get("/machines/GA-1/readings.csv?part=2.pin").text
    assert "21.97 mm (F-03)" in readings
    timeline = words_of(shop.auditor.get("/machines/GA-1/timeline?chapter=amendments").text)
    assert "Amendment signed: 2-08 Piston pin, pin diameter, as found" in timeline
    assert "Amendment proposed, not signed:" in timeline


def test_amendment_is_in_every_export_and_held_by_the_verifier(shop: Workshop) -> None:
    propose(shop, shop.fitter)
    answer(shop, shop.chief)

    export = shop.auditor.get(shop.url("/export.json")).json()
    (row,), (signed,) = export["overhauls"][0]["amendment"], export["overhauls"][0]["amendment_answer"]
    sheet = load_workbook(io.BytesIO(shop.auditor.get(shop.url("/export.xlsx")).content))["amendments"]
    pdf = PdfReader(io.BytesIO(shop.auditor.get(shop.url("/record.pdf")).content))
    bundle = zipfile.ZipFile(io.BytesIO(shop.auditor.get(shop.url("/export.zip")).content))
    told = " ".join(page.extract_text() for page in pdf.pages)

    assert (row["new"], row["reason"], signed["outcome"]) == ("21.97 mm (F-03)", WHY, "signed")
    assert signed["site_signature"]
    assert WHY in [cell.value for cell in sheet[2]]
    assert "Amendments" in told
    assert "signed by I. Brandreth" in " ".join(told.split())
    assert export_faults(export) == []
    for change in ({"content": "{}"}, {"words": "other"}, {"site_signature": "00"}):
        altered = json.loads(json.dumps(export))
        altered["overhauls"][0]["amendment_answer"][0] |= change
        assert export_faults(altered), change
    assert b'"amendment_answer"' in bundle.read("export.json")


def test_decisions_page_says_that_an_amendment_stands_beside_them(book: Book) -> None:
    shop = Workshop(book).decided()
    propose(shop, shop.fitter)

    said = words_of(shop.chief.get(shop.url("/decide")).text)

    assert "1 amendment stands beside what was signed" in said
