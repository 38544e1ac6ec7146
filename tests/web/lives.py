"""A machine with a past: its second overhaul renewed a ring set, honed a bore and granted a concession."""

from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal

from app.domain.limits import LimitSheet
from app.domain.overhaul import Concession, Decision, Machine
from app.domain.readings import Occasion, Reading
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.builders import a_machine, a_reading, a_sheet, an_overhaul, decide, enter, fit, good_readings, sign_all

FIRST, SECOND, THIRD = (datetime(year, 3, 16, 9, tzinfo=UTC) for year in (2016, 2018, 2021))
GAP, BORE, PISTON = ("2.ring-1", "closed-gap"), ("2.cylinder", "bore"), ("2.piston", "skirt")
TOP_ACROSS = ("top of ring travel", "across the pin")
NEW_LIFE = ("2.ring-1", "2.ring-2", "2.ring-3", "2.cylinder")


@dataclass(frozen=True)
class Past:
    """The machine and its overhauls."""

    machine: Machine
    first: int
    second: int
    third: int


def a_machine_with_a_past(book: Book, ends: Concession | None = None) -> Past:
    """GA-1 after three overhauls, of stage 2 alone; the first and second by revision B of the sheet, the third by C."""
    earlier = a_sheet(book, "qm-ga-b.toml")
    machine = a_machine(book, "GA-1", "0", datetime(2014, 1, 2, tzinfo=UTC))
    now = a_sheet(book)
    first = _opened(book, machine, "2010", FIRST, earlier, {GAP: "0.40/0.45", BORE: "78.05"})
    sign_all(book, first, FIRST)
    second = _opened(book, machine, "4080", SECOND, earlier, {GAP: "0.72/0.75", BORE: "78.13"})
    _work(book, second, earlier)
    _concede(book, second, ends or Concession("R. Osk", Decimal(7000)))
    sign_all(book, second, SECOND)
    third = _opened(book, machine, "6150", THIRD, now, {GAP: "0.50/0.55", BORE: "78.27", PISTON: "78.02"})
    enter(book, third, a_reading(*GAP, "0.45/0.50", THIRD, level="worst place"))
    return Past(machine, first, second, third)


def _opened(
    book: Book, machine: Machine, hours: str, at: datetime, sheet: LimitSheet, found: dict[tuple[str, str], str]
) -> int:
    """Open an overhaul of stage 2 and gauge it: sound but for what is given."""
    overhaul = an_overhaul(book, machine, hours, at, sheet, stages=(2,))
    parts = tuple(part for part in sheet.parts if part.stage == 2)
    enter(book, overhaul, *(_as_found(reading, found) for reading in good_readings(parts, Occasion.AS_FOUND, at)))
    return overhaul


def _as_found(reading: Reading, found: dict[tuple[str, str], str]) -> Reading:
    """Put what was found in the place of a sound entry; a bore wears a hundredth less away from its worst place."""
    place = reading.place
    value = found.get((place.part, place.characteristic))
    if value is None:
        return reading
    where = {"level": place.level, "axis": place.axis}
    if place.axis and (place.level, place.axis) != TOP_ACROSS:
        value = str(Decimal(value) - Decimal("0.01"))
    return a_reading(place.part, place.characteristic, value, reading.measured_at, **where)


def _work(book: Book, overhaul: int, sheet: LimitSheet) -> None:
    """Fit a new ring set and hone the bore."""
    fit(book, overhaul, "2.ring-set", SECOND)
    fit(book, overhaul, "2.cylinder", SECOND, made_to="78.25")
    parts = tuple(part for part in sheet.parts if part.ref in NEW_LIFE)
    for reading in good_readings(parts, Occasion.AS_FITTED, SECOND):
        place = reading.place
        where = {"level": place.level, "axis": place.axis, "occasion": Occasion.AS_FITTED}
        is_bore = place.characteristic == "bore"
        enter(book, overhaul, a_reading(*BORE, "78.25", SECOND, **where) if is_bore else reading)


def _concede(book: Book, overhaul: int, ends: Concession) -> None:
    """Let a worn pin run on for a while."""
    enter(book, overhaul, a_reading("2.pin", "diameter", "21.960", SECOND))
    reason = "New pin on order, five weeks"
    decide(book, overhaul, Decision("2.pin", Verdict.REUSE, reason, "I. Brandreth", SECOND, concession=ends))
