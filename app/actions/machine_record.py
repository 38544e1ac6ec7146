"""A machine's record: its overhauls judged, its open concessions, how its rings wear, and what falls due first."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from app.actions.concessions import GrantedConcession, open_concessions
from app.actions.machines import MachineState, machine_state
from app.actions.past_overhauls import PastOverhaul, past_overhauls
from app.actions.ring_trends import ring_trends
from app.actions.trends import Trend
from app.domain.overhaul import MeterReading
from app.domain.wear import Forecast
from app.store.book import Book

LEAST_DAYS_FOR_A_RATE = 30


@dataclass(frozen=True)
class Due:
    """Something that falls due at some operating hours; `at` is the moment, where the rate of use tells one."""

    what: str
    why: str
    hours: Decimal
    at: datetime | None = None


@dataclass(frozen=True)
class MachineRecord:
    """What the page of a machine shows."""

    state: MachineState
    past: tuple[PastOverhaul, ...]  # the oldest first
    concessions: tuple[GrantedConcession, ...]
    trends: tuple[Trend, ...]
    due: Due | None


def machine_record(book: Book, tag: str, now: datetime) -> MachineRecord:
    """Gather the record of a machine."""
    state = machine_state(book, tag)
    past = past_overhauls(book, state.machine.id)
    hours = state.hours or Decimal(0)
    trends = ring_trends(past, state.sheet)
    concessions = open_concessions(past, hours, now.date())
    return MachineRecord(state, past, concessions, trends, due_first(trends, concessions, state.meter))


def due_first(
    trends: tuple[Trend, ...], concessions: tuple[GrantedConcession, ...], meter: tuple[MeterReading, ...]
) -> Due | None:
    """Name what comes first by operating hours: a ring gap at its limit, or the end of a concession."""
    forecasts = [(trend, trend.forecast) for trend in trends]
    dues = [
        *(
            Due(t.title, "limit reached at this rate", f.limit_at_hours)
            for t, f in forecasts
            if isinstance(f, Forecast)
        ),
        *(
            Due(granted.what, "concession ends", granted.concession.until_hours)
            for granted in concessions
            if granted.concession.until_hours is not None
        ),
    ]
    first = min(dues, key=lambda due: due.hours, default=None)
    return Due(first.what, first.why, first.hours, moment_at(first.hours, meter)) if first else None


def moment_at(hours: Decimal, meter: tuple[MeterReading, ...]) -> datetime | None:
    """When the meter reaches some hours if the machine runs on as it has; None where the meter tells no rate."""
    if len(meter) < 2 or hours <= meter[-1].hours:
        return None
    first, last = meter[0], meter[-1]
    run, days = last.hours - first.hours, (last.read_at - first.read_at) / timedelta(days=1)
    if run <= 0 or days < LEAST_DAYS_FOR_A_RATE:
        return None
    ahead_days = float((hours - last.hours) / run) * days
    return last.read_at + timedelta(days=ahead_days) if ahead_days < 36_500 else None
