"""Tests of exports, each read back by an independent reader."""

import csv
import io
import json
import zipfile
from datetime import UTC

from jsonschema import Draft202012Validator
from openpyxl import load_workbook
from pypdf import PdfReader

from app.actions.instruments import add_instrument, calibrate
from app.actions.people import person_named
from app.domain.overhaul import Meaning
from app.reports.verifier import export_faults
from app.store.book import Book
from tests.builders import a_reading, enter, sign_all
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

FORMULAS = ('=cmd|"/c calc"!A1', "+1+1 is no reading", "-2+3 is no reading", "@SUM(A1:A9)")


def a_hostile_shop(book: Book) -> Workshop:
    """A closed overhaul in which somebody typed formulas for reasons."""
    shop = Workshop(book).all_gauged()
    places = ("2.pin/diameter", "2.bush/diameter", "2.piston/skirt", "2.head/bumping-clearance")
    for place, reason in zip(places, FORMULAS, strict=True):
        shop.key_in(shop.fitter, place, how="cannot", reason=reason)
    return shop


def test_page_offers_the_book_each_machine_and_each_overhaul_in_every_form(book: Book) -> None:
    shop = Workshop(book).returned()

    page = shop.auditor.get("/exports").text

    bases = ("/exports/book", "/machines/GA-1/export", "/overhauls/1/export")
    assert [f'href="{base}.{form}"' in page for base in bases for form in ("csv", "xlsx", "json", "zip")] == [True] * 12


def test_json_keeps_to_its_published_schema(book: Book) -> None:
    shop = Workshop(book).returned()

    schema = shop.auditor.get("/exports/schema.json").json()
    exports = [shop.auditor.get(url).json() for url in ("/exports/book.json", shop.url("/export.json"))]

    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    assert [error.message for export in exports for error in validator.iter_errors(export)] == []
    exports[0]["overhauls"][0]["reading"][0]["value"] = 0.7
    assert not validator.is_valid(exports[0])


def test_export_of_the_book_holds_every_entry_and_no_digest_of_a_password(book: Book) -> None:
    shop = Workshop(book).returned()

    answer = shop.auditor.get("/exports/book.json")

    export = answer.json()
    assert [entry["seq"] for entry in export["entries"]] == list(range(1, export["head"]["seq"] + 1))
    assert len(export["overhauls"][0]["reading"]) == len(shop.overhaul.readings)
    assert "argon2" not in answer.text
    assert "password_digest" not in answer.text


def test_export_of_a_record_holds_that_record_alone(book: Book) -> None:
    first = Workshop(book).returned()
    again = first.opened_again("4000")

    export = first.auditor.get(again.url("/export.json")).json()

    assert [overhaul["number"] for overhaul in export["overhauls"]] == [2]
    assert {entry["subject"] for entry in export["entries"]} == {
        "machine GA-1",
        "overhaul 2",
        "sheet QM-GA rev C",
        "site key",
    }
    assert export["people"] == []


def test_export_of_a_record_holds_what_it_was_gauged_with_and_no_other_instrument(book: Book) -> None:
    shop = Workshop(book).returned()
    chief = person_named(book, "I. Brandreth")
    gauge = {"method": "feeler", "measures": "0.05 to 1 mm", "resolution": "0.05 mm", "permissible_error": "0.004 mm"}
    for name in ("F-03", "F-99"):
        number = add_instrument(book, chief, gauge | {"name": name}, OPENED_AT)
        typed = {"on": "2025-01-08", "due": "2034-01-08", "certificate": f"K of {name}", "error_mm": ""}
        calibrate(book, chief, number, typed, UTC, OPENED_AT)

    export = shop.auditor.get(shop.url("/export.json")).json()

    assert [each["name"] for each in export["instrument"]] == ["F-03"]
    assert [each["certificate"] for each in export["calibration"]] == ["K of F-03"]
    assert "instrument F-99" not in {entry["subject"] for entry in export["entries"]}
    assert export_faults(export) == []


def test_verdicts_of_a_signed_record_are_exported_as_they_were_signed(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    before = shop.auditor.get(shop.url("/export.json")).json()["overhauls"][0]["verdicts"]
    sign_all(book, shop.id, OPENED_AT, (Meaning.GAUGED, Meaning.DECIDED))

    after = shop.auditor.get(shop.url("/export.json")).json()["overhauls"][0]

    sealed = json.loads(after["signature"][1]["content"])["verdicts"]
    assert after["verdicts"] == before
    assert [verdict["verdict"] for verdict in after["verdicts"]] == [verdict["verdict"] for verdict in sealed]


def test_csv_holds_every_reading_as_written_and_no_formula(book: Book) -> None:
    shop = a_hostile_shop(book)

    answer = shop.fitter.get(shop.url("/export.csv"))

    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert [row["id"] for row in rows] == [reading.id for reading in shop.overhaul.readings]
    assert [row["reason"] for row in rows if row["reason"]] == [f"'{formula}" for formula in FORMULAS]
    assert sum(row["is_superseded"] == "yes" for row in rows) == 4
    assert 'filename="GA-1-1.csv"' in answer.headers["content-disposition"]


def test_csv_holds_second_looks_and_says_that_they_are_such(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    others = {"level": "worst place", "measured_by": "R. Osk", "entered_by": "R. Osk", "is_second_look": True}
    enter(book, shop.id, a_reading("2.ring-1", "closed-gap", "0.31", OPENED_AT, **others))

    rows = list(csv.DictReader(io.StringIO(shop.fitter.get(shop.url("/export.csv")).content.decode("utf-8-sig"))))

    assert [row["measured_by"] for row in rows if row["is_second_look"] == "yes"] == ["R. Osk"]


def test_workbook_holds_texts_and_numbers_and_never_a_formula(book: Book) -> None:
    shop = a_hostile_shop(book)
    shop.key_in(shop.fitter, "2.suction-valve/lift", value="1.75")

    content = shop.fitter.get(shop.url("/export.xlsx")).content

    read = load_workbook(io.BytesIO(content))
    cells = [cell for sheet in read for row in sheet.iter_rows() for cell in row]
    assert read.sheetnames == ["readings", "verdicts", "decisions", "steps", "fittings", "amendments", "signatures"]
    assert [cell.data_type for cell in cells if cell.data_type == "f"] == []
    assert {str(cell.value) for cell in cells} >= set(FORMULAS)
    assert read["readings"].max_row == len(shop.overhaul.readings) + 1
    assert b"<f>" not in zipfile.ZipFile(io.BytesIO(content)).read("xl/worksheets/sheet1.xml")


def test_bundle_holds_data_records_schema_manifest_and_verifier(book: Book) -> None:
    shop = Workshop(book).returned()

    content = shop.auditor.get("/machines/GA-1/export.zip").content

    bundle = zipfile.ZipFile(io.BytesIO(content))
    manifest = json.loads(bundle.read("manifest.json"))
    assert bundle.testzip() is None
    assert {file["path"] for file in manifest["files"]} | {"manifest.json", "manifest.sig"} == set(bundle.namelist())
    assert "records/GA-1-1.pdf" in bundle.namelist()
    assert PdfReader(io.BytesIO(bundle.read("records/GA-1-1.pdf"))).metadata.title == "Record of overhaul 1: GA-1"


def test_export_of_what_is_not_in_the_book_is_refused_before_the_first_byte(book: Book) -> None:
    shop = Workshop(book)

    assert [shop.auditor.get(url, 404).status_code for url in ("/machines/GA-9/export.zip", "/overhauls/9/export.csv")]


def test_page_of_a_whole_book_says_so_with_the_last_entry(book: Book) -> None:
    shop = Workshop(book).returned()
    head = shop.auditor.get("/exports/book.json").json()["head"]

    words = words_of(shop.auditor.get("/verify").text)

    assert "Nothing was changed" in words
    assert head["digest"] in words


def test_page_names_what_was_changed_behind_the_book(book: Book) -> None:
    shop = Workshop(book).all_gauged(a_reading("2.pin", "diameter", "21.980", OPENED_AT))
    with book.noting() as session:
        connection = session.connection()
        connection.exec_driver_sql("DROP TRIGGER reading_refuses_update")
        connection.exec_driver_sql("UPDATE reading SET value = '21.99' WHERE value = '21.980'")

    words = words_of(shop.auditor.get("/verify").text)

    assert "1 thing is not as written" in words
    assert f"reading, row {len(shop.overhaul.readings)}" in words
