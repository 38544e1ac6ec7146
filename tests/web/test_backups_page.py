"""Tests of the page of backups, and of a failed backup being loud."""

from app.store.book import Book
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop


def test_chief_engineer_backs_up_and_everybody_sees_it(book: Book) -> None:
    shop = Workshop(book)
    shop.chief.get("/backups")

    page = shop.chief.follow(shop.chief.post("/backups"))
    auditors = shop.auditor.get("/backups")

    assert "Backed up, and the copy verified." in page.text
    assert "wearbook-" in auditors.text
    assert "Back up now" not in auditors.text


def test_failed_backup_is_told_on_every_page_until_one_is_taken(book: Book) -> None:
    shop = Workshop(book).safe()
    folder = book.path.parent / "backups"
    folder.write_text("a file where the folder should be")
    shop.chief.get("/backups")

    refused = shop.chief.post("/backups", {}, 503)
    pages = [shop.fitter.get(url).text for url in ("/", shop.url("/gauge/2.pin/diameter"))]
    folder.unlink()
    shop.chief.get("/backups")
    shop.chief.post("/backups")

    assert "The last backup failed" in words_of(refused.text)
    assert all("Backup failed" in words_of(page) for page in pages)
    assert "Backup failed" not in shop.fitter.get("/").text


def test_page_tells_of_another_copy_in_the_place_of_the_book(book: Book) -> None:
    shop = Workshop(book)
    before = words_of(shop.auditor.get("/backups").text)
    with book.writing("R. Osk", OPENED_AT) as writing:
        writing.enter("book restored", "book", None, {"backup": "wearbook-20261101T000000Z.db"})

    after = shop.auditor.get("/backups").text

    assert "Put in place of the book" not in before
    assert "Book restored" in words_of(after)
    assert "by R. Osk" in words_of(after)
