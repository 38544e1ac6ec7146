"""Tests of confirmations, decisions, signatures and fittings in the book."""

from datetime import date
from decimal import Decimal

import pytest

from app.domain.errors import NotThere
from app.domain.numbers import Length
from app.domain.overhaul import Concession, Confirmation, Decision, Fitting, Meaning, Phase, Signature
from app.domain.units import LengthUnit
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.chain import list_entries, verify_chain
from app.store.facts import (
    get_signature_content,
    list_confirmations,
    list_decisions,
    list_fittings,
    list_signatures,
    save_confirmation,
    save_decision,
    save_fitting,
    save_signature,
)
from tests.store.builders import CHIEF, FITTER, NOW, a_writing, an_open_book

OVERSIZE = Length("5,523 in", Decimal("5.523"), LengthUnit.INCH)


def test_confirmations_come_back_in_the_order_made(book: Book) -> None:
    confirmations = (
        Confirmation(Phase.MAKE_SAFE, "isolated", "key 12", FITTER, NOW),
        Confirmation(Phase.BOX_UP, "bumping", "", FITTER, NOW),
    )
    _, overhaul_id = an_open_book(book)

    for confirmation in confirmations:
        with a_writing(book) as writing:
            save_confirmation(writing, overhaul_id, confirmation)

    with book.reading() as session:
        assert list_confirmations(session, overhaul_id) == confirmations


@pytest.mark.parametrize(
    "concession",
    [
        None,
        Concession("R. Osk", until_hours=Decimal("12400.50")),
        Concession("R. Osk", until_date=date(2032, 3, 31)),
        Concession("R. Osk", Decimal(12400), date(2032, 3, 31)),
    ],
)
def test_decision_comes_back_with_its_concession(book: Book, concession: Concession | None) -> None:
    decision = Decision("2.ring-1", Verdict.REUSE, "to the next opening", CHIEF, NOW, "ring set", concession)
    _, overhaul_id = an_open_book(book)

    with a_writing(book, CHIEF) as writing:
        save_decision(writing, overhaul_id, decision)

    with book.reading() as session:
        assert list_decisions(session, overhaul_id) == (decision,)
        entry = list_entries(session)[0]
    assert (entry.what, entry.why) == ("decision made", "to the next opening")


def test_signature_comes_back_with_the_very_content_that_was_signed(book: Book) -> None:
    _, overhaul_id = an_open_book(book)
    first = Signature(Meaning.GAUGED, FITTER, NOW, "digest 1")
    second = Signature(Meaning.GAUGED, FITTER, NOW, "digest 2")

    with a_writing(book) as writing:
        save_signature(writing, overhaul_id, first, '{"gap":"0.70 µm"}')
        save_signature(writing, overhaul_id, second, '{"gap":"0.71 µm"}')

    with book.reading() as session:
        assert list_signatures(session, overhaul_id) == (first, second)
        assert get_signature_content(session, overhaul_id, Meaning.GAUGED) == '{"gap":"0.71 µm"}'
        assert "0.71" not in list_entries(session)[0].new
        with pytest.raises(NotThere, match="decided"):
            get_signature_content(session, overhaul_id, Meaning.DECIDED)


@pytest.mark.parametrize("made_to", [None, OVERSIZE])
def test_fitting_comes_back_with_the_size_it_was_made_to(book: Book, made_to: Length | None) -> None:
    fitting = Fitting("1.cylinder", "QM-31-110", "batch 7", FITTER, NOW, made_to)
    _, overhaul_id = an_open_book(book)

    with a_writing(book) as writing:
        save_fitting(writing, overhaul_id, fitting)

    with book.reading() as session:
        assert list_fittings(session, overhaul_id) == (fitting,)


def test_every_fact_has_its_entry_in_the_chain(book: Book) -> None:
    _, overhaul_id = an_open_book(book)

    with a_writing(book) as writing:
        save_confirmation(writing, overhaul_id, Confirmation(Phase.PROVE, "run", "", FITTER, NOW))
        save_decision(writing, overhaul_id, Decision("2.ring-1", Verdict.RENEW, "worn", CHIEF, NOW))
        save_signature(writing, overhaul_id, Signature(Meaning.DECIDED, CHIEF, NOW, "digest"), "{}")
        save_fitting(writing, overhaul_id, Fitting("2.ring-1", "1", "", FITTER, NOW))

    with book.reading() as session:
        whats = [entry.what for entry in reversed(list_entries(session, f"overhaul {overhaul_id}"))]
        assert whats == ["overhaul opened", "step confirmed", "decision made", "signed", "part fitted"]
        assert verify_chain(session) is None
