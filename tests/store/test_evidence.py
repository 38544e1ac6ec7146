"""Tests that a row changed behind the book shows against the chain."""

import pytest

from app.domain.canonical import digest
from app.domain.overhaul import Confirmation, Decision, Fitting, Meaning, MeterReading, Phase, Signature
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.evidence import ENTERED_AS, verify_evidence
from app.store.facts import save_confirmation, save_decision, save_fitting, save_signature
from app.store.machines import save_meter_reading
from app.store.people import change_person, find_person_by_name
from app.store.readings import save_reading
from app.store.rows import table_of
from tests.store.behind import behind_the_book, sealed_tables
from tests.store.builders import CHIEF, FITTER, HOURS, NOW, a_reading, a_writing, an_open_book


@pytest.fixture
def full_book(book: Book) -> Book:
    """A book with two readings and one of everything else."""
    machine, overhaul_id = an_open_book(book)
    with a_writing(book) as writing:
        save_meter_reading(writing, machine, MeterReading(HOURS, NOW, FITTER))
        save_reading(writing, overhaul_id, a_reading())
        save_reading(writing, overhaul_id, a_reading("tablet-2", supersedes="tablet-1"))
        save_confirmation(writing, overhaul_id, Confirmation(Phase.MAKE_SAFE, "isolated", "key 12", FITTER, NOW))
        save_decision(writing, overhaul_id, Decision("2.ring-1", Verdict.RENEW, "worn", CHIEF, NOW))
        save_signature(writing, overhaul_id, Signature(Meaning.GAUGED, FITTER, NOW, digest("{}")), "{}")
        save_fitting(writing, overhaul_id, Fitting("2.ring-1", "QM-31-2", "", FITTER, NOW))
    return book


def test_every_row_agrees_with_its_entry(full_book: Book) -> None:
    assert _found(full_book) == []


def test_person_shut_out_by_the_book_still_agrees(full_book: Book) -> None:
    with a_writing(full_book, CHIEF) as writing:
        person = find_person_by_name(writing.session, FITTER)
        assert person is not None
        change_person(writing, person.id, is_active=False, password_digest="another")

    assert _found(full_book) == []


@pytest.mark.parametrize(
    ("table", "change"),
    [
        ("person", "role = 'chief engineer'"),
        ("sheet_revision", "text = replace(text, '140.00', '141.00')"),
        ("sheet_revision", "imported_by = 'nobody'"),
        ("machine", "serial = 'other iron'"),
        ("meter_reading", "hours = '10300.00'"),
        ("overhaul", "stages = '1'"),
        ("reading", "goes = '0.40'"),
        ("reading", "goes_typed = '0,45'"),
        ("reading", "measured_at = '2031-04-05 06:07:08.000010'"),
        ("reading", "temperature_c = 'warm'"),
        ("reading", "measured_at = 'yesterday'"),
        ("reading", "reason = CAST(x'FF' AS TEXT)"),
        ("confirmation", "value = 'key 13'"),
        ("decision", "verdict = 'reuse'"),
        ("signature", "content = '{ }'"),
        ("signature", "person = 'S. Venn'"),
        ("fitting", "number = 'QM-31-3'"),
    ],
)
def test_row_changed_behind_the_book_is_named(full_book: Book, table: str, change: str) -> None:
    behind_the_book(full_book, table, f"UPDATE {table} SET {change}")

    assert _found(full_book) == [f"{table}, row 1"]


def test_reading_deleted_behind_the_book_is_named(full_book: Book) -> None:
    behind_the_book(full_book, "reading", "DELETE FROM reading WHERE id = 'tablet-2'")

    assert _found(full_book) == ["reading, row 2"]


def test_reading_slipped_in_behind_the_book_is_named(full_book: Book) -> None:
    behind_the_book(
        full_book,
        "reading",
        "CREATE TEMP TABLE slip AS SELECT * FROM reading WHERE id = 'tablet-1'",
        "UPDATE slip SET seq = 9, id = 'tablet-9'",
        "INSERT INTO reading SELECT * FROM slip",
    )

    assert _found(full_book) == ["reading, row 3"]


def test_every_sealed_table_but_the_chain_itself_is_held_against_it(full_book: Book) -> None:
    sealed = sealed_tables(full_book)

    # The chain, pictures, bundles and signed heads are held by a digest or a signature over their own content.
    by_digest = {"entry", "photo_file", "foreign_file", "signed_head"}
    assert sealed > by_digest
    assert sealed - by_digest <= {table_of(row).name for row in ENTERED_AS}


def _found(book: Book) -> list[str]:
    with book.reading() as session:
        return verify_evidence(session)
