"""Tests of histories that are held as they were written: each is as one written anew, whoever wrote last."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from decimal import Decimal

import pytest
from sqlmodel import Session

from app.domain.overhaul import MeterReading
from app.domain.readings import SEEN
from app.store.book import Book
from app.store.machines import find_machine, save_meter_reading
from app.store.standing import Standing
from app.web.history import WrittenHistory, written_history
from tests.builders import NOW, a_machine, a_reading, a_revision, a_sheet, an_overhaul, enter
from tests.store.lived_book import live_in
from tests.web.lives import a_machine_with_a_past
from tests.web.visitor import a_chief, an_auditor

ASKED = (("2.ring-1", "closed-gap"), ("2.cylinder", "bore"), ("2.pin", "diameter"), ("2.ring-1", SEEN))
UTC = "Etc/UTC"


def given(book: Book, asked: tuple[str, str] = ASKED[0], zone: str = UTC) -> WrittenHistory:
    """The history as its page is given it."""
    return written_history(book, "GA-1", *asked, zone)


def anew(book: Book, asked: tuple[str, str] = ASKED[0]) -> WrittenHistory:
    """The history as somebody who holds nothing writes it."""
    with closing(Book(book.path, book.url)) as other:
        return given(other, asked)


class LookedAfter(Book):
    """A book of which every history is looked at after each change, as it is given and as it is written anew."""

    def __init__(self, book: Book) -> None:
        super().__init__(book.path, book.url)
        self.other = Book(book.path, book.url)
        self.seen: list[str] = []

    @contextmanager
    def noting(self) -> Iterator[Session]:
        """Keep a change, and look."""
        with super().noting() as session:
            yield session
        with self.reading() as session:
            is_there = find_machine(session, "GA-1") is not None
        for asked in ASKED if is_there else ():
            held = given(self, asked)
            self.other.memory.clear()
            assert held == given(self.other, asked), f"{asked} is held as it was before the change"
            self.seen.append(str(held.main))

    def close(self) -> None:
        """Close both."""
        self.other.close()
        super().close()


def test_after_whatever_was_entered_a_history_is_as_one_written_anew(book: Book) -> None:
    with closing(LookedAfter(book)) as looked_after:
        live_in(looked_after)
        a_revision(looked_after, "{ lower = 21.970 },", "{ lower = 21.965 },")
        machine = a_machine(looked_after, "GA-2")
        again = an_overhaul(looked_after, machine, "2000", NOW, a_sheet(looked_after))
        enter(looked_after, again, a_reading(*ASKED[2], "21.99"))

    assert len(set(looked_after.seen)) > 12, "too little of it changed any history"


def test_what_was_entered_of_another_machine_leaves_a_history_as_it_was_written(book: Book) -> None:
    past, other = a_machine_with_a_past(book), a_machine(book, "GA-2")
    before = given(book)
    opened = an_overhaul(book, other, "2000", NOW, a_sheet(book))
    enter(book, opened, a_reading("2.pin", "diameter", "21.99"))
    with book.writing("M. Tarrow", NOW) as writing:
        save_meter_reading(writing, other, MeterReading(Decimal(2100), NOW, "M. Tarrow"))

    assert given(book) is before
    assert given(book) is before  # against the newer entry

    enter(book, past.third, a_reading(*ASKED[0], "0.575", level="worst place"))

    assert "0.575" in given(book).main


def test_what_another_process_wrote_is_seen_at_once(book: Book) -> None:
    past = a_machine_with_a_past(book)
    given(book)
    with closing(Book(book.path, book.url)) as other:
        enter(other, past.third, a_reading(*ASKED[0], "0.575", level="worst place"))

    assert given(book) == anew(book)
    assert "0.575" in given(book).main


def test_a_change_that_was_rolled_back_is_never_given(book: Book) -> None:
    past = a_machine_with_a_past(book)
    before = given(book)

    def enter_and_fail() -> None:
        with book.writing("M. Tarrow", NOW) as writing:
            save_meter_reading(writing, past.machine, MeterReading(Decimal(7000), NOW, "M. Tarrow"))
            raise RuntimeError

    with pytest.raises(RuntimeError):
        enter_and_fail()

    assert given(book) is before


def test_what_was_entered_while_a_history_was_written_is_in_the_next_one(book: Book) -> None:
    past, standing = a_machine_with_a_past(book), Standing[str](1000, len)

    def write_while_somebody_enters() -> tuple[int, str]:
        enter(book, past.third, a_reading(*ASKED[0], "0.575", level="worst place"))
        return past.machine.id, "written"

    standing.give(book, "asked", write_while_somebody_enters)

    assert standing.give(book, "asked", lambda: (past.machine.id, "written anew")) == "written anew"
    assert standing.give(book, "asked", lambda: (past.machine.id, "again")) == "written anew"


def test_each_zone_has_its_own(book: Book) -> None:
    a_machine_with_a_past(book)

    assert given(book).main != given(book, zone="Pacific/Auckland").main


def test_whoever_reads_it_finds_the_same_history_and_an_own_form(book: Book) -> None:
    a_machine_with_a_past(book)
    pages = [reader.get("/machines/GA-1/history?part=2.ring-1").text for reader in (a_chief(book), an_auditor(book))]

    mains = {page[page.index("<main") : page.index("</main>")] for page in pages}

    assert len(mains) == 1
    assert pages[0] != pages[1]
