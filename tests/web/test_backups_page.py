"""Tests of the page of backups, and of a failed backup being loud."""

from app.store.book import Book
from tests.web.visitor import words_of
from tests.web.workshop import Workshop


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
