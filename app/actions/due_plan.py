"""The plan of what is due over all machines; what was reckoned of a machine stands until anything is entered of it.

What came since is told by the chain: held against the number and digest of its last entry at the time, nothing that is
held can stand for another state of the book, whichever process wrote what came after.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from time import monotonic

from app.actions.due import (
    USUAL_WINDOW_DAYS,
    Upkeep,
    amendments_due,
    concessions_due,
    tasks_due,
    upkeep_of,
    upkeeps_of,
    wear_due,
)
from app.actions.tokens import CALENDAR, new_secret, secret_digest
from app.domain.due import DueTask, Visit, visits_of
from app.domain.errors import NotThere
from app.domain.overhaul import Machine
from app.domain.people import Person, Right
from app.store.all_machines import machines_conceded
from app.store.book import Book
from app.store.chain import chain_head
from app.store.machines import list_machines
from app.store.people import find_person
from app.store.since import stale_among
from app.store.tokens import end_token, find_token, list_tokens, save_token

LONGEST_LOOK_S = 10.0  # at the wear of machines that were not looked at since the server was started
MOST_HELD = 4096  # machines, some kilobytes each
MOST_ASKED_ALONE = 50  # of more machines than these, all are asked for at once
HELD = "what is due"  # as the memory of a book holds it


@dataclass(frozen=True)
class DuePlan:
    """Everything that is due: put together by visits, and what no day can be told for."""

    visits: tuple[Visit, ...]
    undated: tuple[DueTask, ...]
    window_days: int
    unlooked: int = 0  # machines whose wear was not looked ahead at yet; each plan goes on where the last one ended


@dataclass(frozen=True)
class MachineDue:
    """What is due on one machine; by wear it is None while nobody has looked ahead at it."""

    machine: Machine
    tasks: tuple[DueTask, ...]
    worn: tuple[DueTask, ...] | None
    granted: tuple[DueTask, ...]  # by concessions and amendments

    @property
    def due(self) -> tuple[DueTask, ...]:
        """All of it."""
        return *self.tasks, *(self.worn or ()), *self.granted


@dataclass(frozen=True)
class Held:
    """What was due on each machine at a head of the chain, by the days of a zone, in the order of their tags."""

    zone: tzinfo
    head: tuple[int, str]
    machines: Mapping[int, MachineDue]


def due_plan(book: Book, zone: tzinfo, window_days: int = USUAL_WINDOW_DAYS) -> DuePlan:
    """Plan what is due over all machines, by the days of the site."""
    held = _up_to_date(book, zone)
    due = [each for machine in held.machines.values() for each in machine.due]
    undated = tuple(each for each in due if each.due.on is None)
    unlooked = sum(machine.worn is None for machine in held.machines.values())
    return DuePlan(visits_of(due, window_days), undated, window_days, unlooked)


def _up_to_date(book: Book, zone: tzinfo) -> Held:
    """Reckon anew for the machines that anything was entered of, and look at wear for as long as there is time."""
    held: Held | None = book.memory.get(HELD)
    known = held.machines if held and held.zone == zone else {}
    with book.reading() as session:
        head, machines = chain_head(session), list_machines(session)
        stale = stale_among(session, machines, known, held.head if held and known else None)
        only = [one.id for one in stale] if len(stale) <= MOST_ASKED_ALONE else None
        upkeeps = {each.machine.id: each for each in upkeeps_of(session, stale, zone, only)} if stale else {}
        conceded = machines_conceded(session, only) if stale else set()
    anew = {number: _machine_due(book, upkeep, number in conceded) for number, upkeep in upkeeps.items()}
    end = monotonic() + LONGEST_LOOK_S
    now = Held(
        zone, head, {one.id: _looked(book, anew.get(one.id) or known[one.id], upkeeps, zone, end) for one in machines}
    )
    book.memory[HELD] = replace(now, machines=dict(list(now.machines.items())[:MOST_HELD]))
    return now


def _machine_due(book: Book, upkeep: Upkeep, is_conceded: bool) -> MachineDue:
    """Reckon what is due on a machine but by wear."""
    concessions = concessions_due(book, upkeep.machine, upkeep.zone) if is_conceded else ()
    granted = (*concessions, *amendments_due(book, upkeep))
    return MachineDue(upkeep.machine, tuple(tasks_due(upkeep)), None, granted)


def _looked(book: Book, known: MachineDue, upkeeps: Mapping[int, Upkeep], zone: tzinfo, end: float) -> MachineDue:
    """Look at the wear of a machine where that was not done, as long as there is time."""
    if known.worn is not None or monotonic() >= end:
        return known
    upkeep = upkeeps.get(known.machine.id)
    if upkeep is None:
        with book.reading() as session:
            upkeep = upkeep_of(session, known.machine, zone)
    return replace(known, worn=tuple(wear_due(book, upkeep)))


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
