"""Overhauls that are read together are the same as each read alone, and the database is asked no more for many."""

from datetime import timedelta

import pytest

from app.domain.errors import NotThere
from app.domain.overhaul import Overhaul
from app.store.book import Book
from app.store.machines import get_machine
from app.store.overhaul_reading import read_overhaul, read_overhauls
from app.store.running import get_run, save_baseline
from tests.builders import NOW, a_book, a_reading, a_sheet, an_overhaul, enter, fit, run_it
from tests.store.builders import statements_of
from tests.store.lived_book import live_in


def alone(book: Book, numbers: list[int], stage: int | None) -> list[Overhaul]:
    """Read each in a session of its own."""
    found = []
    for number in numbers:
        with book.reading() as session:
            found.append(read_overhaul(session, number, stage))
    return found


def at_once(book: Book, numbers: list[int], stage: int | None = None) -> list[Overhaul]:
    """Read them together."""
    with book.reading() as session:
        return list(read_overhauls(session, numbers, stage))


@pytest.fixture
def numbers(tmp_path_factory: pytest.TempPathFactory) -> tuple[Book, list[int]]:
    """A book that was lived in, with three more overhauls of its machine: made to sizes, run, each a baseline."""
    book = a_book(tmp_path_factory.mktemp("lived"))
    found = [live_in(book)]
    with book.reading() as session:
        machine = get_machine(session, "GA-1")
    for place, bore in enumerate(("78.25", "78.50", "")):
        at = NOW + timedelta(days=100 * (place + 1))
        number = an_overhaul(book, machine, str(3000 + place), at, a_sheet(book))
        fit(book, number, "2.cylinder", at, made_to=bore)
        enter(book, number, a_reading("1.ring-1", "closed-gap", "0.60/0.65", at, level="worst place"))
        enter(book, number, a_reading("2.pin", "diameter", "21.98", at))
        run_id = run_it(book, number, at)
        with book.writing("I. Brandreth", at + timedelta(hours=1)) as writing:
            save_baseline(writing, machine, get_run(writing.session, run_id), "in good order")
        found.append(number)
    return book, found


@pytest.mark.parametrize("stage", [None, 2])
def test_overhauls_read_together_are_those_read_alone(
    numbers: tuple[Book, list[int]], monkeypatch: pytest.MonkeyPatch, stage: int | None
) -> None:
    book, all_of = numbers
    expected = alone(book, all_of, stage)

    assert at_once(book, all_of, stage) == expected
    monkeypatch.setattr("app.store.overhaul_reading.MOST_AT_ONCE", 2)
    assert at_once(book, all_of[:3], stage) == expected[:3]
    assert at_once(book, [all_of[2], all_of[0]], stage) == [expected[2], expected[0]]
    assert len({each.baseline.id for each in expected if each.baseline}) > 2
    assert len({str(each.base_sizes) for each in expected}) > 2
    book.close()


def test_however_many_are_read_the_database_is_asked_as_often(numbers: tuple[Book, list[int]]) -> None:
    book, all_of = numbers
    several, one = (len(statements_of(lambda some=some: at_once(book, some))) for some in (all_of[1:], all_of[1:2]))

    assert several <= one + 2  # each run that was the baseline is looked for by itself
    book.close()


def test_one_that_is_not_in_the_book_is_refused_as_ever(numbers: tuple[Book, list[int]]) -> None:
    book, all_of = numbers

    with pytest.raises(NotThere, match="no overhaul number 999"):
        at_once(book, [*all_of, 999])
    with book.reading() as session:
        with pytest.raises(NotThere):
            list(read_overhauls(session, [999]))
        assert read_overhaul(session, all_of[0]).id == all_of[0]
    book.close()
