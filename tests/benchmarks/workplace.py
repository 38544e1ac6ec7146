"""A book with many machines open at once, a fitter signed in at each, and one overhaul that was closed before."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from app.actions.people import sign_in
from app.domain.overhaul import Phase
from app.domain.people import Role
from app.domain.readings import Occasion, Reading
from app.store.book import Book
from app.store.overhauls import get_overhaul
from tests.builders import (
    NOW,
    PASSWORD,
    a_machine,
    a_person,
    a_sheet,
    an_overhaul,
    confirm_all,
    enter,
    good_readings,
    sign_all,
)

LENGTHS = ("value", "goes", "does_not_go")


@dataclass(frozen=True)
class Desk:
    """Where one tablet works: its sign-in, its fitter, and its open overhaul."""

    token: str
    person_id: int
    overhaul_id: int


@dataclass(frozen=True)
class Workplace:
    """The desks, the readings that are taken over and over, and the overhaul that is closed."""

    desks: tuple[Desk, ...]
    readings: tuple[Reading, ...]
    closed_id: int
    token: str


def a_workplace(book: Book, desks: int) -> Workplace:
    """Fill an empty book."""
    a_sheet(book)
    a_person(book, "I. Brandreth", Role.CHIEF)
    closed_id = _closed(book)
    made = tuple(_desk(book, number) for number in range(desks))
    token = sign_in(book, "I. Brandreth", PASSWORD, datetime.now(UTC)).token
    return Workplace(made, _gauged(book, closed_id), closed_id, token)


def entry(reading: Reading, identifier: str, desk: Desk) -> dict[str, str]:
    """A reading as a tablet's form sends it; why it is put right is given, so that nothing is asked about."""
    place = reading.place
    where = {"part": place.part, "characteristic": place.characteristic, "level": place.level, "axis": place.axis}
    said = {"correction": "gauged again", "maker": str(desk.person_id), "id": identifier, "occasion": "as found"}
    sizes = {name: length.typed for name in LENGTHS if (length := getattr(reading, name)) is not None}
    seen = {"findings": reading.findings[0]} if reading.findings else {}
    return where | said | sizes | seen | {"kind": reading.kind.value}


def _gauged(book: Book, overhaul_id: int) -> tuple[Reading, ...]:
    """What is read at each place of a machine in good order."""
    with book.reading() as session:
        parts = get_overhaul(session, overhaul_id).parts
    return tuple(good_readings(parts, Occasion.AS_FOUND, NOW))


def _closed(book: Book) -> int:
    """An overhaul of a year ago, gauged everywhere, decided and closed."""
    at = NOW - timedelta(days=365)
    machine = a_machine(book, "GA-0", at=at)
    overhaul_id = an_overhaul(book, machine, "2300", at, a_sheet(book))
    with book.reading() as session:
        parts = get_overhaul(session, overhaul_id).parts
    enter(book, overhaul_id, *good_readings(parts, Occasion.AS_FOUND, at))
    sign_all(book, overhaul_id, at)
    return overhaul_id


def _desk(book: Book, number: int) -> Desk:
    """A machine opened and made safe, and a fitter at it."""
    person = a_person(book, f"Fitter {number + 1}", Role.FITTER)
    machine = a_machine(book, f"GA-{number + 1}", at=NOW - timedelta(days=100))
    overhaul_id = an_overhaul(book, machine, "2300", NOW, a_sheet(book))
    confirm_all(book, overhaul_id, Phase.MAKE_SAFE)
    token = sign_in(book, person.name, PASSWORD, datetime.now(UTC)).token
    return Desk(token, person.id, overhaul_id)
