"""Tests of overhauls in the book: opened once, read back whole, listed by machine."""

from decimal import Decimal

import pytest

from app.domain.errors import NotThere
from app.domain.numbers import Length, millimetres
from app.domain.overhaul import Confirmation, Decision, Fitting, Meaning, Overhaul, Phase, Scope, Signature
from app.domain.sheet_file import read_sheet
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.facts import save_confirmation, save_decision, save_fitting, save_signature
from app.store.overhauls import (
    find_open_overhaul,
    find_overhaul_before,
    find_overhaul_of_request,
    get_overhaul,
    list_overhauls,
    save_overhaul,
)
from app.store.readings import save_reading
from tests.store.builders import (
    CHIEF,
    FITTER,
    NOW,
    a_machine,
    a_reading,
    a_sheet,
    a_writing,
    an_open_book,
    an_overhaul,
    sheet_text,
)

CYLINDER = "1.cylinder"


def test_overhaul_comes_back_whole(book: Book) -> None:
    machine, overhaul_id = an_open_book(book)
    confirmation = Confirmation(Phase.MAKE_SAFE, "isolated", "key 12", FITTER, NOW)
    decision = Decision("2.ring-1", Verdict.RENEW, "worn", CHIEF, NOW)
    signature = Signature(Meaning.GAUGED, FITTER, NOW, "digest")
    fitting = Fitting("2.ring-1", "QM-31-2", "", FITTER, NOW)

    with a_writing(book) as writing:
        save_reading(writing, overhaul_id, a_reading())
        save_confirmation(writing, overhaul_id, confirmation)
        save_decision(writing, overhaul_id, decision)
        save_signature(writing, overhaul_id, signature, "{}")
        save_fitting(writing, overhaul_id, fitting)

    assert _overhaul(book, overhaul_id) == Overhaul(
        id=overhaul_id,
        number=1,
        machine=machine,
        sheet=read_sheet(sheet_text()),
        scope=Scope((1, 2, 3), True),
        hours=Decimal("10300.5"),
        opened_at=NOW,
        opened_by=CHIEF,
        readings=(a_reading(),),
        confirmations=(confirmation,),
        decisions=(decision,),
        signatures=(signature,),
        fittings=(fitting,),
        base_sizes={},
        is_approval_due=True,
    )


def test_overhaul_keeps_the_revision_it_was_opened_by(book: Book) -> None:
    _, overhaul_id = an_open_book(book)

    with a_writing(book, CHIEF) as writing:
        a_sheet(writing, "D")

    assert _overhaul(book, overhaul_id).sheet.revision == "C"


def test_same_request_opens_one_overhaul(book: Book) -> None:
    machine, first = an_open_book(book)

    with a_writing(book) as writing:
        again = an_overhaul(writing, machine, "request-1")

    with book.reading() as session:
        assert again == first == find_overhaul_of_request(session, "request-1")
        assert find_overhaul_of_request(session, "request-2") is None
        assert len(list_overhauls(session, machine.id)) == 1


def test_each_machine_numbers_its_own_overhauls(book: Book) -> None:
    machine, _ = an_open_book(book)
    with a_writing(book) as writing:
        other = a_machine(writing, "GA-2")
        an_overhaul(writing, machine, "request-2")
        an_overhaul(writing, other, "request-3")

    with book.reading() as session:
        assert [overhaul.number for overhaul in list_overhauls(session, machine.id)] == [2, 1]
        assert [overhaul.number for overhaul in list_overhauls(session, other.id)] == [1]


@pytest.mark.parametrize("scope", [Scope((2,), False), Scope((1, 3), True)])
def test_scope_comes_back_as_chosen(book: Book, scope: Scope) -> None:
    machine, _ = an_open_book(book)

    with a_writing(book) as writing:
        overhaul_id = save_overhaul(writing, machine, "QM-GA", "C", scope, Decimal(1), "request-2")

    assert _overhaul(book, overhaul_id).scope == scope


def test_summary_says_what_lists_show(book: Book) -> None:
    machine, overhaul_id = an_open_book(book)
    signature = Signature(Meaning.GAUGED, FITTER, NOW, "digest")
    with a_writing(book) as writing:
        save_signature(writing, overhaul_id, signature, "{}")

    with book.reading() as session:
        summary = list_overhauls(session, machine.id)[0]

    assert (summary.id, summary.number, summary.hours) == (overhaul_id, 1, Decimal("10300.5"))
    assert (summary.opened_at, summary.opened_by, summary.sheet_title) == (NOW, CHIEF, "QM-GA rev C")
    assert summary.scope.words == "stages 1, 2, 3; valves and rings"
    assert summary.signatures == (signature,)


@pytest.mark.parametrize(
    ("meanings", "is_open"),
    [
        ((), True),
        ((Meaning.GAUGED, Meaning.DECIDED), True),
        ((Meaning.RETURNED_FITTER,), True),
        ((Meaning.RETURNED_CHIEF,), True),
        ((Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF), False),
    ],
)
def test_overhaul_is_open_until_fitter_and_chief_have_returned_the_machine(
    book: Book, meanings: tuple[Meaning, ...], is_open: bool
) -> None:
    machine, overhaul_id = an_open_book(book)

    with a_writing(book) as writing:
        for meaning in meanings:
            save_signature(writing, overhaul_id, Signature(meaning, FITTER, NOW, "digest"), "{}")

    with book.reading() as session:
        assert find_open_overhaul(session, machine.id) == (overhaul_id if is_open else None)


def test_overhaul_before_another_is_the_one_with_the_next_lower_number(book: Book) -> None:
    machine, first = an_open_book(book)
    with a_writing(book) as writing:
        second = an_overhaul(writing, machine, "request-2")
        an_overhaul(writing, machine, "request-3")

    with book.reading() as session:
        before = [find_overhaul_before(session, machine.id, number) for number in (1, 2, 3)]

    assert [summary.id if summary else None for summary in before] == [None, first, second]


def test_base_size_is_the_one_made_last_before_the_overhaul(book: Book) -> None:
    base_sizes = _base_sizes(book, [millimetres("140.25")], [millimetres("140.50")])

    assert base_sizes == {CYLINDER: millimetres("140.50")}


def test_base_size_made_in_the_overhaul_itself_counts_only_for_the_next(book: Book) -> None:
    assert _base_sizes(book, [millimetres("140.25")], [], own=[millimetres("140.50")]) == {
        CYLINDER: millimetres("140.25")
    }


def test_new_part_goes_by_its_sheet_again(book: Book) -> None:
    assert _base_sizes(book, [millimetres("140.25"), None]) == {}


def test_base_sizes_are_the_machines_own(book: Book) -> None:
    _base_sizes(book, [millimetres("140.25")])
    with a_writing(book) as writing:
        elsewhere = an_overhaul(writing, a_machine(writing, "GA-2"), "elsewhere")

    assert _overhaul(book, elsewhere).base_sizes == {}


def test_overhaul_nobody_has_opened_is_not_there(book: Book) -> None:
    with book.reading() as session, pytest.raises(NotThere, match="77"):
        get_overhaul(session, 77)


def test_overhaul_by_a_sheet_nobody_has_imported_is_refused(book: Book) -> None:
    machine, _ = an_open_book(book)

    with pytest.raises(NotThere, match="QM-GA rev Z"), a_writing(book) as writing:
        save_overhaul(writing, machine, "QM-GA", "Z", Scope((1,), True), Decimal(1), "request-2")


def _overhaul(book: Book, overhaul_id: int) -> Overhaul:
    with book.reading() as session:
        return get_overhaul(session, overhaul_id)


def _base_sizes(book: Book, *earlier: list[Length | None], own: list[Length | None] | None = None) -> object:
    """Enter fittings of the cylinder in overhauls before this one and in this one, and give its base sizes."""
    machine, overhaul_id = an_open_book(book)
    with a_writing(book) as writing:
        for number, sizes in enumerate([*earlier, own or []]):
            for made_to in sizes:
                save_fitting(writing, overhaul_id, Fitting(CYLINDER, "", "", FITTER, NOW, made_to))
            if number < len(earlier):
                overhaul_id = an_overhaul(writing, machine, f"next-{number}")
    return dict(_overhaul(book, overhaul_id).base_sizes)
