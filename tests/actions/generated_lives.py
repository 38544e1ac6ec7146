"""Machines and what happens to them, by chance of a seed: late and struck hours, paper, clocks that were set back."""

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import count

from app.domain.overhaul import LIVE_MEANINGS, Concession, Decision, Machine, Meaning, MeterReading, Scope, Signature
from app.domain.people import Role
from app.domain.service import Service
from app.domain.sheet_file import read_sheet
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.facts import save_decision, save_signature
from app.store.machines import list_meter_readings, save_machine, save_meter_reading, save_strike
from app.store.overhauls import Paper, list_overhauls, save_overhaul, save_overhaul_from_paper
from app.store.people import save_person
from app.store.services import save_service
from app.store.sheets import save_sheet
from tests.builders import NOW, a_sheet, a_sheet_text

SCOPES = (*[Scope((1, 2, 3), True)] * 3, Scope((1, 2, 3), False), Scope((2,), True))
TASKS = ("oil-level", "oil-change", "coupling", "joints", "valves")
DAYS = 4000


class Lives:
    """The machines of one book."""

    def __init__(self, book: Book, seed: int, machines: int) -> None:
        self.book, self.chance, self.numbers = book, random.Random(seed), count(1)
        self.sheet = a_sheet(book)
        with book.writing("I. Brandreth", NOW) as writing:
            self.machines = [
                save_machine(writing, f"GA-{number}", "S", "Governor air", "Quillmoor", "QM-GA")
                for number in range(machines)
            ]
        often = {
            self.read_hours: 5, self.strike: 1, self.open: 4, self.open_on_paper: 3, self.sign: 1, self.close: 5,
            self.serve: 3, self.concede: 3,
        }  # fmt: skip
        self.happens = [happens for happens, times in often.items() for _ in range(times)]

    def happen(self, times: int) -> None:
        """Let so many things happen, each to any machine."""
        for _ in range(times):
            self.chance.choice(self.happens)(self.chance.choice(self.machines))

    def moment(self) -> datetime:
        """Any moment of these years; some come again, and some are but a blink apart."""
        blink = timedelta(microseconds=self.chance.choice((0, 0, 1, 999_999)))
        return datetime(2015, 3, 1, 23, 59, 58, tzinfo=UTC) + timedelta(days=self.chance.randrange(DAYS)) + blink

    def hours(self, at: datetime) -> Decimal:
        """The hours at a moment, more or less."""
        return Decimal((at - datetime(2015, 1, 1, tzinfo=UTC)).days * 12 + self.chance.randrange(-40, 40))

    def read_hours(self, machine: Machine) -> None:
        """Read a meter, sometimes the day after or a while after it was read last."""
        with self.book.writing("M. Tarrow", NOW) as writing:
            known = list_meter_readings(writing.session, machine.id)
            at = self.moment()
            if known and self.chance.random() < 0.7:
                at = known[-1].read_at + timedelta(days=self.chance.choice((0, 1, 6, 7, 30, 119, 120, 121, 400)))
            save_meter_reading(writing, machine, MeterReading(self.hours(at), at, "M. Tarrow"))

    def strike(self, machine: Machine) -> None:
        """Strike a reading, rather the last one."""
        with self.book.writing("M. Tarrow", NOW) as writing:
            if known := list_meter_readings(writing.session, machine.id):
                save_strike(writing, machine, self.chance.choice((known[-1], *known)), "misread")

    def open(self, machine: Machine) -> None:
        """Open a machine, whatever the clock says."""
        at = self.moment()
        with self.book.writing("M. Tarrow", at) as writing:
            asked = self.chance.choice(SCOPES), self.hours(at), f"request-{next(self.numbers)}"
            save_overhaul(writing, machine, self.sheet.name, "C", *asked)

    def open_on_paper(self, machine: Machine) -> None:
        """Bring an overhaul in from paper, on every other machine."""
        if machine.id % 2 == 0:
            at, paper = self.moment(), Paper("old.csv", f"paper-{next(self.numbers)}")
            with self.book.writing("I. Brandreth", NOW) as writing:
                scope = self.chance.choice(SCOPES)
                save_overhaul_from_paper(writing, machine, self.sheet, scope, self.hours(at), at, paper)

    def sign(self, machine: Machine) -> None:
        """Give any signature under any overhaul."""
        self._sign(machine, (self.chance.choice(LIVE_MEANINGS),))

    def close(self, machine: Machine) -> None:
        """Give every signature under any overhaul."""
        self._sign(machine, LIVE_MEANINGS)

    def _sign(self, machine: Machine, meanings: tuple[Meaning, ...]) -> None:
        with self.book.reading() as session:
            live = [each for each in list_overhauls(session, machine.id) if not each.paper]
        if live:
            number, at = self.chance.choice(live).id, self.moment()
            with self.book.writing("I. Brandreth", at) as writing:
                for meaning in meanings:
                    digest = f"digest-{next(self.numbers)}"
                    save_signature(writing, number, Signature(meaning, "I. Brandreth", at, digest), "{}")

    def serve(self, machine: Machine) -> None:
        """Record a service, in order or not."""
        at, task = self.moment(), self.chance.choice(TASKS)
        done = Service(task, "QM-GA rev C", self.hours(at), at, "M. Tarrow", (), "", self.chance.random() < 0.8)
        with self.book.writing("M. Tarrow", NOW) as writing:
            save_service(writing, machine, done, f"service-{next(self.numbers)}")
            if self.chance.random() < 0.3:  # another one at the very same moment
                save_service(writing, machine, replace(done, hours=done.hours + 1), f"service-{next(self.numbers)}")

    def concede(self, machine: Machine) -> None:
        """Let a part stay in for some hours, and sign the decisions."""
        with self.book.reading() as session:
            live = [each for each in list_overhauls(session, machine.id) if not each.paper]
        if live:
            ends = Concession("R. Osk", Decimal(self.chance.randrange(5000, 60000)))
            decision = Decision("2.piston", Verdict.REUSE, "it lasts", "I. Brandreth", NOW, "", ends)
            with self.book.writing("I. Brandreth", NOW) as writing:
                save_decision(writing, live[0].id, decision)
            self._sign(machine, (Meaning.DECIDED,))

    def revise(self, interval: int) -> None:
        """Put the next revision of the sheet in force."""
        text = a_sheet_text().replace('revision = "C"', f'revision = "D{interval}"')
        text = text.replace("interval = 5000", f"interval = {interval}")
        with self.book.writing("I. Brandreth", NOW) as writing:
            save_sheet(writing, text, read_sheet(text))

    def add(self) -> None:
        """Add a person, and a machine with its hours."""
        number = next(self.numbers)
        with self.book.writing("I. Brandreth", NOW) as writing:
            save_person(writing, f"Fitter {number}", Role.FITTER, "digest")
            machine = save_machine(writing, f"BA-{number}", "S", "Governor air", "Quillmoor", "QM-GA")
            save_meter_reading(writing, machine, MeterReading(Decimal(number), NOW, "M. Tarrow"))
        self.machines.append(machine)
