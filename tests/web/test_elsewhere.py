"""Tests of records of other books: verified, kept as they came, read-only, and never merged with what is held."""

import io
import json
import zipfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from httpx2 import Response

from app.__main__ import main
from app.actions.elsewhere import bring_in, rebuilt
from app.actions.export_files import Circumstances, Form, export_file
from app.actions.exports import Wanted, wanted_record
from app.actions.instruments import add_instrument, calibrate
from app.actions.machines import machine_states
from app.actions.people import person_named
from app.actions.verifying import verify_book
from app.settings import Settings
from app.store.book import Book
from app.store.foreign import save_bundle
from tests.builders import a_book, a_reading
from tests.pictures import a_picture
from tests.web.forms import said_beside
from tests.web.test_photos import send
from tests.web.visitor import a_chief, words_of
from tests.web.workshop import OPENED_AT, Workshop

NOW = datetime(2031, 4, 5, tzinfo=UTC)


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Workshop]:
    """The other site: an overhaul gauged, with a photo."""
    with closing(a_book(tmp_path / "there")) as other:
        shop = Workshop(other).safe()
        send(shop, a_picture(), note="Worn at its end")
        yield shop.all_gauged()


def a_bundle(shop: Workshop, wanted: Wanted | None = None, form: Form = Form.BUNDLE) -> bytes:
    """What the other site exports."""
    around = Circumstances("S. Venn", NOW, "UTC", False)
    return b"".join(export_file(shop.book, wanted or Wanted(), form, around).content)


def bring(visitor: object, content: bytes, status: int = 200) -> Response:
    """Send a bundle by the page's form."""
    visitor.get("/elsewhere")
    return visitor.post("/elsewhere", None, status, files={"file": ("book.zip", content, "application/zip")})


def lists_of(export: bytes) -> dict[str, object]:
    """What an export says, without when it was made."""
    return {name: value for name, value in json.loads(export).items() if name not in ("made_at", "made_by")}


def test_bundle_is_kept_under_its_site_and_its_records_are_read_as_the_other_site_reads_them(
    book: Book, there: Workshop
) -> None:
    chief = a_chief(book)
    words = words_of(there.auditor.get("/overhauls/1/record").text)

    said = bring(chief, a_bundle(there)).text

    assert "Kept as bundle 1: 1 new." in said
    assert 'href="/elsewhere/1/overhauls/1/record"' in said
    record = chief.get("/elsewhere/1/overhauls/1/record").text
    assert "Read-only: a record of Quillmoor" in record
    assert words.split("Dark Light")[1].split("Hand over")[0].strip()[:3000] in words_of(record)
    assert not any(word in record for word in ("<form", "<script", "csrf"))
    for path in (
        "",
        "machines/GA-1",
        "machines/GA-1/timeline",
        "machines/GA-1/readings",
        "entries",
        "overhauls/1/record.pdf",
    ):
        chief.get(f"/elsewhere/1/{path}")


@pytest.mark.about_files
def test_record_of_another_site_says_what_its_instruments_were_worth_there(book: Book, there: Workshop) -> None:
    chief, other = a_chief(book), person_named(there.book, "I. Brandreth")
    gauge = {"name": "F-03", "method": "feeler", "measures": "0.05 to 1 mm", "resolution": "0.05 mm"}
    number = add_instrument(there.book, other, gauge | {"permissible_error": "0.004 mm"}, OPENED_AT)
    day = OPENED_AT.date()
    typed = {"on": str(day - timedelta(days=9)), "due": str(day + timedelta(days=90)), "certificate": "K-7"}
    calibrate(there.book, other, number, typed, UTC, OPENED_AT)

    bring(chief, a_bundle(there, wanted_record(there.book, there.id)))

    assert "certificate K-7" in words_of(chief.get("/elsewhere/1/overhauls/1/record").text)


@pytest.mark.about_files
def test_links_and_photos_of_a_foreign_page_stay_within_its_bundle(book: Book, there: Workshop) -> None:
    chief = a_chief(book)
    bring(chief, a_bundle(there))

    record = chief.get("/elsewhere/1/overhauls/1/record").text

    digest = there.overhaul.photos[0].digest
    shown = chief.get(f"/elsewhere/1/photos/{digest}")
    links = {link.split('"')[0] for link in record.split('href="')[1:]}
    assert f'src="/elsewhere/1/photos/{digest}"' in record
    assert shown.content == there.auditor.get(f"/photos/{digest}").content
    assert {link for link in links if not link.startswith(("/elsewhere", "/static/", "#"))} == set()


def test_nothing_of_it_stands_among_this_books_own_and_the_book_stays_whole(book: Book, there: Workshop) -> None:
    chief = a_chief(book)

    bring(chief, a_bundle(there))

    assert machine_states(book) == []
    assert verify_book(book, Settings(data_folder=book.path.parent)).faults == ()
    assert "Machines of Quillmoor" in chief.get("/elsewhere").text
    assert "GA-1" not in words_of(chief.get("/").text)


@pytest.mark.about_files
def test_json_that_goes_out_is_to_the_letter_what_came_in(book: Book, there: Workshop) -> None:
    chief = a_chief(book)
    content = a_bundle(there)
    bring(chief, content)

    given = chief.get("/elsewhere/1/export.json").content

    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        assert given == packed.read("export.json")
    assert chief.get("/elsewhere/1/bundle.zip").content == content


@pytest.mark.parametrize("scope", ["book", "machine", "record"])
def test_book_made_from_a_bundle_exports_what_the_bundle_says(there: Workshop, tmp_path: Path, scope: str) -> None:
    wanted = {"book": Wanted(), "machine": Wanted("GA-1"), "record": wanted_record(there.book, there.id)}[scope]
    content = a_bundle(there, wanted)

    with closing(rebuilt(content, tmp_path / "rebuilt")) as again:
        out = b"".join(export_file(again, wanted, Form.JSON, Circumstances("X", NOW, "UTC", False)).content)

    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        came, goes = lists_of(packed.read("export.json")), lists_of(out)
    came.pop("head"), goes.pop("head")  # that of a whole chain, of which a record has a part
    assert goes == came


def test_same_records_again_are_kept_once(book: Book, there: Workshop) -> None:
    chief = a_chief(book)
    bring(chief, a_bundle(there))

    again = [bring(chief, a_bundle(there)).text, bring(chief, a_bundle(there, Wanted("GA-1"))).text]

    assert ["every record in it is here already" in said for said in again] == [True, True]
    assert chief.get("/elsewhere").text.count('<h2 id="bundle-') == 1


def test_later_state_of_a_record_is_kept_beside_the_one_before(book: Book, there: Workshop) -> None:
    chief = a_chief(book)
    bring(chief, a_bundle(there))
    there.key_in(there.fitter, "2.pin/diameter", value="21.980")

    said = bring(chief, a_bundle(there)).text

    assert "Kept as bundle 2: 1 a later state." in said
    assert "21.980" not in chief.get("/elsewhere/1/overhauls/1/record").text
    assert "21.980" in chief.get("/elsewhere/2/overhauls/1/record").text


@pytest.mark.about_files
def test_bundle_that_contradicts_what_is_held_is_refused_and_named(book: Book, there: Workshop, tmp_path: Path) -> None:
    chief = a_chief(book)
    bring(chief, a_bundle(there))
    with closing(a_book(tmp_path / "other")) as other:
        content = a_bundle(Workshop(other).all_gauged(a_reading("2.pin", "diameter", "21.985", OPENED_AT)))

    answer = bring(chief, content, 422)

    said = said_beside(answer.text, "file")
    assert "contradicts what is held of: Quillmoor, GA-1, overhaul 1, held since bundle 1" in said
    assert chief.get("/elsewhere").text.count('<h2 id="bundle-') == 1


@pytest.mark.about_files
def test_what_is_changed_is_no_bundle_or_is_from_this_very_book_is_refused_in_words(
    book: Book, there: Workshop
) -> None:
    shop = Workshop(book).all_gauged()
    content = a_bundle(there)
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        files = {name: packed.read(name) for name in packed.namelist()}
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for name, each in files.items():
            packed.writestr(name, each.replace(b"M. Tarrow", b"N. Tarrow") if name == "export.json" else each)

    refused = [said_beside(bring(shop.chief, each, 422).text, "file")
               for each in (out.getvalue(), b"PK no", b"", a_bundle(shop))]  # fmt: skip

    assert "export.json was changed" in refused[0]
    assert "This is no bundle" in refused[1]
    assert "Choose the bundle" in refused[2]
    assert "from this very book" in refused[3]
    assert "Nothing was brought in yet" in shop.chief.get("/elsewhere").text


def test_bundle_that_cannot_be_read_any_more_is_refused_in_words(book: Book) -> None:
    chief = a_chief(book)
    about: dict[str, object] = {"site": "Quillmoor", "scope": "book", "made_at": "2031-04-05", "made_by": "S. Venn"}
    with book.writing("I. Brandreth", NOW) as writing:
        save_bundle(writing, b"PK no", about | {"head_seq": 1, "head_digest": "digest"}, [])

    answers = [chief.get(f"/elsewhere/1/{path}", 404) for path in ("", "export.json")]

    assert ["This bundle cannot be read" in answer.text for answer in answers] == [True, True]


@pytest.mark.about_files
def test_page_that_is_not_of_a_record_is_not_shown_of_another_book(book: Book, there: Workshop) -> None:
    chief = a_chief(book)
    bring(chief, a_bundle(there))

    pages = ("people", "settings", "machines/new", "overhauls/1/gauge", "overhauls/9/record", "backups", "sign-out")

    assert [chief.get(f"/elsewhere/1/{path}", 404).status_code for path in pages] == [404] * len(pages)


def test_command_brings_a_bundle_in_under_a_name(
    book: Book, there: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    Workshop(book)
    there.key_in(there.fitter, "2.pin/diameter", value="21.980")
    (tmp_path / "book.zip").write_bytes(a_bundle(there))
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(book.path.parent))
    if not book.is_file:
        monkeypatch.setenv("WEARBOOK_DATABASE_URL", book.url.render_as_string(hide_password=False))

    statuses = [main(["import-bundle", str(tmp_path / "book.zip"), "--by", by]) for by in ("M. Tarrow", "R. Osk")]

    said = capsys.readouterr()
    assert statuses == [1, 0]
    assert "may not bring in records of other books" in said.err
    assert "Kept as bundle 1: 1 new." in said.out


@pytest.mark.about_files
def test_fitter_may_not_bring_in_what_a_chief_engineer_may(book: Book, there: Workshop) -> None:
    shop = Workshop(book)
    by = person_named(book, "M. Tarrow")

    with pytest.raises(Exception, match="may not bring in records of other books"):
        bring_in(book, by, a_bundle(there), NOW)

    assert "Bundle of another book" not in shop.fitter.get("/elsewhere").text
