"""What is held of the parts ahead is never older than the book, and a look at many machines ends in time."""

from datetime import UTC, datetime, timedelta

import pytest

from app.actions import parts_ahead
from app.actions.parts_ahead import HELD, Ahead, count_stock, look_at_parts
from app.actions.people import person_named
from app.domain.people import Role
from app.store.book import Book
from tests.actions.generated_lives import Lives
from tests.builders import a_person
from tests.web.test_parts_ahead import SEAL, a_worn_machine

NOW = datetime(2026, 1, 5, tzinfo=UTC)


def looked(book: Book, tag: str = "", now: datetime = NOW, months: str = "60", *, is_whole: bool = False) -> Ahead:
    """What a look ahead gives."""
    return look_at_parts(book, tag, months, UTC, now, is_whole=is_whole)


def test_what_is_held_of_the_parts_ahead_is_never_older_than_the_book(book: Book) -> None:
    lives, changes = Lives(book, 5, machines=3), 0
    lives.happen(40)
    for number in range(45):
        before = looked(book)
        if number % 15 == 14:
            lives.revise(1000 + number)
        elif number % 15 == 7:
            lives.add()
        else:
            lives.happen(1)
        held = looked(book)
        del book.memory[HELD]
        assert held == looked(book)
        changes += held != before
    assert changes > 10


def test_another_day_or_window_is_looked_at_anew(book: Book) -> None:
    a_worn_machine(book)
    now = datetime.now(UTC)

    one, year, tomorrow = (
        looked(book, now=at, months=months) for at, months in ((now, "1"), (now, "12"), (now + timedelta(days=1), "12"))
    )

    assert (len(one.openings), len(year.openings)) == (0, 1)
    assert tomorrow.until > year.until


def test_one_machine_is_as_it_is_among_all(book: Book) -> None:
    a_worn_machine(book)
    a_worn_machine(book, "GA-2", gaps=("0.30", "0.30"))
    now = datetime.now(UTC)

    alone = [looked(book, tag, now, "12").openings for tag in ("GA-1", "GA-2")]

    assert sorted((each for of_one in alone for each in of_one), key=str) == sorted(
        looked(book, now=now, months="12").openings, key=str
    )


def test_a_look_that_takes_too_long_goes_on_from_there_and_is_whole_where_it_has_to_be(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parts_ahead, "LONGEST_LOOK_S", 0.0)
    for tag in ("GA-1", "GA-2", "GA-3"):
        a_worn_machine(book, tag)
    now, chief = datetime.now(UTC), a_person(book, "I. Brandreth", Role.CHIEF)

    looks = [looked(book, now=now, months="12") for _ in range(4)]

    assert [(look.unlooked, len(look.openings)) for look in looks] == [(2, 1), (1, 2), (0, 3), (0, 3)]
    count_stock(book, person_named(book, chief.name), SEAL, now)  # belongs to no machine
    again = looked(book, now=now, months="12")
    assert (again.unlooked, again.stock[0].on_hand) == (0, 5)
    assert looked(book, now=now, months="11").unlooked == 2
    assert looked(book, now=now, months="11", is_whole=True).unlooked == 0
