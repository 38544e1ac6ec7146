"""Chapter 5: what is taken in is bounded before it is unpacked, and goes out under a name of its own.

Numbers from memory of ASVS 5.0.0.
"""

from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import pytest

from app.actions.workbook_file import MOST_UNPACKED_BYTES, WorkbookTooLarge, rows_of_workbook
from app.store.book import Book
from app.web.downloads import download
from tests.web.visitor import a_chief, a_visitor, words_of


def test_5_2_3_workbook_that_would_unpack_to_more_than_a_table_is_refused_unopened() -> None:
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as file:
        file.writestr("xl/worksheets/sheet1.xml", bytes(MOST_UNPACKED_BYTES + 1))

    assert len(packed.getvalue()) < MOST_UNPACKED_BYTES / 500
    with pytest.raises(WorkbookTooLarge):
        rows_of_workbook(packed.getvalue(), 5)


def test_5_2_3_bundle_that_would_unpack_to_more_than_a_book_is_refused_unopened(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.actions.elsewhere.MOST_UNPACKED_BYTES", 1000)
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as file:
        file.writestr("export.json", bytes(1001))
    chief = a_chief(book)
    chief.get("/elsewhere")

    said = chief.post("/elsewhere", {}, 422, files={"file": ("a.zip", packed.getvalue())})

    assert "This bundle unpacks to more than a book holds." in words_of(said.text)


@pytest.mark.parametrize(
    "path", ["/static/../app/settings.py", "/static/..%2f..%2fapp%2fsettings.py", "/static//etc/hosts"]
)
def test_5_3_2_no_address_leads_to_a_file_that_is_not_given_out(book: Book, path: str) -> None:
    assert a_visitor(book).client.get(path).status_code == 404


def test_5_4_1_and_5_4_2_file_is_sent_under_a_name_that_ends_no_header() -> None:
    sent = download('a"; filename="evil.html\r\nset-cookie: x=1/../ü.csv', "text/csv", [])

    told = sent.headers["content-disposition"]
    assert told.isascii()
    assert told.isprintable()
    assert told.count('filename="') == 1
    assert "/" not in told.replace("UTF-8''", "")
    assert "set-cookie" not in sent.headers
