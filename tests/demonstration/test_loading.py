"""Loading the demonstration: the same every time, in the order of time, and sealed like any other book."""

from contextlib import closing
from pathlib import Path

from app.actions.people import everybody, sign_in
from app.demonstration.people import PEOPLE
from app.store.book import Book
from app.store.chain import list_entries, verify_chain
from tests.demonstration.told import Told
from tests.demonstration_book import a_loaded_demonstration, demonstration_now


def test_loading_twice_into_two_files_gives_the_same_readings(told: Told, tmp_path: Path) -> None:
    with closing(Book(a_loaded_demonstration(tmp_path / "again.db"))) as book:
        again = Told(book).all

    assert [overhaul.readings for overhaul in again] == [overhaul.readings for overhaul in told.all]
    assert again == told.all


def test_every_entry_of_the_chain_verifies(told: Told) -> None:
    with told.book.reading() as session:
        assert verify_chain(session) is None


def test_the_entries_stand_in_the_order_of_time(told: Told) -> None:
    with told.book.reading() as session:
        entries = list_entries(session, limit=100_000)

    moments = [entry.at for entry in reversed(entries)]

    assert len(moments) > 2000
    assert moments == sorted(moments)
    assert moments[-1] <= demonstration_now()


def test_the_invented_people_are_in_the_book_with_the_passwords_shown(told: Told) -> None:
    found = {person.name: person.role for person in everybody(told.book)}

    signed_in = [sign_in(told.book, one.name, one.password, demonstration_now()).person.name for one in PEOPLE]

    assert found == {one.name: one.role for one in PEOPLE}
    assert signed_in == [one.name for one in PEOPLE]
