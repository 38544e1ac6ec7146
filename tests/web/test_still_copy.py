"""Tests of the book as plain files."""

import re
from pathlib import Path

import pytest

from app.__main__ import main
from app.store.book import Book
from app.web.still_copy import NotCopied, write_still_copy
from tests.pictures import a_picture
from tests.web.test_photos import send
from tests.web.visitor import Visitor, audit, words_of
from tests.web.workshop import Workshop


def test_copy_holds_every_machine_sheet_and_record_and_each_link_leads_to_a_file(book: Book, tmp_path: Path) -> None:
    shop = Workshop(book).decided()
    folder = tmp_path / "copy"

    count = write_still_copy(shop.app, folder)

    pages = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.html")}
    links = {link for text in pages.values() for link in re.findall(r'(?:href|src)="([^"#]+)', text)}
    assert {"index.html", "machines--GA-1.html", "sheets.html", "overhauls--1--record.html"} <= set(pages)
    assert count == len(pages)
    assert [link for link in links if not (folder / link).is_file()] == []
    assert not list(folder.rglob("*.js"))


def test_record_in_the_copy_says_what_the_page_says_and_does_nothing(book: Book, tmp_path: Path) -> None:
    shop = Workshop(book).decided()
    page = words_of(shop.auditor.get(shop.url("/record")).text)

    write_still_copy(shop.app, tmp_path / "copy")

    record = (tmp_path / "copy" / "overhauls--1--record.html").read_text(encoding="utf-8")
    body = page.split("Dark Light")[1].split("Hand over")[0].strip()
    assert body[:3000] in words_of(record)
    assert "Read-only copy of the book, written" in record
    assert re.findall(r"<(?:script|form|button|template|dialog)|csrf", record) == []
    assert audit(record) == []


def test_photo_on_a_record_is_in_the_copy_as_it_is_in_the_book(book: Book, tmp_path: Path) -> None:
    shop = Workshop(book).safe()
    send(shop, a_picture())

    write_still_copy(shop.app, tmp_path / "copy")

    record = (tmp_path / "copy" / "overhauls--1--record.html").read_text(encoding="utf-8")
    (source,) = set(re.findall(r'<img[^>]*src="([^"]+)"', record))
    shown = shop.auditor.client.get(f"/photos/{source.removeprefix('photos--')}")
    assert (tmp_path / "copy" / source).read_bytes() == shown.content


def test_copy_goes_over_no_other_files_and_the_program_still_asks_who_one_is(book: Book, tmp_path: Path) -> None:
    shop = Workshop(book)
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_text("mine")

    with pytest.raises(NotCopied, match="is not empty"):
        write_still_copy(shop.app, tmp_path / "full")
    write_still_copy(shop.app, tmp_path / "copy")

    outside = Visitor(shop.app).client.get("/people", headers={"wearbook.within": "yes"}, follow_redirects=False)
    assert outside.status_code == 303


def test_copy_is_written_by_a_command(book: Book, tmp_path: Path, monkeypatch, capsys) -> None:
    Workshop(book)
    book.close()
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(book.path.parent))

    assert main(["export-html", str(tmp_path / "copy")]) == 0
    assert "pages are written" in capsys.readouterr().out
