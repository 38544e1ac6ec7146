"""Approving a revision on its page: a seal by password, a picture of its source page, shown and exported."""

import io
import zipfile
from hashlib import sha256

import pytest

from app.reports.verifier import export_faults
from app.store.book import Book
from app.store.evidence import verify_evidence
from app.store.site_signatures import signature_faults
from tests.builders import PASSWORD, a_sheet_text
from tests.pictures import a_photo_with_its_place
from tests.web.visitor import words_of
from tests.web.workshop import Workshop

PAGE = "/sheets/QM-GA/C"
JPEG = "image/jpeg"


def approve(shop: Workshop, content: bytes = b"", status: int = 303, password: str = PASSWORD) -> str:
    files = {"photo": ("page.jpg", content, JPEG)}
    shop.chief.get(PAGE)
    shop.chief.post(f"{PAGE}/approval", {"password": password}, status, files=files)
    return words_of(shop.chief.page)


def test_approved_revision_shows_its_seal_and_the_picture_of_its_page_and_is_exported(book: Book) -> None:
    shop = Workshop(book).returned()
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
    shop = Workshop(book)

    approve(shop, content, 422, password)

    assert f'id="{field}"' in shop.chief.page
    assert "Not signed yet" in words_of(shop.auditor.get(PAGE).text)


def test_each_chief_engineer_approves_once_and_a_revision_that_is_not_there_is_none(book: Book) -> None:
    shop = Workshop(book)
    approve(shop)

    shop.chief.post(f"{PAGE}/approval", {"password": PASSWORD}, 409)
    shop.chief.post("/sheets/QM-GA/Z/approval", {"password": PASSWORD}, 404)

    assert words_of(shop.chief.get(PAGE).text).count("Signed by I. Brandreth") == 1
