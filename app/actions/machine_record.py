"""A machine's record: its overhauls judged, its open concessions, how its rings wear, and what falls due first."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
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
LATEST = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True)
class Due:
    """Something that falls due, at some operating hours or on a day; `at` is the moment, where one can be told."""

    what: str
    why: str
    hours: Decimal | None
    at: datetime | None


@dataclass(frozen=True)
class MachineRecord:
    """What the page of a machine shows."""

    state: MachineState
    past: tuple[PastOverhaul, ...]  # the oldest first
    concessions: tuple[GrantedConcession, ...]
    trends: tuple[Trend, ...]
    due: Due | None


def machine_record(book: Book, tag: str, today: date) -> MachineRecord:
    """Gather the record of a machine."""
    state = machine_state(book, tag)
    past = past_overhauls(book, state.machine.id)
    hours = state.hours or Decimal(0)
    trends = ring_trends(past, state.sheet)
    concessions = open_concessions(past, hours, today)
    return MachineRecord(state, past, concessions, trends, due_first(trends, concessions, state.meter))


def due_first(
    trends: tuple[Trend, ...], concessions: tuple[GrantedConcession, ...], meter: tuple[MeterReading, ...]
) -> Due | None:
    """Name what comes first: a ring gap at its limit, or the end of a concession; by its moment where one is known."""
    dues = [
        Due(trend.title, "limit reached at this rate", hours, moment_at(hours, meter))
        for trend in trends
        if (hours := limit_ahead(trend))
    ]
    dues += [due for granted in concessions for due in _ends(granted, meter)]
    return min(dues, key=_order, default=None)


def _order(due: Due) -> tuple[bool, datetime, Decimal]:
    """Order by the moment; what the meter's rate tells no moment for comes last, by its hours."""
    return due.at is None, due.at or LATEST, due.hours or Decimal(0)


def _ends(granted: GrantedConcession, meter: tuple[MeterReading, ...]) -> list[Due]:
    """The ends of a concession, by hours and by day."""
    end, why = granted.concession, "concession has run out" if granted.has_run_out else "concession ends"
    dues = []
    if end.until_hours is not None:
        dues.append(Due(granted.what, why, end.until_hours, moment_at(end.until_hours, meter)))
    if end.until_date is not None:
        dues.append(Due(granted.what, why, None, datetime.combine(end.until_date, time(), UTC)))
    return dues


def limit_ahead(trend: Trend) -> Decimal | None:
    """The hours at which a limit is reached, unless the last reading stands there already and was decided on."""
    forecast = trend.forecast
    is_ahead = isinstance(forecast, Forecast) and forecast.limit_at_hours > trend.readings[-1].operating_hours
    return forecast.limit_at_hours if isinstance(forecast, Forecast) and is_ahead else None


def moment_at(hours: Decimal, meter: tuple[MeterReading, ...]) -> datetime | None:
    """When the meter reaches some hours if the machine runs on as it has; None where the meter tells no rate."""
    if meter and hours <= meter[-1].hours:
        return meter[-1].read_at
    if len(meter) < 2:
        return None
    first, last = meter[0], meter[-1]
    run, days = last.hours - first.hours, (last.read_at - first.read_at) / timedelta(days=1)
    if run <= 0 or days < LEAST_DAYS_FOR_A_RATE:
        return None
    ahead_days = float((hours - last.hours) / run) * days
    return last.read_at + timedelta(days=ahead_days) if ahead_days < 36_500 else None
