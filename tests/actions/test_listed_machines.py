"""Tests of the list of machines: asked of all at once, it tells of each what the machine itself does."""

import pytest

from app.actions.machines import listed_machines, machine_states
from app.store.book import Book
from tests.actions.generated_lives import Lives


@pytest.mark.parametrize("seed", range(2))
def test_a_list_of_all_tells_of_each_machine_what_it_tells_of_itself(book: Book, seed: int) -> None:
    lives = Lives(book, seed, machines=6)
    lives.happen(150)
    lives.add()  # one of which nothing else is in the book

    listed, states = listed_machines(book), machine_states(book)

    assert [(one.machine, one.hours, one.open_overhaul, one.phase) for one in listed] == [
        (each.machine, each.hours, each.open_overhaul, each.phase) for each in states
    ]
    newest = [each.overhauls[0] if each.overhauls else None for each in states]
    assert [one.newest and one.newest[:3] for one in listed] == [
        last and (last.number, last.hours, last.opened_at) for last in newest
    ]
    assert {bool(one.open_overhaul) for one in listed} == {True, False}
    assert None in newest
