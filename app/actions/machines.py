"""Machines and their operating hours."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal

from sqlmodel import Session

from app.actions.meter import hours_typed
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet
from app.domain.overhaul import Machine, MeterReading, Phase
from app.domain.people import Person, Right
from app.domain.phases import phase_of
from app.store.all_machines import Newest, hours_of, newest_overhauls_of
from app.store.book import Book
from app.store.machines import (
    find_machine,
    get_machine,
    list_machines,
    list_meter_readings,
    save_machine,
    save_meter_reading,
)
from app.store.overhauls import OverhaulSummary, get_overhaul, list_overhauls
from app.store.sheets import current_sheet, list_sheets

LONGEST = 60
WORDS = {
    "tag": "the tag",
    "serial": "the serial number",
    "name": "what it is",
    "site": "the site",
    "sheet_name": "the limit sheet",
}
NO_TAGS = ("new", ".", "..")  # addresses of other pages


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

    @property
    def on_meter(self) -> Decimal | None:
        """What the meter showed when it was last read."""
        return self.meter[-1].on_meter if self.meter else None


@dataclass(frozen=True)
class ListedMachine:
    """A machine as the list of them shows it: its hours, its newest overhaul, and the phase of the one that is open."""

    machine: Machine
    hours: Decimal | None
    newest: Newest | None
    phase: Phase | None

    @property
    def open_overhaul(self) -> int | None:
        """The overhaul that is open."""
        return self.newest.open_id if self.newest else None


def add_machine(book: Book, by: Person, typed: dict[str, str], now: datetime) -> Machine:
    """Add a machine: tag, serial number, name, site, limit sheet and hours on the meter; sent twice, added once."""
    by.must(Right.MANAGE_MACHINES)
    words = {name: typed.get(name, "").strip() for name in WORDS}
    refused = {name: wrong for name, word in words.items() if (wrong := _wrong_word(name, word))}
    hours = hours_typed(typed.get("hours", ""), refused)
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


def machine_state(book: Book, tag: str) -> MachineState:
    """One machine as it stands."""
    with book.reading() as session:
        return _state(session, get_machine(session, tag))


def machine_states(book: Book) -> list[MachineState]:
    """Every machine as it stands."""
    with book.reading() as session:
        return [_state(session, machine) for machine in list_machines(session)]


def listed_machines(book: Book) -> list[ListedMachine]:
    """Every machine as lists show it, asked of all at once."""
    with book.reading() as session:
        hours, newest = hours_of(session), newest_overhauls_of(session)
        is_open = [one.open_id for one in newest.values() if one.open_id is not None]
        phases = {overhaul: phase_of(get_overhaul(session, overhaul)) for overhaul in is_open}
        return [
            ListedMachine(one, hours.get(one.id), last, phases.get(last.open_id or 0) if last else None)
            for one in list_machines(session)
            for last in [newest.get(one.id)]
        ]


def machine_tags(book: Book) -> list[str]:
    """The tags of the machines in the book."""
    with book.reading() as session:
        return [machine.tag for machine in list_machines(session)]


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
