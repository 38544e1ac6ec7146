"""Tests of the history of a characteristic over a machine's overhauls."""

from decimal import Decimal

from app.domain.numbers import inches, millimetres
from app.domain.readings import Kind, Place, Reading
from app.store.book import Book
from app.store.history import PastReading, list_history
from app.store.readings import save_reading
from tests.store.builders import a_machine, a_reading, a_writing, an_open_book, an_overhaul


def test_history_goes_over_all_overhauls_of_the_machine_oldest_first(book: Book) -> None:
    machine, first = an_open_book(book)
    with a_writing(book) as writing:
        second = an_overhaul(writing, machine, "request-2", "12400.25")
    _save(book, second, a_reading("later"))
    _save(book, first, a_reading("earlier"))

    past = _history(book, machine.id)

    assert [(p.id, p.overhaul_id, p.overhaul_number) for p in past] == [("earlier", first, 1), ("later", second, 2)]
    assert [str(p.hours) for p in past] == ["10300.5", "12400.25"]


def test_history_leaves_out_other_machines_parts_and_characteristics(book: Book) -> None:
    machine, overhaul_id = an_open_book(book)
    with a_writing(book) as writing:
        elsewhere = an_overhaul(writing, a_machine(writing, "GA-2"), "request-2")
    _save(book, elsewhere, a_reading("other machine"))
    _save(book, overhaul_id, a_reading("other part", place=Place("2.ring-2", "closed-gap")))
    _save(book, overhaul_id, a_reading("other characteristic", place=Place("2.ring-1", "side-clearance")))

    assert _history(book, machine.id) == []


def test_entry_struck_through_is_told_from_the_one_that_stands(book: Book) -> None:
    machine, overhaul_id = an_open_book(book)
    _save(book, overhaul_id, a_reading("first"))
    _save(book, overhaul_id, a_reading("second", supersedes="first"))
    _save(book, overhaul_id, a_reading("other level", place=Place("2.ring-1", "closed-gap", "bottom")))

    past = _history(book, machine.id)

    assert [(p.id, p.is_standing) for p in past] == [("first", False), ("second", True), ("other level", True)]


def test_sizes_come_in_exact_millimetres_whatever_was_typed(book: Book) -> None:
    machine, overhaul_id = an_open_book(book)
    none = {"goes": None, "does_not_go": None}
    _save(book, overhaul_id, a_reading("size", kind=Kind.SIZE, value=inches("0.018"), **none))
    dial = {"value": millimetres("-0.03"), "set_size": millimetres("140.00")}
    _save(book, overhaul_id, a_reading("dial", kind=Kind.DIAL, **dial, **none))
    _save(book, overhaul_id, a_reading("pair"))

    past = _history(book, machine.id)

    assert [p.size_mm for p in past] == [Decimal("0.4572"), Decimal("139.97"), None]
    assert (past[2].goes_mm, past[2].does_not_go_mm) == (Decimal("0.45"), Decimal("0.50"))


def test_history_says_by_whom_with_what_where_and_when(book: Book) -> None:
    machine, overhaul_id = an_open_book(book)
    reading = a_reading()
    _save(book, overhaul_id, reading)

    past = _history(book, machine.id)[0]

    assert (past.measured_by, past.instrument, past.at) == (reading.measured_by, "feeler set F-2", reading.measured_at)
    assert (past.occasion, past.kind, past.level, past.axis) == (reading.occasion, reading.kind, "top", "")


def _save(book: Book, overhaul_id: int, reading: Reading) -> None:
    with a_writing(book) as writing:
        save_reading(writing, overhaul_id, reading)


def _history(book: Book, machine_id: int) -> list[PastReading]:
    with book.reading() as session:
        return list_history(session, machine_id, "2.ring-1", "closed-gap")
