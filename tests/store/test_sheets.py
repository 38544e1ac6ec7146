"""Tests of limit sheets in the book: what is imported stays as it was."""

import pytest

from app.domain.errors import NotThere, Sealed
from app.domain.sheet_file import read_sheet
from app.store.book import Book
from app.store.chain import list_entries
from app.store.sheets import current_sheet, get_sheet, get_sheet_text, list_sheets, save_sheet
from tests.store.builders import CHIEF, NOW, a_sheet, a_writing, an_open_book, sheet_text


def test_sheet_comes_back_whole_with_its_text(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        a_sheet(writing)

    with book.reading() as session:
        assert get_sheet(session, "QM-GA", "C") == read_sheet(sheet_text())
        assert get_sheet_text(session, "QM-GA", "C") == sheet_text()


def test_same_revision_with_the_same_text_is_kept_once(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        first = a_sheet(writing)

    with a_writing(book, CHIEF) as writing:
        again = a_sheet(writing)

    with book.reading() as session:
        assert first == again
        assert len(list_entries(session)) == 1


def test_same_revision_with_another_text_is_refused(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        a_sheet(writing)
    text = sheet_text() + "\n# another text\n"

    with pytest.raises(Sealed, match="new revision"), a_writing(book, CHIEF) as writing:
        save_sheet(writing, text, read_sheet(text), "")

    with book.reading() as session:
        assert get_sheet_text(session, "QM-GA", "C") == sheet_text()


def test_current_sheet_is_the_one_imported_last(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        a_sheet(writing, "C")
        a_sheet(writing, "A")

    with book.reading() as session:
        assert current_sheet(session, "QM-GA").revision == "A"


def test_summaries_name_what_is_used_and_what_is_current(book: Book) -> None:
    an_open_book(book)

    with a_writing(book, CHIEF) as writing:
        a_sheet(writing, "D")

    with book.reading() as session:
        newest, used = list_sheets(session)
    assert (newest.revision, newest.is_used, newest.is_current) == ("D", False, True)
    assert (used.revision, used.is_used, used.is_current) == ("C", True, False)
    assert (used.name, used.imported_at, used.imported_by) == ("QM-GA", NOW, CHIEF)
    assert used.machine_type == "three-stage air-cooled governor-air compressor"


def test_entry_of_an_import_holds_the_digest_and_who_accepted_the_warnings(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        save_sheet(writing, sheet_text(), read_sheet(sheet_text()), CHIEF)

    with book.reading() as session:
        entry = list_entries(session, "sheet QM-GA rev C")[0]
    assert f'"warnings_accepted_by":"{CHIEF}"' in entry.new
    assert '"digest":"' in entry.new


def test_sheet_nobody_has_imported_is_not_there(book: Book) -> None:
    with book.reading() as session:
        with pytest.raises(NotThere, match="QM-GA rev C"):
            get_sheet(session, "QM-GA", "C")
        with pytest.raises(NotThere, match="QM-GA"):
            current_sheet(session, "QM-GA")
