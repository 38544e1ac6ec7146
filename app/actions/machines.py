"""Machines and their operating hours."""

from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from sqlmodel import Session

from app.domain.errors import InputRefused, NotThere, NumberRefused, UnitMismatch
from app.domain.limits import LimitSheet
from app.domain.numbers import parse_number
from app.domain.overhaul import Machine, MeterReading, Phase
from app.domain.people import Person, Right
from app.domain.phases import phase_of
from app.store.book import Book
from app.store.machines import find_machine, list_machines, list_meter_readings, save_machine, save_meter_reading
from app.store.overhauls import OverhaulSummary, get_overhaul, list_overhauls
from app.store.sheets import current_sheet, list_sheets

LONGEST = 60
MOST_HOURS = Decimal(1_000_000)
WORDS = {
    "tag": "the tag",
    "serial": "the serial number",
    "name": "what it is",
    "site": "the site",
    "sheet_name": "the limit sheet",
}
NO_TAGS = ("new", ".", "..")  # addresses of other pages
SENT_TWICE = timedelta(minutes=5)


@dataclass(frozen=True)
class MachineState:
    """A machine with its hours, its overhauls newest first, and the one that is open with its phase."""

    machine: Machine
    sheet: LimitSheet
    meter: tuple[MeterReading, ...]
    overhauls: tuple[OverhaulSummary, ...]
    open_overhaul: int | None
    phase: Phase | None = None

    @property
    def hours(self) -> Decimal | None:
        """The hours last read."""
        return self.meter[-1].hours if self.meter else None


def add_machine(book: Book, by: Person, typed: dict[str, str], now: datetime) -> Machine:
    """Add a machine: tag, serial number, name, site, limit sheet and hours on the meter; sent twice, added once."""
    by.must(Right.MANAGE_MACHINES)
    words = {name: typed.get(name, "").strip() for name in WORDS}
    refused = {name: wrong for name, word in words.items() if (wrong := _wrong_word(name, word))}
    hours = _hours(typed.get("hours", ""), refused)
    with book.writing(by.name, now) as writing:
        if words["sheet_name"] not in {summary.name for summary in list_sheets(writing.session)}:
            refused["sheet_name"] = "Choose a sheet that is in the book."
        known = find_machine(writing.session, words["tag"])
        if known and asdict(known) == {"id": known.id, **words} and not refused:
            return known
        if known:
            refused["tag"] = "A machine with this tag is in the book."
        if refused:
            raise InputRefused(refused)
        machine = save_machine(writing, **words)
        save_meter_reading(writing, machine, MeterReading(hours, now, by.name))
        return machine


def _wrong_word(name: str, word: str) -> str:
    """Say what is wrong with a word of a machine, nothing where it is well."""
    if not 0 < len(word) <= LONGEST or not word.isprintable():
        return f"Fill in {WORDS[name]}, with at most {LONGEST} characters."
    if name == "tag" and ("/" in word or word in NO_TAGS):
        return "A tag stands in the page's address: no stroke, and not “new”."
    return ""


def record_hours(book: Book, by: Person, tag: str, typed: str, now: datetime) -> None:
    """Record a meter reading; a meter that went down is asked about, never computed through."""
    by.must(Right.RECORD_HOURS)
    refused: dict[str, str] = {}
    hours = _hours(typed, refused)
    with book.writing(by.name, now) as writing:
        machine = _machine(writing.session, tag)
        meter = list_meter_readings(writing.session, machine.id)
        check_hours(meter, hours, now, refused)
        if refused:
            raise InputRefused(refused)
        if not _is_sent_twice(meter, MeterReading(hours, now, by.name)):
            save_meter_reading(writing, machine, MeterReading(hours, now, by.name))


def _is_sent_twice(meter: list[MeterReading], reading: MeterReading) -> bool:
    """Whether the very same reading came from the same person just before, as when a button is tapped twice."""
    last = meter[-1] if meter else None
    is_same = last is not None and (last.hours, last.person) == (reading.hours, reading.person)
    return is_same and last is not None and reading.read_at - last.read_at < SENT_TWICE


def check_hours(meter: list[MeterReading], hours: Decimal, now: datetime, refused: dict[str, str]) -> None:
    """Refuse hours below the last reading, and more hours than the clock has run since."""
    if not meter or "hours" in refused:
        return
    last = meter[-1]
    elapsed = Decimal((now - last.read_at).total_seconds()) / 3600
    if hours < last.hours:
        refused["hours"] = f"The meter stood at {last.hours} h. It cannot run back: read it again."
    elif hours - last.hours > elapsed + 24:
        refused["hours"] = f"{hours - last.hours} h since {last.read_at:%d %b %Y} is more than the clock has run."


def machine_state(book: Book, tag: str) -> MachineState:
    """One machine as it stands."""
    with book.reading() as session:
        return _state(session, _machine(session, tag))


def machine_states(book: Book) -> list[MachineState]:
    """Every machine as it stands."""
    with book.reading() as session:
        return [_state(session, machine) for machine in list_machines(session)]


def _state(session: Session, machine: Machine) -> MachineState:
    """Gather one machine's state."""
    overhauls = tuple(list_overhauls(session, machine.id))
    open_overhaul = next((overhaul.id for overhaul in overhauls if overhaul.is_open), None)
    return MachineState(
        machine,
        current_sheet(session, machine.sheet_name),
        tuple(list_meter_readings(session, machine.id)),
        overhauls,
        open_overhaul,
        phase_of(get_overhaul(session, open_overhaul)) if open_overhaul else None,
    )


def _machine(session: Session, tag: str) -> Machine:
    """Find a machine by its tag; NotThere when there is none."""
    machine = find_machine(session, tag)
    if machine is None:
        raise NotThere(f"No machine “{tag[:40]}” is in the book.")
    return machine


def _hours(typed: str, refused: dict[str, str]) -> Decimal:
    """Read hours from the meter."""
    try:
        hours = parse_number(typed, example="10300")
    except (NumberRefused, UnitMismatch) as refusal:
        refused["hours"] = str(refusal)
        return Decimal(0)
    if hours > MOST_HOURS:
        refused["hours"] = f"More than {MOST_HOURS} h cannot be."
    return hours
