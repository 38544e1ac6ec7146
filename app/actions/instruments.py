"""The register of instruments: adding to it, what one is worth on a day, and what one found out puts in doubt."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from enum import StrEnum

from app.domain.amended_verdicts import AmendedVerdict, judged_with, with_amended
from app.domain.amendments import amended_readings
from app.domain.errors import InputRefused, NotThere, NumberRefused, UnitMismatch
from app.domain.instruments import Calibration, Instrument, Status, corrected
from app.domain.limits import Method
from app.domain.numbers import parse_number
from app.domain.overhaul import Overhaul
from app.domain.people import Person, Right
from app.domain.phases import CLOSED, phase_of
from app.domain.readings import Occasion, Reading
from app.store.book import Book
from app.store.instruments import (
    list_instruments,
    list_overhauls_gauged_with,
    save_calibration,
    save_instrument,
)
from app.store.overhauls import get_overhaul

LONGEST = 60
LONGEST_DUE = timedelta(days=10 * 366)  # own choice, no source: a due day further off is a slip of the year
FIELDS = ("name", "method", "measures", "resolution", "permissible_error")


class Rule(StrEnum):
    """What is done with a reading of an instrument that is not in date."""

    MARK = "mark"
    REFUSE = "refuse"


@dataclass(frozen=True)
class Doubt:
    """One overhaul with readings in doubt, second looks too, and the parts that its sheet would judge otherwise."""

    overhaul: Overhaul
    readings: tuple[Reading, ...]
    changes: tuple[tuple[str, str, str, str], ...]  # item, name and occasion, then, corrected
    found_out: Calibration


def register(book: Book, known_at: datetime | None = None) -> list[Instrument]:
    """The register, as it stands or as it was known at a moment."""
    with book.reading() as session:
        return list_instruments(session, known_at)


def one_instrument(book: Book, number: int) -> Instrument:
    """One of the register; NotThere where it is none."""
    found = next((each for each in register(book) if each.id == number), None)
    if found is None:
        raise NotThere("There is no such instrument.")
    return found


def add_instrument(book: Book, by: Person, typed: dict[str, str], now: datetime) -> int:
    """Add an instrument under a name that none has yet."""
    by.must(Right.MANAGE_INSTRUMENTS)
    values = {name: typed.get(name, "").strip() for name in FIELDS}
    refused = {
        name: f"Give it in 1 to {LONGEST} characters." for name in FIELDS if not 0 < len(values[name]) <= LONGEST
    }
    if values["method"] not in list(Method):
        refused["method"] = f"Choose one of: {', '.join(Method)}."
    if values["name"] in [each.name for each in register(book)]:
        refused["name"] = "An instrument of this name is in the register."
    if refused:
        raise InputRefused(refused)
    with book.writing(by.name, now) as writing:
        return save_instrument(writing, values)


def calibrate(book: Book, by: Person, number: int, typed: dict[str, str], zone: tzinfo, now: datetime) -> None:
    """Enter a calibration by its certificate; the same one sent twice is entered once."""
    by.must(Right.MANAGE_INSTRUMENTS)
    instrument = one_instrument(book, number)
    refused: dict[str, str] = {}
    on, due = (_day(typed.get(name, ""), name, refused) for name in ("on", "due"))
    certificate, error = typed.get("certificate", "").strip(), _error(typed.get("error_mm", ""), refused)
    if not 0 < len(certificate) <= LONGEST:
        refused["certificate"] = f"Give the certificate in 1 to {LONGEST} characters."
    if on > now.astimezone(zone).date():
        refused["on"] = "This day is still to come."
    if due <= on:
        refused.setdefault("due", "It is due after it was calibrated.")
    elif "on" not in refused and due - on > LONGEST_DUE:
        refused["due"] = "This is more than ten years after it was calibrated. Look at the year."
    if refused:
        raise InputRefused(refused)
    entered = Calibration(on, due, certificate, error)
    with book.writing(by.name, now) as writing:
        if entered not in next(each for each in list_instruments(writing.session) if each.id == number).calibrations:
            save_calibration(writing, instrument, entered)


def refuse_overdue(book: Book, name: str, day: date, rule: str) -> None:
    """Refuse a reading with an instrument that is not in date, where the rule says so and the register knows it."""
    if rule != Rule.REFUSE or not name:
        return
    found = next((each for each in register(book) if each.name == name), None)
    if found is not None and found.status_on(day) is not Status.IN_DATE:
        raise InputRefused({"instrument": f"{name} is {found.words_on(day)}. Take another instrument."})


def today(book: Book, day: date) -> list[tuple[str, str]]:
    """Name every instrument of the register with what it is worth on a day."""
    return [(each.name, each.words_on(day)) for each in register(book)]


def statuses(book: Book, found: Overhaul, zone: tzinfo, known_at: datetime | None = None) -> list[tuple[str, str]]:
    """Say of each instrument of an overhaul's entries, and as they are amended, what it was worth when it was used.

    Days are those at the site.
    """
    readings = (*found.readings, *found.looks, *amended_readings(found.amendments).values())
    known = {each.name: each for each in register(book, known_at)}
    used = {(each.instrument, _measured_on(each, zone)) for each in readings if each.instrument}
    said = {(name, known[name].words_on(day) if name in known else "not in the register") for name, day in sorted(used)}
    return sorted(said)


def statuses_as_signed(book: Book, found: Overhaul, zone: tzinfo) -> list[tuple[str, str]]:
    """Say the same as it was known when the record was signed last: no certificate that came later changes it."""
    known_at = found.signatures[-1].at if phase_of(found) in CLOSED and found.signatures else None
    return statuses(book, found, zone, known_at)


def doubts(book: Book, instrument: Instrument, zone: tzinfo) -> list[Doubt]:
    """List every overhaul gauged with it since its last good calibration, judged again with the error taken away."""
    if not instrument.doubtful:
        return []
    with book.reading() as session:
        numbers = list_overhauls_gauged_with(session, instrument.name)
        overhauls = [get_overhaul(session, number) for number in numbers]
    found = [_doubt(each, instrument.name, days, zone) for days in instrument.doubtful for each in overhauls]
    return [doubt for doubt in found if doubt.readings]


def _doubt(found: Overhaul, name: str, days: tuple[date, Calibration], zone: tzinfo) -> Doubt:
    """Judge one overhaul again with the error that a calibration has found, in what was read since a day."""
    since, out = days
    error_mm = out.error_mm or Decimal(0)
    stands = with_amended(found, amended_readings(found.amendments))
    readings = tuple(
        each
        for each in (*stands.readings, *stands.looks)
        if each.instrument == name and since <= _measured_on(each, zone) <= out.on
    )
    again = judged_with(stands, {each.id: corrected(each, error_mm) for each in readings})
    changes = [
        (each.part.item, _name(each), each.by_sheet.word, each.amended.word)
        for each in again
        if each.amended is not each.by_sheet
    ]
    return Doubt(found, readings, tuple(changes), out)


def _measured_on(reading: Reading, zone: tzinfo) -> date:
    """The day at the site on which a reading was taken; certificates give days as they are there."""
    return reading.measured_at.astimezone(zone).date()


def _name(judged: AmendedVerdict) -> str:
    """Name the part, and the occasion where it is not the first."""
    return judged.part.name if judged.occasion is Occasion.AS_FOUND else f"{judged.part.name}, {judged.occasion}"


def _day(typed: str, name: str, refused: dict[str, str]) -> date:
    """Read a day, or keep the words why not."""
    try:
        return date.fromisoformat(typed.strip())
    except ValueError:
        refused[name] = "Give the day as 2026-11-24."
        return date.min


def _error(typed: str, refused: dict[str, str]) -> Decimal | None:
    """Read the error that was found; empty where it was within tolerance."""
    if not typed.strip():
        return None
    try:
        error_mm = parse_number(typed, signed=True, example="0.02 or -0.02")
    except (NumberRefused, UnitMismatch) as refusal:
        refused["error_mm"] = str(refusal)
        return None
    if not error_mm:
        refused["error_mm"] = "An error of nothing is within tolerance: leave this empty then."
    return error_mm
