"""Tests of overhauls that are held between sessions: always as the book has them, whoever wrote last."""

from dataclasses import replace

import pytest

from app.domain.overhaul import Overhaul, Phase
from app.domain.readings import Occasion
from app.store.book import Book
from app.store.overhaul_memory import LEAST_WEIGHT, MOST_NEWER, MOST_WEIGHT
from app.store.overhauls import get_overhaul
from app.store.readings import save_reading
from tests.builders import NOW, a_reading, confirm_all, enter, good_readings
from tests.web.workshop import Workshop


@pytest.fixture
def workshop(book: Book) -> Workshop:
    return Workshop(book).safe()


def seen(book: Book, overhaul_id: int) -> Overhaul:
    """The overhaul as it is given."""
    with book.reading() as session:
        return get_overhaul(session, overhaul_id)


def is_read_whole(found: Overhaul, before: Overhaul) -> bool:
    """Whether more than readings was read since: what is only added to keeps its other tuples."""
    return found.confirmations is not before.confirmations


def fresh(book: Book, overhaul_id: int) -> Overhaul:
    """The overhaul as it is read from the file by somebody who holds nothing."""
    other = Book(book.path)
    try:
        return seen(other, overhaul_id)
    finally:
        other.close()


def test_readings_entered_since_are_added_and_nothing_else_is_read_again(workshop: Workshop) -> None:
    before = seen(workshop.book, workshop.id)
    sound = good_readings(workshop.overhaul.parts, Occasion.AS_FOUND, NOW)
    enter(workshop.book, workshop.id, *sound)
    look = replace(sound[1], id="a look", entered_by="I. Brandreth", is_second_look=True)
    enter(workshop.book, workshop.id, look, replace(sound[2], id="again", supersedes=sound[2].id))

    found = seen(workshop.book, workshop.id)

    assert len(sound) < MOST_NEWER
    assert not is_read_whole(found, before)
    assert found.looks == (look,)
    assert found == fresh(workshop.book, workshop.id)


def test_whatever_else_was_entered_is_read_whole(workshop: Workshop) -> None:
    before = seen(workshop.book, workshop.id)
    confirm_all(workshop.book, workshop.id, Phase.BOX_UP, NOW)

    found = seen(workshop.book, workshop.id)

    assert is_read_whole(found, before)
    assert found.confirmations == fresh(workshop.book, workshop.id).confirmations


def test_what_another_process_wrote_is_seen_at_once(workshop: Workshop) -> None:
    before = seen(workshop.book, workshop.id)
    other = Book(workshop.book.path)
    enter(other, workshop.id, a_reading("2.ring-1", "closed-gap", "0.40", level="worst place"))
    other.close()

    found = seen(workshop.book, workshop.id)

    assert [reading.written for reading in found.readings] == ["0.40 mm"]
    assert not is_read_whole(found, before)


def test_a_change_that_was_rolled_back_is_never_given(workshop: Workshop) -> None:
    before = seen(workshop.book, workshop.id)
    reading = a_reading("2.ring-1", "closed-gap", "0.40", level="worst place")

    def enter_and_fail() -> None:
        with workshop.book.writing("M. Tarrow", NOW) as writing:
            save_reading(writing, workshop.id, reading)
            assert get_overhaul(writing.session, workshop.id).readings == (reading,)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        enter_and_fail()
    assert seen(workshop.book, workshop.id) == before
    other = replace(reading, id="other")
    enter(workshop.book, workshop.id, other)  # takes the number in the chain that the one rolled back had
    assert seen(workshop.book, workshop.id).readings == (other,)


def test_a_session_that_began_before_sees_what_it_saw(workshop: Workshop) -> None:
    with workshop.book.reading() as session:
        before = get_overhaul(session, workshop.id)
        enter(workshop.book, workshop.id, a_reading("2.ring-1", "closed-gap", "0.40", level="worst place"))
        assert len(seen(workshop.book, workshop.id).readings) == 1

        assert get_overhaul(session, workshop.id) == before


def test_readings_of_another_overhaul_change_nothing_here(book: Book, workshop: Workshop) -> None:
    again = workshop.opened_again("2400")
    before = seen(book, workshop.id)
    enter(book, again.id, a_reading("2.ring-1", "closed-gap", "0.40", level="worst place"))

    assert seen(book, workshop.id) is before


def test_too_many_entries_since_are_read_whole(workshop: Workshop) -> None:
    before = seen(workshop.book, workshop.id)
    reading = a_reading("2.ring-1", "closed-gap", "0.40", level="worst place")
    with workshop.book.writing("M. Tarrow", NOW) as writing:
        for number in range(MOST_NEWER + 1):
            save_reading(writing, workshop.id, replace(reading, id=f"reading {number}"))

    found = seen(workshop.book, workshop.id)

    assert is_read_whole(found, before)
    assert len(found.readings) == MOST_NEWER + 1


def test_only_so_many_are_held(workshop: Workshop) -> None:
    numbers = [
        workshop.id,
        *(workshop.opened_again(str(2400 + more)).id for more in range(MOST_WEIGHT // LEAST_WEIGHT)),
    ]
    given = [seen(workshop.book, number) for number in numbers]

    assert seen(workshop.book, numbers[-1]) is given[-1]
    assert is_read_whole(seen(workshop.book, numbers[0]), given[0])
