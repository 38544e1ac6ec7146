"""What is due over all machines: from their sheets' tasks, their meters, their overhauls and their services."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from functools import cached_property

from sqlmodel import Session

from app.actions.concessions import named, open_concessions
from app.actions.foreseen import worn_first
from app.actions.past_overhauls import past_overhauls
from app.actions.worse_verdicts import worse_verdicts
from app.domain.due import Done, DueDate, DueTask, due_at_end, due_date
from app.domain.limits import LimitSheet, PartKind
from app.domain.meter import Rate, at_site, rate_of_use
from app.domain.overhaul import Machine, MeterReading
from app.domain.parts_ahead import opens_part
from app.domain.tasks import Opens, Task
from app.domain.wear_due import due_by_wear, is_sooner, set_or_part
from app.store.all_machines import (
    Overhauls,
    Returned,
    ServiceDone,
    Some,
    answers_of_amendments,
    machines_conceded,
    meters_of,
    overhauls_of,
    services_of,
)
from app.store.book import Book
from app.store.machines import list_meter_readings
from app.store.sheets import current_sheet

WINDOWS_DAYS = (0, 7, 14, 30, 60, 90)
USUAL_WINDOW_DAYS = 30


@dataclass(frozen=True)
class Upkeep:
    """What the book holds of a machine that its due days follow from; the moments of its meter are the site's."""

    machine: Machine
    sheet: LimitSheet
    meter: tuple[MeterReading, ...]  # the first, and those that the use of late follows from
    overhauls: Overhauls
    services: tuple[ServiceDone, ...]  # the last ones of each task
    zone: tzinfo
    amended: tuple[str, ...] = ()  # the digests of the answers to its amendments

    @cached_property
    def rate(self) -> Rate | None:
        """The rate of use of late."""
        return rate_of_use(self.meter)


def everything_due(book: Book, upkeep: Upkeep) -> list[DueTask]:
    """Everything that the plan over all machines tells of one of them."""
    concessions = concessions_due(book, upkeep.machine, upkeep.zone)
    return [*tasks_due(upkeep), *wear_due(book, upkeep), *concessions, *amendments_due(book, upkeep)]


def due_of_machine(session: Session, machine: Machine, zone: tzinfo) -> list[DueTask]:
    """The tasks of one machine as they are due, in the order of its sheet."""
    return tasks_due(upkeep_of(session, machine, zone))


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


def amendments_due(book: Book, upkeep: Upkeep) -> Iterator[DueTask]:
    """Tell which parts are in by a verdict that a signed amendment made worse: due since the day it was signed."""
    past = past_overhauls(book, upkeep.machine.id) if upkeep.amended else ()
    for worse in worse_verdicts(past):
        part, on = worse.verdict.part, worse.since.astimezone(upkeep.zone).date()
        opens = Opens.VALVES if part.kind is PartKind.VALVE else Opens.RINGS
        name = f"Verdict amended to {worse.verdict.amended.word}: {part.item} {part.name}"
        task = Task(f"amended {part.ref}", name, opens=opens, stage=part.stage)
        last = Done(worse.overhaul.hours, on, f"overhaul {worse.overhaul.number}")
        yield DueTask(upkeep.machine.tag, task, last, DueDate(on, f"by amendment: {worse.verdict.words}"), on)


def upkeep_of(session: Session, machine: Machine, zone: tzinfo) -> Upkeep:
    """Gather what a machine's due days follow from, by the days of the site."""
    return upkeeps_of(session, [machine], zone, [machine.id])[0]


def upkeeps_of(session: Session, machines: Sequence[Machine], zone: tzinfo, only: Some = None) -> list[Upkeep]:
    """Gather the same of several machines with a few questions, over those alone or, where none is named, over all."""
    services, amended = services_of(session, only), answers_of_amendments(session, only)
    meters, overhauls = meters_of(session, only), overhauls_of(session, only)
    sheets = {name: current_sheet(session, name) for name in {machine.sheet_name for machine in machines}}
    return [
        Upkeep(
            one, sheets[one.sheet_name], tuple(at_site(each, zone) for each in meters.get(one.id, ())),
            overhauls.get(one.id, Overhauls()), tuple(services.get(one.id, ())), zone, amended.get(one.id, ()),
        )
        for one in machines
    ]  # fmt: skip


def tasks_due(upkeep: Upkeep) -> list[DueTask]:
    """Tell when each task of a machine is due; one whose meter was never read tells nothing."""
    return [_due_task(upkeep, task) for task in upkeep.sheet.tasks] if upkeep.meter else []


def _due_task(upkeep: Upkeep, task: Task) -> DueTask:
    """Tell when a task is due."""
    last = last_done(task, upkeep.sheet, upkeep.meter[0], upkeep.overhauls.newest_first, upkeep.services)
    return due_task(upkeep, task, last, due_date(task, last, upkeep.meter[-1], upkeep.rate))


def due_task(upkeep: Upkeep, task: Task, last: Done, due: DueDate) -> DueTask:
    """Put a due day beside its machine, and the day of the reading it counts from."""
    return DueTask(upkeep.machine.tag, task, last, due, upkeep.meter[-1].read_at.date())


def planned_opening(upkeep: Upkeep) -> DueTask | None:
    """Tell when the machine is opened next by the interval of its sheet; None without an interval or an opening.

    It counts from the last opening of every stage with its rings; without one, from the last.
    """
    interval, returned = upkeep.sheet.opening_interval_hours, upkeep.overhauls.newest_first
    if interval is None or not returned or not upkeep.meter:
        return None
    stages = {stage.number for stage in upkeep.sheet.stages}
    whole = [each for each in returned if each.scope.has_rings and set(each.scope.stages) >= stages]
    task = Task("opening", "Opening by the interval of the sheet", interval, opens=Opens.RINGS)
    last = _done_at((whole or returned)[0], upkeep.zone)
    return due_task(upkeep, task, last, due_date(task, last, upkeep.meter[-1], upkeep.rate))


def openings_due(upkeep: Upkeep) -> list[DueTask]:
    """Tell when a machine is opened: by its tasks that open it, and by the interval of its sheet."""
    planned = planned_opening(upkeep)
    tasks = [each for each in tasks_due(upkeep) if each.task.opens_machine]
    return [*tasks, *([planned] if planned else [])]


def machine_openings(book: Book, upkeep: Upkeep) -> list[DueTask]:
    """Tell everything that opens a machine: tasks, its sheet's interval, wear, ends of concessions, amendments."""
    with book.reading() as session:
        is_conceded = bool(machines_conceded(session, [upkeep.machine.id]))
    granted = concessions_due(book, upkeep.machine, upkeep.zone) if is_conceded else ()
    return [*openings_due(upkeep), *wear_due(book, upkeep), *granted, *amendments_due(book, upkeep)]


def wear_due(book: Book, upkeep: Upkeep) -> Iterator[DueTask]:
    """Tell what comes to its limit by wear before anything opens it; while a machine is open, its overhaul tells."""
    if not upkeep.meter or upkeep.overhauls.is_open or not upkeep.overhauls.newest_first:
        return
    openings = openings_due(upkeep)
    last = _done_at(upkeep.overhauls.newest_first[0], upkeep.zone)
    for each in worn_first(book, upkeep.machine, upkeep.sheet, upkeep.amended):
        due = due_by_wear(each, upkeep.meter[-1], upkeep.rate)
        opened = [one for one in openings if opens_part(one.task, each.part)]
        if all(is_sooner(due, one.due) for one in opened):
            ref = set_or_part(upkeep.sheet, each.part)
            opens = Opens.VALVES if each.part.kind is PartKind.VALVE else Opens.RINGS
            task = Task(f"wear {ref}", f"Wear limit: {named(upkeep.sheet, ref)}", opens=opens, stage=each.part.stage)
            yield due_task(upkeep, task, last, due)


def _done_at(overhaul: Returned, zone: tzinfo | None) -> Done:
    """Count from an overhaul."""
    on = overhaul.returned_at.astimezone(zone).date()
    return Done(overhaul.hours, on, f"overhaul {overhaul.number}", is_fresh=True)


def last_done(
    task: Task,
    sheet: LimitSheet,
    first: MeterReading,
    overhauls: Sequence[Returned],
    services: Sequence[ServiceDone],
) -> Done:
    """Find what a task's interval counts from: the last service, else the last overhaul, else start-up.

    An overhaul does what the machine is opened for; any other task it starts anew only where the sheet says how soon
    after an overhaul it comes first. The days are those of the site, in whose time zone the first reading is given.
    """
    zone = first.read_at.tzinfo
    begun = _begin_anew(task, sheet, overhauls)
    done = []
    if begun:
        newest = max(begun, key=lambda each: each.returned_at)
        done.append((newest.returned_at, _done_at(newest, zone)))
    if not any(each.returned_at < first.read_at for each in begun):  # older ones on paper tell that it had run before
        done.append((first.read_at, Done(first.hours, first.read_at.date(), "start-up", is_fresh=True)))
    for service in services:
        if service.task == task.key:
            on = service.at.astimezone(zone).date()
            done.append((service.at, Done(service.hours, on, "done", is_in_order=service.is_in_order)))
    return max(done, key=lambda each: each[0])[1]


def _begin_anew(task: Task, sheet: LimitSheet, overhauls: Sequence[Returned]) -> Sequence[Returned]:
    """List the overhauls at which a task begins anew: those that did what it opens the machine for; or all, or none."""
    if not task.opens_machine:
        return overhauls if task.first_hours is not None else ()
    stages = {task.stage} if task.stage else {stage.number for stage in sheet.stages}
    deep_enough = [each for each in overhauls if each.scope.has_rings or task.opens is Opens.VALVES]
    return [each for each in deep_enough if stages.issubset(each.scope.stages)]
