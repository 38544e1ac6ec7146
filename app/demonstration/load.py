"""Loads the demonstration into an empty book: everything goes in through the actions, in the order it happened."""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path

from app.actions.machines import add_machine, record_hours
from app.actions.overhauls import open_overhaul
from app.actions.people import add_first_person, add_person
from app.actions.sheets import import_sheet, newest_sheet
from app.demonstration.chance import chance
from app.demonstration.condition import Condition
from app.demonstration.openings import Opening
from app.demonstration.people import PEOPLE
from app.demonstration.story import (
    BEGAN_DAYS_AGO,
    CHIEF,
    MACHINES,
    OPENINGS,
    REVISION_C_DAYS_AGO,
    SITE,
    InventedMachine,
)
from app.demonstration.visit import FITTER, Visit
from app.demonstration.whole_opening import tell_opening
from app.demonstration.working_days import Clock, working_day, working_day_before
from app.domain.people import Person
from app.store.book import Book

SAMPLE_DATA = Path(__file__).parents[2] / "sample_data"
METER_IS_READ_EVERY = timedelta(days=61)
LONGEST_OPENING = timedelta(days=18)
QUIET_DAYS = timedelta(days=8)  # the last days belong to the newest openings, which read the meter themselves

Event = tuple[datetime, Callable[[Clock], None]]


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

    def tell(self) -> None:
        """Let everything happen in its order."""
        for moment, happens in sorted(self._events(), key=lambda event: event[0]):
            happens(Clock(moment.date()))

    def _events(self) -> Iterator[Event]:
        """List everything that happens, with the day it begins on."""
        yield self._on(self._day(BEGAN_DAYS_AGO), self._begin)
        yield self._on(self._day(REVISION_C_DAYS_AGO), partial(self._import, "qm-ga"))
        for machine in MACHINES:
            yield self._on(self._day(machine.days_ago), partial(self._add, machine))
            for day in self._meter_days(machine):
                yield self._on(day, partial(self._read_meter, machine))
        for opening in OPENINGS:
            yield self._on(self._opening_day(opening), partial(self._open, opening))

    @staticmethod
    def _on(day: date, happens: Callable[[Clock], None]) -> Event:
        """Put something on the morning of a day."""
        return Clock(day).now, happens

    def _day(self, days_ago: int) -> date:
        """Give the working day at or before so many days ago."""
        return working_day(self.today - timedelta(days=days_ago))

    def _opening_day(self, opening: Opening) -> date:
        """Give the day of an opening."""
        if opening.working_days_ago:
            return working_day_before(self.today, opening.working_days_ago)
        return self._day(opening.days_ago)

    def _meter_days(self, machine: InventedMachine) -> Iterator[date]:
        """Give the days on which a meter is read in passing: none while a machine is open."""
        opened = [self._opening_day(opening) for opening in OPENINGS]
        day = self._day(machine.days_ago) + METER_IS_READ_EVERY
        while day <= self.today - QUIET_DAYS:
            if not any(first <= day <= first + LONGEST_OPENING for first in opened):
                yield working_day(day)
            day += METER_IS_READ_EVERY

    def _begin(self, clock: Clock) -> None:
        """Begin the book: its people, and the first sheets."""
        first, *others = sorted(PEOPLE, key=lambda person: person.name != CHIEF)
        self.crew[first.name] = add_first_person(self.book, first.name, first.password, clock.after(5))
        for person in others:
            by = self.crew[CHIEF]
            added = add_person(self.book, by, person.name, person.role, person.password, clock.after(5))
            self.crew[person.name] = added
        for sheet in ("qm-ga-b", "qm-ba"):
            self._import(sheet, clock)

    def _import(self, sheet: str, clock: Clock) -> None:
        """Bring a limit sheet in."""
        text = (SAMPLE_DATA / f"{sheet}.toml").read_text(encoding="utf-8")
        import_sheet(self.book, self.crew[CHIEF], text, False, clock.after(10))

    def _add(self, machine: InventedMachine, clock: Clock) -> None:
        """Add a machine, new from its maker's test bed."""
        words = {"tag": machine.tag, "serial": machine.serial, "name": machine.name, "site": SITE}
        typed = words | {"sheet_name": machine.sheet_name, "hours": self._hours(machine, clock)}
        add_machine(self.book, self.crew[CHIEF], typed, clock.after(12))
        self.conditions[machine.tag] = Condition(machine.tag, newest_sheet(self.book, machine.sheet_name))

    def _read_meter(self, machine: InventedMachine, clock: Clock) -> None:
        """Read the meter in passing, some time in the morning."""
        moment = clock.after(chance(machine.tag, clock.now.date()).uniform(5, 150))
        record_hours(self.book, self.crew[FITTER], machine.tag, self._hours(machine, clock), moment)

    def _open(self, opening: Opening, clock: Clock) -> None:
        """Open a machine and go as far as the story goes."""
        machine = next(machine for machine in MACHINES if machine.tag == opening.tag)
        typed = {"hours": self._hours(machine, clock), "what": opening.what, "request_id": f"{opening.tag} {clock.now}"}
        stages = [str(stage.number) for stage in self.conditions[opening.tag].sheet.stages]
        moment = clock.after(4)
        overhaul_id = open_overhaul(self.book, self.crew[FITTER], opening.tag, typed, stages, moment)
        tell_opening(Visit(self.book, self.crew, opening, self.conditions[opening.tag], clock, overhaul_id))

    def _hours(self, machine: InventedMachine, clock: Clock) -> str:
        """Give what the meter shows on a day."""
        return str(machine.hours_after((clock.now.date() - self._day(machine.days_ago)).days))
