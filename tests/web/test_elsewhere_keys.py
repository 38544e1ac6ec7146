"""Tests of whose key a bundle from elsewhere is signed by, and of bundles that own records or older versions make."""

import io
import json
import zipfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from app.actions.exports import wanted_record
from app.actions.verifying import verify_book
from app.domain.site_seal import fingerprint
from app.reports.verifier import export_faults, faults_of
from app.settings import Settings
from app.store.book import Book
from app.store.chain import list_entries
from app.store.migration import migrate
from app.store.overhauls import get_overhaul
from app.store.rebuilt import rebuild
from app.store.site_signatures import current_public_key
from tests.builders import a_book
from tests.pictures import a_picture
from tests.web.test_elsewhere import a_bundle, bring
from tests.web.test_photos import send
from tests.web.visitor import Visitor, a_chief, words_of
from tests.web.workshop import Workshop


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Workshop]:
    """The other site: an overhaul gauged, with a photo."""
    with closing(a_book(tmp_path / "there")) as other:
        shop = Workshop(other).safe()
        send(shop, a_picture(), note="Worn at its end")
        yield shop.all_gauged()


def test_bundle_says_by_whose_key_it_is_signed_and_whether_that_key_is_known_here(book: Book, there: Workshop) -> None:
    chief = a_chief(book)
    with there.book.reading() as session:
        own = fingerprint(current_public_key(session))
    brought = words_of(bring(chief, a_bundle(there)).text)

    def mark(status: int = 303, **typed: str) -> str:
        chief.get("/elsewhere")
        chief.post("/elsewhere/known", {"fingerprint": own, "name": "Ballast Yard", "known": "yes"} | typed, status)
        return words_of(chief.page if status == 422 else chief.get("/elsewhere").text)

    refused = mark(422, fingerprint="6668-7aad", name="")
    known, record = mark(fingerprint=own.upper().replace("-", " ")), words_of(_record(chief))
    again = mark(known="no")

    assert f"signed by the key {own}, which nobody here has marked as known" in brought
    assert "Type the eight groups of four digits" in refused
    assert "Name the site" in refused
    assert f"signed by the key {own}, known as Ballast Yard, by I. Brandreth" in known
    assert f"signed by the key {own}, known as Ballast Yard" in record
    assert f"signed by the key {own}, NO LONGER KNOWN" in again
    with book.reading() as session:
        (kept,) = [each for each in list_entries(session) if each.what == "bundle brought in"]
        marks = [each.what for each in list_entries(session, f"key {own}")]
    assert json.loads(kept.new)["key"] == own
    assert marks == ["site key no longer known", "site key known"]
    assert verify_book(book, Settings(data_folder=book.path.parent)).faults == ()


def test_own_record_is_exported_without_those_of_other_books_and_its_bundle_verifies(
    book: Book, there: Workshop, tmp_path: Path
) -> None:
    shop = Workshop(book).all_gauged()
    bring(shop.chief, a_bundle(there))  # its overhaul has the number that the own one has

    bundle = tmp_path / "own.zip"
    bundle.write_bytes(a_bundle(shop, wanted_record(book, shop.id)))
    whole = tmp_path / "book.zip"
    whole.write_bytes(a_bundle(shop))

    assert (faults_of(bundle), faults_of(whole)) == ([], [])


def test_export_of_a_version_that_knew_less_is_read_and_held_all_the_same(there: Workshop, tmp_path: Path) -> None:
    with zipfile.ZipFile(io.BytesIO(a_bundle(there))) as packed:
        export = json.loads(packed.read("export.json"))
        pictures = {name: packed.read(name) for name in packed.namelist() if name.startswith("photos/")}
    for name in ("known_site", "sheet_approval", "foreign_bundle", "foreign_record"):
        del export[name]
        export["entered_as"].pop(name)
    export["entries"] = [each for each in export["entries"] if each["what"] != "sheet approved"]
    assert "foreign_record" not in export["overhauls"][0]
    for overhaul in export["overhauls"]:
        for name in ("amendment", "amendment_answer", "witness"):
            del overhaul[name]
        for rows, column in (("photo", "taken_at"), ("reading", "correction")):
            for row in overhaul[rows]:
                row.pop(column)

    again = rebuild(export, lambda name: pictures[f"photos/{name}.jpg"], tmp_path)
    with closing(again), again.reading() as session:
        count = len(get_overhaul(session, 1).readings)

    assert count == len(there.overhaul.readings)
    assert [fault for fault in export_faults({**export, "scope": "GA-1"}) if "KeyError" in fault] == []


def _record(chief: Visitor) -> str:
    """The page of the record from elsewhere."""
    return chief.get("/elsewhere/1/overhauls/1/record").text


def test_bundle_that_no_key_signed_says_so(book: Book, there: Workshop, tmp_path: Path) -> None:
    with closing(Book(tmp_path / "bare" / "wearbook.db")) as bare:
        migrate(bare)
        said = words_of(bring(a_chief(book), a_bundle(Workshop(bare).all_gauged())).text)

    assert "signed by no key: anybody could have made it" in said
