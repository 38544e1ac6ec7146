"""Witnesses on the pages: a surveyor beside a chief engineer's signature, never required, shown on every record."""

import io

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from app.reports.verifier import export_faults
from app.store.book import Book
from app.store.evidence import verify_evidence
from app.store.site_signatures import signature_faults
from tests.builders import PASSWORD
from tests.web.forms import form_of, has_form
from tests.web.visitor import words_of
from tests.web.workshop import Workshop

TYPED = {"meaning": "decided", "name": "A. Surveyor", "body": "Quillmoor Class", "password": PASSWORD}


def enter(shop: Workshop, status: int = 303, **typed: str) -> str:
    page = shop.chief.get(shop.url("/witness")).text
    shop.chief.post(shop.url("/witness"), form_of(page, shop.url("/witness")) | TYPED | typed, status)
    return words_of(shop.chief.page)


def test_witness_stands_on_the_record_the_pdf_and_every_export(book: Book) -> None:
    shop = Workshop(book).returned()
    enter(shop)

    record = words_of(shop.auditor.get(shop.url("/record")).text)
    pdf = PdfReader(io.BytesIO(shop.auditor.get(shop.url("/record.pdf")).content))
    told = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
    export = shop.auditor.get(shop.url("/export.json")).json()
    sheet = load_workbook(io.BytesIO(shop.auditor.get(shop.url("/export.xlsx")).content))["signatures"]
    timeline = words_of(shop.auditor.get("/machines/GA-1/timeline").text)

    assert "A. Surveyor Quillmoor Class; decided" in record
    assert "A. Surveyor" in told
    assert "Quillmoor Class; entered by I. Brandreth" in told
    assert export["overhauls"][0]["witness"][0]["name"] == "A. Surveyor"
    assert export_faults(export) == []
    export["overhauls"][0]["witness"][0]["content"] = "{}"
    assert any("what I. Brandreth signed" in fault for fault in export_faults(export))
    assert [row[5].value for row in sheet.iter_rows(min_row=2)][-1] == "witnessed: decided"
    assert "Witnessed: decided" in timeline
    with book.reading() as session:
        assert (verify_evidence(session), signature_faults(session)) == ([], [])


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"name": " "}, "This is needed."),
        ({"body": "x" * 81}, "At most 80 characters."),
        ({"password": "not mine"}, "password."),
        ({"meaning": "gauged"}, "Choose the signature that was witnessed."),
    ],
)
def test_what_is_missing_is_refused_beside_its_field(book: Book, typed: dict[str, str], said: str) -> None:
    shop = Workshop(book).decided()

    assert said in enter(shop, 422, **typed)
    assert shop.overhaul.witnesses == ()


def test_each_signature_has_one_witness_entered_by_whoever_gave_it(book: Book) -> None:
    shop = Workshop(book).decided()
    other = shop.visitor("R. Osk")
    other.get(shop.url("/witness"))
    enter(shop)

    other.post(shop.url("/witness"), TYPED, 403)
    shop.chief.get(shop.url("/witness"))
    again = shop.chief.post(shop.url("/witness"), TYPED)
    shop.chief.post(shop.url("/witness"), TYPED | {"meaning": "returned to service, chief engineer"}, 409)

    assert "Nothing was changed: this page says what stands already" in shop.chief.follow(again).text
    assert [each.name for each in shop.overhaul.witnesses] == ["A. Surveyor"]
    assert not has_form(other.get(shop.url("/witness")).text, shop.url("/witness"))
