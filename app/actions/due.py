"""What is due over all machines: from their sheets' tasks, their meters, their overhauls and their services."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, tzinfo

from sqlmodel import Session

from app.actions.concessions import open_concessions
from app.actions.past_overhauls import past_overhauls
from app.actions.tokens import CALENDAR, new_secret, secret_digest
from app.domain.due import Done, DueTask, Visit, due_at_end, due_date, visits_of
from app.domain.errors import NotThere
from app.domain.limits import LimitSheet, PartKind
from app.domain.meter import at_site, rate_of_use
from app.domain.overhaul import Machine, MeterReading
from app.domain.people import Person, Right
from app.domain.service import Service
from app.domain.tasks import Opens, Task
from app.store.book import Book
from app.store.facts import has_concession
from app.store.machines import list_machines, list_meter_readings
from app.store.overhauls import OverhaulSummary, list_overhauls
from app.store.people import find_person
from app.store.services import list_services
from app.store.sheets import current_sheet
from app.store.tokens import end_token, find_token, list_tokens, save_token

WINDOWS_DAYS = (0, 7, 14, 30, 60, 90)
USUAL_WINDOW_DAYS = 30


@dataclass(frozen=True)
class DuePlan:
    """Everything that is due: put together by visits, and what no day can be told for."""

    visits: tuple[Visit, ...]
    undated: tuple[DueTask, ...]
    window_days: int


def due_plan(book: Book, zone: tzinfo, window_days: int = USUAL_WINDOW_DAYS) -> DuePlan:
    """Plan what is due over all machines, by the days of the site."""
    with book.reading() as session:
        machines = list_machines(session)
        due = [each for machine in machines for each in _due_of(session, machine, zone)]
        conceded = [machine for machine in machines if has_concession(session, machine.id)]
    due += [each for machine in conceded for each in concessions_due(book, machine, zone)]
    undated = tuple(each for each in due if each.due.on is None)
    return DuePlan(visits_of(due, window_days), undated, window_days)


def due_of_machine(session: Session, machine: Machine, zone: tzinfo) -> list[DueTask]:
    """Everything that is due on one machine, in the order of its sheet."""
    return list(_due_of(session, machine, zone))


def concessions_due(book: Book, machine: Machine, zone: tzinfo) -> Iterator[DueTask]:
    """Tell when each concession ends that no later overhaul has decided anew; its part is opened before that."""
    with book.reading() as session:
        meter = list_meter_readings(session, machine.id)
    if not meter:
        return
    rate, read = rate_of_use(meter), at_site(meter[-1], zone)
    for granted in open_concessions(past_overhauls(book, machine.id), read.hours, read.read_at.date()):
        overhaul, end = granted.past.overhaul, granted.concession
        part = overhaul.sheet.part(granted.decision.ref)
        opens = Opens.VALVES if part and part.kind is PartKind.VALVE else Opens.RINGS
        task = Task(f"concession {granted.decision.ref}", f"Concession ends: {granted.what}", opens=opens)
        last = Done(overhaul.hours, granted.decision.at.astimezone(zone).date(), f"overhaul {overhaul.number}")
        due = due_at_end(end.until_hours, end.until_date, read, rate)
        yield DueTask(machine.tag, task, last, due, read.read_at.date())


def _due_of(session: Session, machine: Machine, zone: tzinfo) -> Iterator[DueTask]:
    """Tell what is due on a machine; one whose meter was never read tells nothing."""
    meter = list_meter_readings(session, machine.id)
    sheet = current_sheet(session, machine.sheet_name)
    if not meter or not sheet.tasks:
        return
    rate, first, read = rate_of_use(meter), at_site(meter[0], zone), at_site(meter[-1], zone)
    returned = [each for each in list_overhauls(session, machine.id) if not each.is_open]
    services = list_services(session, machine.id)
    for task in sheet.tasks:
        last = last_done(task, sheet, first, returned, services)
        yield DueTask(machine.tag, task, last, due_date(task, last, read, rate), read.read_at.date())


def last_done(
    task: Task, sheet: LimitSheet, first: MeterReading, overhauls: list[OverhaulSummary], services: list[Service]
) -> Done:
    """Find what a task's interval counts from: the last service, else the last overhaul, else start-up.

    An overhaul does what the machine is opened for; any other task it starts anew only where the sheet says how soon
    after an overhaul it comes first. The days are those of the site, in whose time zone the first reading is given.
    """
    zone = first.read_at.tzinfo
    done = []
    for each in overhauls:
        if _covers(each, task, sheet) if task.opens_machine else task.first_hours is not None:
            at = each.returned_at
            done.append((at, Done(each.hours, at.astimezone(zone).date(), f"overhaul {each.number}", is_fresh=True)))
    if not any(at < first.read_at for at, _ in done):  # an older overhaul on paper tells that it had run before
        done.append((first.read_at, Done(first.hours, first.read_at.date(), "start-up", is_fresh=True)))
    for service in services:
        if service.task == task.key:
            on = service.at.astimezone(zone).date()
            done.append((service.at, Done(service.hours, on, "done", is_in_order=service.is_in_order)))
    return max(done, key=lambda each: each[0])[1]


def _covers(overhaul: OverhaulSummary, task: Task, sheet: LimitSheet) -> bool:
    """Whether an overhaul did what a task opens the machine for."""
    stages = {task.stage} if task.stage else {stage.number for stage in sheet.stages}
    is_deep_enough = overhaul.scope.has_rings or task.opens is Opens.VALVES
    return is_deep_enough and stages <= set(overhaul.scope.stages)


def make_calendar_address(book: Book, by: Person, now: datetime) -> str:
    """Make the secret of a person's calendar; the one before ends."""
    by.must(Right.READ)
    secret = new_secret()
    with book.writing(by.name, now) as writing:
        for token in list_tokens(writing.session, CALENDAR):
            if token.person_id == by.id:
                end_token(writing, token.id)
        save_token(writing, CALENDAR, secret_digest(secret), by.name, person_id=by.id)
    return secret


def calendar_plan(book: Book, secret: str, zone: tzinfo) -> DuePlan:
    """Give the plan to whoever holds a calendar's address, as long as its person may read the book."""
    with book.reading() as session:
        token = find_token(session, CALENDAR, secret_digest(secret))
        person = find_person(session, token.person_id or 0) if token else None
    if person is None or not person.may(Right.READ):
        raise NotThere("There is no such calendar. Its address may have been made anew.")
    return due_plan(book, zone)
