"""What is due, when and why: by operating hours, by the calendar, and which tasks share one opening of the machine."""

from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from operator import itemgetter

from app.domain.meter import Rate
from app.domain.overhaul import MeterReading
from app.domain.tasks import Task

LONGEST_DAYS = 36_500  # further ahead nothing is foreseen


@dataclass(frozen=True)
class Done:
    """When a task was done last, or what its interval counts from; a fresh one is start-up or an overhaul."""

    hours: Decimal
    on: date
    what: str
    is_fresh: bool = False
    is_in_order: bool = True


@dataclass(frozen=True)
class DueDate:
    """When something is due and why; no day where neither hours nor calendar tell one."""

    on: date | None
    why: str
    hours_left: Decimal | None = None


@dataclass(frozen=True)
class DueTask:
    """A task of one machine with its due date."""

    tag: str
    task: Task
    last: Done
    due: DueDate
    read_on: date | None = None  # the day of the meter reading that the hours left count from


@dataclass(frozen=True)
class Visit:
    """Tasks of one machine that are done on one day, so that it is opened once."""

    tag: str
    on: date
    tasks: tuple[DueTask, ...]

    @property
    def opens_machine(self) -> bool:
        """Whether the machine is opened."""
        return any(each.task.opens_machine for each in self.tasks)


def hours_left_h(last_h: Decimal, interval_h: Decimal, now_h: Decimal) -> Decimal:
    """Tell how many operating hours are left.

    Formula: last + interval - now

    Parameters:
        last_h [h]: the operating hours at which it was done last
        interval_h [h]: the interval
        now_h [h]: the operating hours read last

    Returns: [h] the hours left; below nought they are over.

    Safe side: hours run since the meter was read are not known here; a due date counts them.
    Valid: for one machine, whose hours go on when its meter is changed.

    >>> hours_left_h(Decimal(10000), Decimal(3000), Decimal(12660))
    Decimal('340')

    Sources:
    1. From the definition; common practice, no source.
    """
    return last_h + interval_h - now_h


def due_by_hours(read_on: date, left_hours: Decimal, rate: Rate | None) -> date | None:
    """Tell the day on which the hours left are run; None where the use tells none.

    Formula: day read + hours left / rate, rounded down, so that it never comes late. Hours over give the day passed.
    """
    if rate is None or rate.hours_a_day <= 0:
        return read_on if left_hours <= 0 else None
    hours, parts = left_hours.as_integer_ratio()
    days = hours * rate.hours_a_day.denominator // (parts * rate.hours_a_day.numerator)
    return read_on + timedelta(days=days) if abs(days) < LONGEST_DAYS else None


def due_by_calendar(last_on: date, months: int) -> date:
    """Tell the day so many months later; the last of a month where that month is shorter.

    >>> due_by_calendar(date(2024, 9, 1), 24), due_by_calendar(date(2024, 8, 31), 6)
    (datetime.date(2026, 9, 1), datetime.date(2025, 2, 28))
    """
    year, month = divmod(last_on.year * 12 + last_on.month - 1 + months, 12)
    return date(year, month + 1, min(last_on.day, monthrange(year, month + 1)[1]))


def due_date(task: Task, last: Done, read: MeterReading, rate: Rate | None) -> DueDate:
    """Tell when a task is due: the earlier of its hours and its calendar; what was not in order stays due."""
    if not last.is_in_order:
        return DueDate(last.on, f"found not in order {_day(last.on)}, and not put right")
    is_first = last.is_fresh and task.first_hours is not None
    interval = task.first_hours if is_first else task.interval_hours
    by_hours = _by_hours(interval, last, read, rate, is_first)
    by_calendar = _by_calendar(task.months, last)
    days = [each for each in (by_hours, by_calendar) if each and each.on]
    if days:
        return min(days, key=lambda each: each.on or date.max)
    return by_hours or by_calendar or DueDate(None, "no interval counts yet")


def due_at_end(until_hours: Decimal | None, until_on: date | None, read: MeterReading, rate: Rate | None) -> DueDate:
    """Tell when a permission that has an end is due: the earlier of its hours and its day, and never after either."""
    ends = [] if until_on is None else [DueDate(until_on, f"by calendar: it ends on {_day(until_on)}")]
    if until_hours is not None:
        ends.append(due_at_hours(until_hours, read, rate, f"it ends at {until_hours:f} h, "))
    days = [end for end in ends if end.on]
    return min(days, key=lambda end: end.on or date.max) if days else ends[0]


def due_at_hours(at_hours: Decimal, read: MeterReading, rate: Rate | None, first: str) -> DueDate:
    """Tell when the machine comes to some hours, and why; `first` leads the reason."""
    return _at_hours(at_hours - read.hours, read, rate, first)


def visits_of(due: Sequence[DueTask], window_days: int) -> tuple[Visit, ...]:
    """Put the tasks of each machine together that fall within a window, so that it is opened once; soonest first.

    An opening is on the day its first task is due, and takes along whatever falls due within the window after
    that day: nothing is ever put after its due date. What opens nothing waits for no opening.
    """
    by_tag: dict[str, list[DueTask]] = {}
    for each in due:
        by_tag.setdefault(each.tag, []).append(each)
    window = timedelta(days=window_days)
    found = [visit for tag, its in by_tag.items() for visit in _visits_of_one(tag, its, window)]
    return tuple(sorted(found, key=lambda visit: (visit.on, visit.tag)))


def _visits_of_one(tag: str, due: list[DueTask], window: timedelta) -> list[Visit]:
    """Put the tasks of one machine together: openings first, then what is left."""
    left = sorted(((each.due.on, each) for each in due if each.due.on), key=itemgetter(0))
    found: list[Visit] = []
    for is_opening in (True, False):
        while on := next((on for on, each in left if not is_opening or each.task.opens_machine), None):
            until = _until(on, window)
            found.append(Visit(tag, on, tuple(each for day, each in left if on <= day <= until)))
            left = [(day, each) for day, each in left if not on <= day <= until]
    return found


def _until(on: date, window: timedelta) -> date:
    """Give the last day of a window."""
    return on + window if date.max - on > window else date.max


def _by_hours(
    interval: Decimal | None, last: Done, read: MeterReading, rate: Rate | None, is_first: bool
) -> DueDate | None:
    """Tell when a task is due by its hours."""
    if interval is None:
        return None
    check = f"first check {interval:f} h after {last.what}, " if is_first else ""
    return _at_hours(hours_left_h(last.hours, interval, read.hours), read, rate, check)


def _at_hours(left: Decimal, read: MeterReading, rate: Rate | None, first: str) -> DueDate:
    """Tell when the hours left are run, and why."""
    on = due_by_hours(read.read_at.date(), left, rate)
    use = rate.words if rate else "a use that two readings a week apart would tell"
    words = f"{left:f} h left at {use}" if left > 0 else f"{-left:f} h over"
    return DueDate(on, f"{first}by hours: {words}", left)


def _by_calendar(months: int | None, last: Done) -> DueDate | None:
    """Tell when a task is due by the calendar."""
    if months is None:
        return None
    words = "month" if months == 1 else "months"
    return DueDate(due_by_calendar(last.on, months), f"by calendar: {months} {words} after {_day(last.on)}")


def _day(on: date) -> str:
    """Write a day."""
    return f"{on.day} {on:%b %Y}"
