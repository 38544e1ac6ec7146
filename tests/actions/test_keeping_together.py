"""Tests of entries that several send in the same moment: one transaction, and each as if it had come alone."""

from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import event

from app.actions.keeping import Asked, Kept, keep_together
from app.actions.people import person_named
from app.domain.entries import Typed
from app.domain.overhaul import Overhaul
from app.domain.people import Person
from app.domain.readings import Kind, Occasion, Place
from app.store.book import Book
from app.store.chain import verify_chain
from app.store.overhauls import get_overhaul
from tests.builders import NOW, a_machine, a_sheet, an_overhaul
from tests.web.workshop import OPENED_AT, Workshop

PIN = Place("2.pin", "diameter", "", "")
BORE = Place("2.cylinder", "bore", "mid stroke", "along the pin")
AT = OPENED_AT + timedelta(hours=1)


@pytest.fixture
def shop(book: Book) -> Workshop:
    return Workshop(book).safe()


def typed(identifier: str, value: str = "21.99", **changed: object) -> Typed:
    """A diameter of the pin as its form says it."""
    empty = {"goes": "", "does_not_go": "", "set_size": "", "reason": "", "instrument": "", "temperature": "",
             "measured_by": "", "correction": "", "takes_back": "", "unit": "mm"}  # fmt: skip
    first = Typed(
        id=identifier, place=PIN, occasion=Occasion.AS_FOUND, kind=Kind.SIZE, value=value, findings=(),
        measured_at=None, made_at=None, is_second_look=False, seen=None, **empty,
    )  # fmt: skip
    return replace(first, **changed)


def asked(shop: Workshop, entry: Typed, name: str = "M. Tarrow", overhaul_id: int | None = None) -> Asked:
    """What somebody asks for."""
    return Asked(person(shop.book, name), overhaul_id or shop.id, lambda _: entry, AT)


def person(book: Book, name: str) -> Person:
    found = person_named(book, name)
    assert found is not None
    return found


def fresh(book: Book, overhaul_id: int) -> Overhaul:
    """The overhaul as it is read from the file by somebody who holds nothing."""
    other = Book(book.path)
    with other.reading() as session:
        found = get_overhaul(session, overhaul_id)
        assert verify_chain(session) is None
    other.close()
    return found


def held(book: Book, overhaul_id: int) -> Overhaul:
    with book.reading() as session:
        return get_overhaul(session, overhaul_id)


def keep(shop: Workshop, *entries: Asked) -> list[Kept | None]:
    """Keep entries, in one transaction."""
    commits: list[object] = []

    def count(connection: object) -> None:
        commits.append(connection)

    event.listen(shop.book.writer, "commit", count)
    try:
        return keep_together(shop.book, entries)
    finally:
        event.remove(shop.book.writer, "commit", count)
        assert len(commits) <= 1


def test_entries_of_several_overhauls_are_kept_in_one_transaction(shop: Workshop) -> None:
    other = an_overhaul(shop.book, a_machine(shop.book, "GA-2", at=NOW), "2300", OPENED_AT, a_sheet(shop.book))
    held(shop.book, shop.id)

    given = keep(shop, asked(shop, typed("entry-one")), asked(shop, typed("entry-two"), overhaul_id=other))

    assert [each.reading.id if each else "" for each in given] == ["entry-one", ""]  # the other is not made safe
    assert [reading.id for reading in fresh(shop.book, shop.id).readings] == ["entry-one"]
    assert fresh(shop.book, other).readings == ()


def test_the_same_entry_sent_twice_in_one_moment_is_stored_once_and_kept_for_both(shop: Workshop) -> None:
    given = keep(shop, *(asked(shop, typed("entry-one")) for _ in range(2)))

    assert [each.reading.id for each in given if each] == ["entry-one"] * 2
    assert len(fresh(shop.book, shop.id).readings) == 1


def test_an_entry_sees_the_one_before_it_in_the_same_transaction(shop: Workshop) -> None:
    first, second = asked(shop, typed("entry-one")), asked(shop, typed("entry-two", "21.98", correction="misread"))

    keep(shop, first, second)

    assert [reading.supersedes for reading in fresh(shop.book, shop.id).readings] == ["", "entry-one"]


@pytest.mark.parametrize(
    "refused",
    [
        typed("entry-two", "2199"),
        typed("entry-two", "soon"),
        typed("entry-two", place=Place("9.pin", "diameter")),
        typed("entry-one", "21.97"),  # an identifier that stands for something else
        typed("entry-two", takes_back="no such", kind=Kind.TAKEN_BACK),
    ],
)
def test_what_is_refused_leaves_nothing_and_the_others_are_kept(shop: Workshop, refused: Typed) -> None:
    last = asked(shop, typed("entry-last", "21.98", correction="misread"))

    given = keep(shop, asked(shop, typed("entry-one")), asked(shop, refused), last)

    assert [each is None for each in given] == [False, True, False]
    assert [reading.id for reading in fresh(shop.book, shop.id).readings] == ["entry-one", "entry-last"]


def test_whoever_may_not_gauge_keeps_nothing(shop: Workshop) -> None:
    assert keep(shop, asked(shop, typed("entry-one"), "S. Venn")) == [None]


def test_an_error_that_nobody_foresaw_leaves_nothing_of_any(shop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    broken = Asked(person(shop.book, "M. Tarrow"), shop.id, lambda _: 1 / 0, AT)  # type: ignore[arg-type,return-value]

    with pytest.raises(ZeroDivisionError):
        keep_together(shop.book, [asked(shop, typed("entry-one")), broken])

    assert fresh(shop.book, shop.id).readings == ()
    assert held(shop.book, shop.id).readings == ()


@pytest.mark.parametrize(
    "entry",
    [
        typed("entry-one", "21,990"),
        typed("entry-one", "0.8658", unit="in"),
        typed("entry-one", "+0.01", kind=Kind.DIAL, place=BORE, set_size="78.05", temperature="24,5"),
        typed("entry-one", "", kind=Kind.CANNOT, reason="the pin is\nseized"),
        typed("entry-one", "", kind=Kind.SEEN, place=Place("2.pin", "seen"), findings=("sound",), reason="é 漢"),
        typed("entry-one", measured_by="R. Osk", measured_at=OPENED_AT, made_at=OPENED_AT),
    ],
)
def test_an_overhaul_held_after_an_entry_is_the_one_that_is_read_from_the_file(shop: Workshop, entry: Typed) -> None:
    before = held(shop.book, shop.id)

    (kept,) = keep(shop, asked(shop, entry))
    found = held(shop.book, shop.id)

    assert kept is not None
    assert found is kept.overhaul
    assert found.confirmations is before.confirmations  # so it was held, and not read
    assert found == fresh(shop.book, shop.id)
    for occasion in Occasion:
        assert found.standing(occasion) == fresh(shop.book, shop.id).standing(occasion)


def test_what_stands_is_right_after_entries_are_corrected_and_taken_back(shop: Workshop) -> None:
    keep(shop, asked(shop, typed("entry-one")))
    keep(shop, asked(shop, typed("entry-two", "21.98", correction="misread")))
    keep(shop, asked(shop, typed("back-two", "", kind=Kind.TAKEN_BACK, takes_back="entry-two")))

    found = held(shop.book, shop.id)

    assert found.standing(Occasion.AS_FOUND)[PIN].id == "entry-one"
    assert found == fresh(shop.book, shop.id)
