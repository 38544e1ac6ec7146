"""Tests that evidence cannot be changed or deleted, not even past the program."""

from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from app.domain.amendments import Amendment, Answer, Outcome, Witness
from app.domain.instruments import Calibration, Instrument
from app.domain.limits import Method
from app.domain.overhaul import Confirmation, Decision, Fitting, Meaning, MeterReading, Phase, Signature
from app.domain.parts_ahead import Stock
from app.domain.photos import Photo, Withdrawal
from app.domain.running_limits import PressureUnit
from app.domain.service import Service
from app.domain.site_rules import RuleKind
from app.domain.verdicts import Verdict
from app.store.amendments import save_amendment, save_answer
from app.store.book import Book
from app.store.facts import save_confirmation, save_decision, save_fitting, save_signature
from app.store.foreign import ForeignRecord, save_bundle
from app.store.heads_file import sign_head
from app.store.instruments import save_calibration, save_instrument
from app.store.known_sites import save_known_site
from app.store.machines import save_meter_reading, save_strike
from app.store.photos import save_photo, save_withdrawal
from app.store.readings import save_reading
from app.store.running import get_run, save_baseline, save_run
from app.store.services import save_service
from app.store.sheet_approvals import Approval, save_approval
from app.store.site_key import SiteKey
from app.store.site_rules import save_site_rule
from app.store.stock import save_stock
from app.store.witnesses import save_witness
from tests.builders import a_good_run
from tests.store.behind import past_the_book
from tests.store.builders import CHIEF, FITTER, HOURS, NOW, a_reading, a_writing, an_open_book

PHOTO = Photo("photo-01", "2.ring-1", "", "worn", sha256(b"a picture").hexdigest(), "sent", 4, 3, FITTER, NOW)
INSTRUMENT = {"name": "M-7", "method": "micrometer", "measures": "0 to 25 mm"}
INSTRUMENT |= {"resolution": "0.01 mm", "permissible_error": "0.004 mm"}
BUNDLE: dict[str, object] = {"site": "Quillmoor", "scope": "book", "made_at": "2031-04-05", "made_by": "S. Venn"}
BUNDLE |= {"head_seq": 7, "head_digest": "digest"}
COLUMN = {
    "entry": "what",
    "sheet_revision": "text",
    "meter_reading": "hours",
    "meter_strike": "reason",
    "service": "note",
    "overhaul": "stages",
    "reading": "goes",
    "confirmation": "value",
    "decision": "verdict",
    "signature": "content",
    "fitting": "batch",
    "photo_file": "content",
    "photo": "note",
    "photo_withdrawal": "reason",
    "run": "typed",
    "baseline": "reason",
    "site_rule": "words",
    "stock": "number",
    "instrument": "measures",
    "calibration": "certificate",
    "site_key": "reason",
    "sheet_approval": "person",
    "witness": "name",
    "amendment": "new",
    "amendment_answer": "content",
    "signed_head": "digest",
    "foreign_file": "content",
    "foreign_bundle": "made_by",
    "foreign_record": "tag",
    "known_site": "name",
}


@pytest.fixture
def full_book(book: Book, tmp_path: Path) -> Book:
    """A book that has a row in every sealed table."""
    machine, overhaul_id = an_open_book(book)
    with a_writing(book) as writing:
        read = MeterReading(HOURS, NOW, FITTER)
        save_strike(writing, machine, replace(read, id=save_meter_reading(writing, machine, read)), "misread")
        save_service(writing, machine, Service("oil", "QM-GA rev C", HOURS, NOW, FITTER, (), "", True), "request-9")
        save_reading(writing, overhaul_id, a_reading())
        save_confirmation(writing, overhaul_id, Confirmation(Phase.MAKE_SAFE, "isolated", "key 12", FITTER, NOW))
        save_decision(writing, overhaul_id, Decision("2.ring-1", Verdict.RENEW, "worn", CHIEF, NOW))
        save_signature(writing, overhaul_id, Signature(Meaning.GAUGED, FITTER, NOW, "digest"), "{}")
        save_fitting(writing, overhaul_id, Fitting("2.ring-1", "QM-31-2", "", FITTER, NOW))
        save_photo(writing, overhaul_id, PHOTO, b"a picture")
        save_withdrawal(writing, overhaul_id, PHOTO, Withdrawal("another ring", FITTER, NOW))
        typed = a_good_run(request_id="a-run-of-its-own")
        run_id = save_run(writing, machine, overhaul_id, HOURS, (PressureUnit.BAR, 3), typed, "a-run-of-its-own")
        save_site_rule(writing, RuleKind.SAFE_LINE, "Cooling water shut", True)
        save_baseline(writing, machine, get_run(writing.session, run_id), "in good order")
        amendment = Amendment(0, "2.ring-1", "", "batch", "B-6", "B-7", "misread", FITTER, NOW)
        amendment = replace(amendment, id=save_amendment(writing, overhaul_id, amendment))
        save_answer(writing, overhaul_id, amendment, Answer(Outcome.SIGNED, CHIEF, NOW, "", "digest"), "{}")
        seen = Witness(Meaning.DECIDED, "digest", "A. Surveyor", "the class", CHIEF, NOW, "digest")
        save_witness(writing, overhaul_id, seen, "{}")
        approval = Approval("digest", None, CHIEF, NOW, "digest")
        save_approval(writing, (1, "QM-GA rev C"), approval, "{}", None)
        save_stock(writing, Stock("QM-31-193", 4, date(2027, 6, 30)))
        save_bundle(writing, b"a bundle", BUNDLE, [ForeignRecord("Quillmoor", "GA-1", 1, 1, "digest")])
        save_known_site(writing, "6668-7aad", "Ballast Yard", True)
        number = save_instrument(writing, INSTRUMENT)
        gauge = Instrument(number, "M-7", Method.MICROMETER, "-", "-", "-")
        save_calibration(writing, gauge, Calibration(date(2031, 1, 1), date(2032, 1, 1), "K-1"))
    book.key = SiteKey(Ed25519PrivateKey.generate())
    sign_head(book, NOW, tmp_path / "heads.txt")
    return book


@pytest.mark.parametrize("table", COLUMN)
def test_sealed_row_refuses_to_be_changed(full_book: Book, table: str) -> None:
    before = _rows(full_book, table)

    with pytest.raises(IntegrityError, match=f"rows of {table} are never changed"):
        _do(full_book, f"UPDATE {table} SET {COLUMN[table]} = 'other'")

    assert before
    assert _rows(full_book, table) == before


@pytest.mark.parametrize("table", COLUMN)
def test_sealed_row_refuses_to_be_deleted(full_book: Book, table: str) -> None:
    before = _rows(full_book, table)

    with pytest.raises(IntegrityError, match=f"rows of {table} are never deleted"):
        _do(full_book, f"DELETE FROM {table}")

    assert before
    assert _rows(full_book, table) == before


@pytest.mark.about_files
def test_replacing_an_entry_is_refused_as_the_deletion_it_is(book: Book) -> None:
    an_open_book(book)

    with pytest.raises(IntegrityError, match="never deleted"), a_writing(book) as writing:
        writing.session.connection().execute(text("INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE seq = 1"))


def test_fact_of_an_overhaul_that_is_not_there_is_refused(book: Book) -> None:
    with pytest.raises(IntegrityError, match=r"(?i)foreign key"), a_writing(book) as writing:
        save_reading(writing, 77, a_reading())


def _do(book: Book, statement: str) -> None:
    with past_the_book(book) as connection:
        connection.execute(text(statement))


def _rows(book: Book, table: str) -> list[tuple[object, ...]]:
    with past_the_book(book) as connection:
        return [tuple(row) for row in connection.execute(text(f"SELECT * FROM {table}"))]
