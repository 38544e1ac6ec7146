"""Approving a revision on its page: a seal by password, a picture of its source page, shown and exported."""

import io
import zipfile
from hashlib import sha256

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from app.domain.overhaul import Meaning
from app.reports.verifier import export_faults
from app.store.book import Book
from app.store.evidence import verify_evidence
from app.store.site_signatures import signature_faults
from tests.builders import PASSWORD, a_machine, a_sheet, a_sheet_text, sign_all
from tests.builders import approve as sign_sheet
from tests.pictures import a_photo_with_its_place
from tests.web.visitor import a_visitor, words_of
from tests.web.workshop import BEFORE, OPENED_AT, Workshop

PAGE = "/sheets/QM-GA/C"
JPEG = "image/jpeg"


def approve(shop: Workshop, content: bytes = b"", status: int = 303, password: str = PASSWORD) -> str:
    files = {"photo": ("page.jpg", content, JPEG)}
    shop.chief.get(PAGE)
    shop.chief.post(f"{PAGE}/approval", {"password": password}, status, files=files)
    return words_of(shop.chief.page)


def test_approved_revision_shows_its_seal_and_the_picture_of_its_page_and_is_exported(book: Book) -> None:
    shop = Workshop(book, is_approved=False).returned()
    before = words_of(shop.auditor.get(PAGE).text)
    approve(shop, a_photo_with_its_place())

    page = shop.auditor.get(PAGE).text
    export = shop.auditor.get(shop.url("/export.json")).json()
    (row,) = export["sheet_approval"]
    picture = shop.auditor.get(f"/photos/{row['picture']}").content
    bundle = zipfile.ZipFile(io.BytesIO(shop.auditor.get(shop.url("/export.zip")).content))

    assert "Not signed yet" in before
    assert "Approved with a signature" in words_of(page)
    assert "Signed by I. Brandreth" in words_of(page)
    assert row["sheet_digest"] == sha256(a_sheet_text().encode()).hexdigest()
    assert sha256(picture).hexdigest() == row["picture"]
    assert b"Invented Tablet 7" not in picture
    assert bundle.read(f"photos/{row['picture']}.jpg") == picture
    assert export_faults(export) == []
    export["sheet_approval"][0]["content"] = "{}"
    assert any("The approval of a sheet" in fault for fault in export_faults(export))
    assert "Limit sheet approved by I. Brandreth" in words_of(shop.auditor.get("/machines/GA-1/timeline").text)
    with book.reading() as session:
        assert (verify_evidence(session), signature_faults(session)) == ([], [])


@pytest.mark.parametrize(
    ("content", "password", "field"),
    [(b"no picture", PASSWORD, "f-photo-error"), (b"", "not mine", "f-password-error")],
)
def test_what_is_no_picture_and_a_wrong_password_are_refused(
    book: Book, content: bytes, password: str, field: str
) -> None:
    shop = Workshop(book, is_approved=False)

    approve(shop, content, 422, password)

    assert f'id="{field}"' in shop.chief.page
    assert "Not signed yet" in words_of(shop.auditor.get(PAGE).text)


def test_each_chief_engineer_approves_once_and_a_revision_that_is_not_there_is_none(book: Book) -> None:
    shop = Workshop(book, is_approved=False)
    approve(shop)

    again = shop.chief.post(f"{PAGE}/approval", {"password": PASSWORD})
    shop.chief.post("/sheets/QM-GA/Z/approval", {"password": PASSWORD}, 404)

    page = words_of(shop.chief.follow(again).text)
    assert "Nothing was changed: this page says what stands already" in page
    assert page.count("Signed by I. Brandreth") == 1


def test_decisions_are_not_signed_by_limits_that_nobody_has_signed_and_every_page_says_so(book: Book) -> None:
    shop = Workshop(book, is_approved=False).gauged()
    pages = [words_of(shop.auditor.get(shop.url(page)).text) for page in ("/gauge/2.pin/diameter", "/decide")]
    shop.chief.get(shop.url("/decide"))
    form = {"meaning": "decided", "password": PASSWORD}

    refused = words_of(shop.chief.follow(shop.chief.post(shop.url("/signatures"), form)).text)
    draft = words_of(shop.auditor.get(shop.url("/record")).text)
    approve(shop)
    shop.visitor("R. Osk").get(shop.url("/decide"))
    shop.sign(shop.chief, "/decide")

    assert all("limits not approved by signature" in page for page in pages)
    assert "Approve QM-GA rev C by signature" in pages[1]
    assert "limits not approved by signature: QM-GA rev C" in refused
    assert "LIMITS NOT APPROVED BY SIGNATURE" in draft
    record = words_of(shop.auditor.get(shop.url("/record")).text)
    assert "limits approved by signature : I. Brandreth" in record
    assert "NOT APPROVED" not in record
    assert shop.overhaul.signature(Meaning.DECIDED) is not None


def test_opening_on_limits_that_nobody_has_signed_says_so_before(book: Book) -> None:
    a_machine(book, at=BEFORE)
    fitter, asked = a_visitor(book), "/machines/GA-1/open"
    before = words_of(fitter.get(asked).text)
    sign_sheet(book, a_sheet(book))

    assert "Its limits are not approved by signature" in before
    assert "not approved by signature" not in words_of(fitter.get(asked).text)


def test_sheet_that_judged_before_signatures_were_asked_for_goes_on_and_its_records_say_so(book: Book) -> None:
    shop = Workshop(book, is_approved=False).returned()
    sheet = words_of(shop.auditor.get(PAGE).text)
    again = shop.opened_again("4000").all_gauged()
    sign_all(book, again.id, OPENED_AT, (Meaning.GAUGED,))
    again.sign(again.chief, "/decide")

    record = words_of(again.auditor.get(again.url("/record")).text)
    pdf = PdfReader(io.BytesIO(again.auditor.get(again.url("/record.pdf")).content)).pages[0].extract_text()
    workbook = load_workbook(io.BytesIO(again.auditor.get(again.url("/export.xlsx")).content))

    assert "Decisions were signed by it before signatures were asked for" in sheet
    assert "LIMITS NOT APPROVED BY SIGNATURE" in record
    assert "LIMITS NOT APPROVED BY SIGNATURE" in " ".join(pdf.split())
    assert "limits not approved by signature: QM-GA rev C" in [row[5] for row in workbook["signatures"].values]


def test_approval_that_came_after_the_decisions_says_so(book: Book) -> None:
    shop = Workshop(book, is_approved=False).returned()
    approve(shop)

    record = words_of(shop.auditor.get(shop.url("/record")).text)

    assert "limits approved by signature ONLY AFTER THE DECISIONS WERE SIGNED : I. Brandreth" in record
