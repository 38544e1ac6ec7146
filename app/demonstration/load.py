"""Loads the demonstration into an empty book: everything goes in through the actions, in the order it happened."""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path

from app.actions.machines import add_machine
from app.actions.meter import TypedHours, read_meter
from app.actions.overhauls import open_overhaul
from app.actions.passwords import KNOWN_TO_ALL
from app.actions.people import add_first_person, add_person
from app.actions.sheet_approvals import approve_sheet
from app.actions.sheets import import_sheet, newest_sheet
from app.demonstration.chance import chance
from app.demonstration.condition import Condition
from app.demonstration.instruments import AFTER_THE_ROUND_MINUTES, INSTRUMENTS, calibrated, register
from app.demonstration.openings import Opening
from app.demonstration.people import PEOPLE
from app.demonstration.running import FAULT_DAYS_AGO, FAULT_TAG, see_a_fault
from app.demonstration.services import MINUTES_A_SERVICE, SERVICES, InventedService, serve
from app.demonstration.story import (
    BEGAN_DAYS_AGO,
    CHIEF,
    MACHINES,
    OPENINGS,
    REVISION_C_DAYS_AGO,
    SITE,
    InventedMachine,
)
from app.demonstration.visit import FITTER, PASSWORDS, Visit
from app.demonstration.whole_opening import tell_opening
from app.demonstration.working_days import Clock, working_day, working_day_before
from app.domain.people import Person
from app.store.book import Book

SAMPLE_DATA = Path(__file__).parents[2] / "sample_data"
NO_PICTURE = ("", b"")
METER_IS_READ_EVERY_DAYS = 61
LONGEST_OPENING_DAYS, WEEKEND_DAYS = 18, 3
QUIET_DAYS = 8  # the last days belong to the newest openings, which read the meter themselves

Event = tuple[Clock, Callable[[Clock], None]]


def load_demonstration(book: Book, now: datetime) -> None:
    """Tell the whole story to an empty book, so that it ends at this moment."""
    _Telling(book, now.astimezone(UTC).date()).tell()


class _Telling:
    """The story being told: the day it is told on, and the people and machines met so far."""

    def __init__(self, book: Book, today: date) -> None:
        self.book = book
        self.today = today
        self.crew: dict[str, Person] = {}
        self.conditions: dict[str, Condition] = {}
        self.instruments: dict[str, int] = {}

    def tell(self) -> None:
        """Let everything happen in its order."""
        for clock, happens in sorted(self._events(), key=lambda event: event[0].now):
            happens(clock)

    def _events(self) -> Iterator[Event]:
        """List everything that happens, each with a clock at the time it begins."""
        yield Clock(self._day(BEGAN_DAYS_AGO)), self._begin
        yield Clock(self._day(REVISION_C_DAYS_AGO)), partial(self._import, "qm-ga")
        for machine in MACHINES:
            yield Clock(self._day(machine.days_ago)), partial(self._add, machine)
            for days_ago in self._rounds(machine):
                yield _on_the_round(machine, self._day(days_ago)), partial(self._read_meter, machine, days_ago)
            yield from self._services(machine)
        for each in INSTRUMENTS:
            for days_ago, error_mm in each.calibrations(BEGAN_DAYS_AGO):
                clock = Clock(self._day(days_ago if _is_quiet(days_ago) else days_ago + LONGEST_OPENING_DAYS))
                clock.after(AFTER_THE_ROUND_MINUTES)
                yield clock, partial(self._calibrate, each.name, error_mm)
        yield Clock(self._day(FAULT_DAYS_AGO)), self._see_a_fault
        for opening in OPENINGS:
            yield Clock(self._opening_day(opening)), partial(self._open, opening)

    def _day(self, days_ago: int) -> date:
        """Give the working day at or before so many days ago."""
        return working_day(self.today - timedelta(days=days_ago))

    def _opening_day(self, opening: Opening) -> date:
        """Give the day of an opening."""
        if opening.working_days_ago:
            return working_day_before(self.today, opening.working_days_ago)
        return self._day(opening.days_ago)

    def _rounds(self, machine: InventedMachine) -> Iterator[int]:
        """Give how many days ago a meter was read in passing: never around an opening of any machine."""
        for days_ago in range(machine.days_ago - METER_IS_READ_EVERY_DAYS, QUIET_DAYS, -METER_IS_READ_EVERY_DAYS):
            if _is_quiet(days_ago):
                yield days_ago

    def _services(self, machine: InventedMachine) -> Iterator[Event]:
        """List the services of a machine, each behind the meter on its round."""
        rounds = list(self._rounds(machine))
        for number, service in enumerate(each for each in SERVICES if each.tag == machine.tag):
            days_ago = rounds[-service.rounds_ago]
            clock = _on_the_round(machine, self._day(days_ago))
            clock.after(number + 1 + MINUTES_A_SERVICE)
            yield clock, partial(self._serve, service, machine.hours_at(days_ago))

    def _begin(self, clock: Clock) -> None:
        """Begin the book: its people, and the first sheets."""
        first, *others = sorted(PEOPLE, key=lambda person: person.name != CHIEF)
        self.crew[first.name] = add_first_person(self.book, first.name, first.password, clock.after(5), KNOWN_TO_ALL)
        for person in others:
            by = self.crew[CHIEF]
            typed = person.name, person.role, person.password
            self.crew[person.name] = add_person(self.book, by, *typed, clock.after(5), KNOWN_TO_ALL)
        for sheet in ("qm-ga-b", "qm-ba"):
            self._import(sheet, clock)
        self.instruments = register(self.book, self.crew[CHIEF], clock)

    def _import(self, sheet: str, clock: Clock) -> None:
        """Bring a limit sheet in, and let a chief engineer approve it."""
        text = (SAMPLE_DATA / f"{sheet}.toml").read_text(encoding="utf-8")
        kept = import_sheet(self.book, self.crew[CHIEF], text, False, clock.after(10))
        named = kept.name, kept.revision
        approve_sheet(self.book, self.crew[CHIEF], named, PASSWORDS[CHIEF], NO_PICTURE, clock.after(15))

    def _add(self, machine: InventedMachine, clock: Clock) -> None:
        """Add a machine, new from its maker's test bed."""
        words = {"tag": machine.tag, "serial": machine.serial, "name": machine.name, "site": SITE}
        typed = words | {"sheet_name": machine.sheet_name, "hours": str(machine.hours_at(machine.days_ago))}
        add_machine(self.book, self.crew[CHIEF], typed, clock.after(12))
        self.conditions[machine.tag] = Condition(machine.tag, newest_sheet(self.book, machine.sheet_name))

    def _read_meter(self, machine: InventedMachine, days_ago: int, clock: Clock) -> None:
        """Read the meter in passing."""
        typed = TypedHours(str(machine.hours_at(days_ago)))
        read_meter(self.book, self.crew[FITTER], machine.tag, typed, UTC, clock.now)

    def _calibrate(self, name: str, error_mm: str, clock: Clock) -> None:
        """Let an instrument be calibrated."""
        calibrated(self.book, self.crew[CHIEF], self.instruments[name], name, error_mm, clock)

    def _see_a_fault(self, clock: Clock) -> None:
        """Let a fault be seen on a machine in service."""
        machine = next(machine for machine in MACHINES if machine.tag == FAULT_TAG)
        clock.after(35)
        see_a_fault(self.book, self.crew[FITTER], machine.hours_at(FAULT_DAYS_AGO), clock)

    def _serve(self, service: InventedService, hours: int, clock: Clock) -> None:
        """Do a routine service in passing."""
        serve(self.book, self.crew[FITTER], service, hours, clock)

    def _open(self, opening: Opening, clock: Clock) -> None:
        """Open a machine and go as far as the story goes."""
        machine = next(machine for machine in MACHINES if machine.tag == opening.tag)
        hours = str(machine.hours_at(opening.days_ago))
        typed = {"hours": hours, "what": opening.what, "request_id": f"{opening.tag} at {hours} h"}
        stages = [str(stage.number) for stage in self.conditions[opening.tag].sheet.stages]
        moment = clock.after(4)
        overhaul_id = open_overhaul(self.book, self.crew[FITTER], opening.tag, typed, stages, UTC, moment)
        tell_opening(Visit(self.book, self.crew, opening, self.conditions[opening.tag], clock, overhaul_id))


def _is_quiet(days_ago: int) -> bool:
    """Whether no machine stood open so many days ago."""
    return not any(
        opening.days_ago - LONGEST_OPENING_DAYS <= days_ago <= opening.days_ago + WEEKEND_DAYS for opening in OPENINGS
    )


def _on_the_round(machine: InventedMachine, day: date) -> Clock:
    """Give a clock at the time in the morning when the fitter passes a machine."""
    clock = Clock(day)
    clock.after(chance(machine.tag, day).uniform(5, 150))
    return clock
