"""Tests of the record as a PDF, read back by an independent reader."""

import io
import re
from dataclasses import replace
from datetime import timedelta

from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject

from app.domain.days import date_words
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.builders import a_reading, decide, enter, fit
from tests.pictures import a_picture
from tests.web.test_photos import send, withdraw
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop, a_decision

HOSTILE = '#read("/etc/passwd") $x$ *b* \\ [] @x <a> '
STRANGE = "😀 🛠 漢 \u202eab שלום مرحبا"


def pdf_of(shop: Workshop) -> PdfReader:
    """The record as the reader sees it."""
    answer = shop.fitter.get(shop.url("/record.pdf"))
    assert answer.headers["content-type"] == "application/pdf"
    return PdfReader(io.BytesIO(answer.content))


def words(reader: PdfReader) -> str:
    """All words of a document, each run of spaces as one."""
    text = "\n".join(page.extract_text() for page in reader.pages).replace("\u200b", "").replace("\N{SOFT HYPHEN}", "")
    return " ".join(text.split())


def tags(reader: PdfReader) -> list[DictionaryObject]:
    """Every element of the structure tree."""
    found: list[DictionaryObject] = []

    def walk(node: object) -> None:
        whole = node.get_object() if isinstance(node, IndirectObject) else node
        if isinstance(whole, list):
            for each in whole:
                walk(each)
        elif isinstance(whole, DictionaryObject):
            found.append(whole)
            walk(whole.get("/K"))

    walk(reader.trailer["/Root"]["/StructTreeRoot"])
    return found


def test_signed_record_says_in_itself_that_it_is_archival_and_accessible(book: Book) -> None:
    reader = pdf_of(Workshop(book).returned())

    xmp = reader.xmp_metadata.stream.get_data().decode()
    root = reader.trailer["/Root"]
    assert re.search(r"<pdfaid:part>2<.*<pdfaid:conformance>B<", xmp, re.DOTALL)
    assert "<pdfuaid:part>1<" in xmp
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 - an object of the reader
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert reader.metadata.title == "Record of overhaul 1: GA-1"


def test_signed_record_holds_every_signature_with_its_digest_and_no_word_of_a_draft(book: Book) -> None:
    shop = Workshop(book).returned()

    text = words(pdf_of(shop))

    assert "DRAFT" not in text
    assert [signature.digest in text.replace(" ", "") for signature in shop.overhaul.signatures] == [True] * 4
    assert "not signed" not in text


def test_record_is_filed_under_machine_and_number_and_says_when_it_is_a_draft(book: Book) -> None:
    shop = Workshop(book)

    draft = shop.fitter.get(shop.url("/record.pdf")).headers["content-disposition"]
    reader = pdf_of(shop)

    assert 'filename="GA-1-1-draft.pdf"' in draft
    assert reader.metadata.title.startswith("DRAFT, not signed.")
    assert ["DRAFT" in page.extract_text() for page in reader.pages] == [True] * len(reader.pages)
    assert "not confirmed" in words(reader)


def test_same_signed_record_is_the_same_file_every_time(book: Book) -> None:
    shop = Workshop(book).returned()

    first, second = (shop.fitter.get(shop.url("/record.pdf")).content for _ in range(2))

    assert first == second


def test_every_reading_stands_in_it_with_unit_instrument_and_person(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    typed = {"2.pin/diameter": "21,995", "2.bush/diameter": "0.867 in", "2.head/bumping-clearance": "0.50"}
    for place, value in typed.items():
        shop.key_in(shop.fitter, place, value=value, instrument="M-11", temperature="24")

    text = words(pdf_of(shop))

    missing = [r.written for r in shop.overhaul.readings if r.findings == () and r.written not in text]
    assert missing == []
    assert "21,995 mm" in text
    assert "0.867 in" in text
    assert text.count("as found: M-11, 24 °C; MT") == 3


def test_superseded_reading_is_struck_through_in_its_tags_too(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    shop.key_in(shop.fitter, "2.pin/diameter", value="21.980")

    reader = pdf_of(shop)
    assert "21.991 mm 21.980 mm" in words(reader)
    struck = [tag for tag in tags(reader) if "LineThrough" in str(tag.get("/A"))]
    assert len(struck) == 2  # beside the reading that counts, and among the corrections


def test_decision_concession_fitting_and_torque_stand_in_it(book: Book) -> None:
    worn = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")
    shop = Workshop(book).gauged(worn)
    decide(book, shop.id, replace(a_decision("2.pin", Verdict.RENEW), reason="Scored under the lamp."))
    fit(book, shop.id, "2.pin", OPENED_AT)
    enter(book, shop.id, a_reading("2.pin", "diameter", "21.998", OPENED_AT, occasion=Occasion.AS_FITTED))
    shop.closed_and_proved()

    text = words(pdf_of(shop))

    assert "Decided by" in text
    assert "Scored under the lamp." in text
    assert "as fitted: " in text
    assert "Every cover’s set-screw backed off" in text or "Every cover's set-screw backed off" in text
    assert "Stage 2 valve covers: 4 nuts crosswise to 22, 45, 75 N.m, oiled" in text
    assert "at most 0.65, table 4" in text


def test_every_picture_has_its_words_and_every_table_its_head(book: Book) -> None:
    reader = pdf_of(Workshop(book).returned())

    every = tags(reader)
    figures = [tag for tag in every if tag.get("/S") == "/Figure"]
    assert len(figures) >= 3  # the section, the plot of its rings, the code of the digest
    assert all(len(str(figure.get("/Alt", ""))) > 10 for figure in figures)
    assert len([t for t in every if t.get("/S") == "/TH"]) > len([t for t in every if t.get("/S") == "/Table"]) > 5


def test_photos_stand_in_it_small_with_words_and_the_digest_of_the_whole_picture(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    ring = next(r for r in shop.readings if r.place.part == "2.ring-1" and r.goes)
    send(shop, a_picture("JPEG", (1200, 800)), note="Worn at its end", reading=ring.id)
    send(shop, a_picture("JPEG", (30, 90)), note="Withdrawn again")
    withdraw(shop, "of another ring")

    reader = pdf_of(shop)

    standing = [photo for photo in shop.overhaul.photos if photo.stands]
    (picture,) = [image.image for page in reader.pages for image in page.images]
    alternatives = [str(tag["/Alt"]) for tag in tags(reader) if str(tag.get("/Alt", "")).startswith("Photo of")]
    assert [photo.digest in words(reader).replace(" ", "") for photo in standing] == [True]
    assert max(picture.size) <= 640
    assert len(alternatives) == 1
    assert standing[0].note in alternatives[0]


def test_status_of_each_instrument_on_its_days_stands_in_it_and_no_later_certificate_changes_a_signed_record(
    book: Book,
) -> None:
    shop = Workshop(book).returned()
    before = words(pdf_of(shop))

    shop.chief.post("/instruments", {"name": "F-03", "method": "feeler", "measures": "0.05 to 1 mm",
                                     "resolution": "0.05 mm", "permissible_error": "0.004 mm"})  # fmt: skip
    shop.chief.get("/instruments/1")
    on, due = OPENED_AT.date() - timedelta(days=9), OPENED_AT.date() + timedelta(days=300)
    shop.chief.post("/instruments/1", {"on": on.isoformat(), "due": due.isoformat(), "certificate": "K-7"})
    again = shop.opened_again("4000").all_gauged()

    assert "F-03 not in the register" in before
    assert words(pdf_of(shop)) == before
    assert f"in date, due {date_words(due)}, certificate K-7" in words(pdf_of(again))
    page = words_of(shop.auditor.get(shop.url("/record")).text)
    assert "F-03: not in the register" in page
    assert f"Known since it was signed: F-03: in date, due {date_words(due)}, certificate K-7" in page


def test_whatever_was_typed_is_printed_as_text(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    typed = {"2.pin": HOSTILE, "2.bush": STRANGE, "2.piston": "x" * 480, "2.head": "=cmd|'/c'!A1"}
    of = {"2.pin": "diameter", "2.bush": "diameter", "2.piston": "skirt", "2.head": "bumping-clearance"}
    for part, reason in typed.items():
        shop.key_in(shop.fitter, f"{part}/{of[part]}", how="cannot", reason=reason)

    seen = words(pdf_of(shop)).replace(" ", "")

    expected = [
        text.replace("🛠", "[U+1F6E0]").replace("漢", "[U+6F22]").replace("\u202e", "[U+202E]").replace(" ", "")
        for text in typed.values()
    ]
    # What runs to the left comes back in the reader's own order.
    assert [text for text in expected if text.partition("שלום")[0] not in seen] == []
    assert "root:" not in seen


def test_proving_run_stands_in_the_document(book: Book) -> None:
    shop = Workshop(book).returned()

    said = words(pdf_of(shop))

    assert "Run by M. Tarrow" in said
    assert "Within what the sheet says." in said
    assert "Pump-up 3: 20 to 40 bar in 500 s, air 22 to 31 °C." in said
