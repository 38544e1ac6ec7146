"""A machine's record: its overhauls judged, its open concessions, how its rings wear, and what falls due first."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, tzinfo
from decimal import Decimal

from app.actions.concessions import GrantedConcession, open_concessions
from app.actions.due import everything_due, upkeep_of
from app.actions.machines import MachineState, machine_state
from app.actions.past_overhauls import PastOverhaul, past_overhauls
from app.actions.ring_trends import ring_trends
from app.actions.trends import Trend
from app.actions.worse_verdicts import WorseVerdict, worse_verdicts
from app.domain.due import DueTask
from app.store.book import Book


@dataclass(frozen=True)
class MachineRecord:
    """What the page of a machine shows; what is due first, and what opens it first, are those of the page of all."""

    state: MachineState
    past: tuple[PastOverhaul, ...]  # the oldest first
    concessions: tuple[GrantedConcession, ...]
    trends: tuple[Trend, ...]
    due: DueTask | None
    opening: DueTask | None
    worse: tuple[WorseVerdict, ...]  # what signed amendments made of verdicts that parts are in by


def machine_record(book: Book, tag: str, today: date, zone: tzinfo) -> MachineRecord:
    """Gather the record of a machine."""
    state = machine_state(book, tag)
    past = past_overhauls(book, state.machine.id, newest_first=state.overhauls)
    concessions = open_concessions(past, state.hours or Decimal(0), today)
    with book.reading() as session:
        upkeep = upkeep_of(session, state.machine, zone)
    due = everything_due(book, upkeep)
    opening = due_first(each for each in due if each.task.opens_machine)
    trends, worse = ring_trends(past, state.sheet), worse_verdicts(past)
    return MachineRecord(state, past, concessions, trends, due_first(due), opening, worse)


def due_first(due: Iterable[DueTask]) -> DueTask | None:
    """Name what comes first: by its day, and what the use tells no day for last, by its hours."""
    return min(due, key=_order, default=None)


def _order(each: DueTask) -> tuple[date, Decimal]:
    """Order by the day, else by the hours left."""
    left = each.due.hours_left
    return each.due.on or date.max, Decimal("Infinity") if left is None else left
