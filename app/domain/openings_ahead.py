"""The openings ahead of a machine: what opens it, at which hours, and how long what stays in has to last."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from app.domain.due import DueTask, Visit
from app.domain.limits import LimitSheet
from app.domain.meter import Rate
from app.domain.overhaul import MeterReading
from app.domain.parts_ahead import NextOpening, opens_part
from app.domain.tasks import Task

SHORTEST_H = Decimal(10)  # to the next opening, where neither task nor sheet tells of one


def openings_ahead(
    visits: Sequence[Visit], sheet: LimitSheet, read: MeterReading, rate: Rate | None, today: date
) -> tuple[NextOpening, ...]:
    """Give the openings among the visits to one machine, the soonest first; one whose day has passed is today.

    What stays in has to last until the next opening that opens all of it again; where none is foreseen, for the longest
    interval of its tasks, or the sheet's.
    """
    opening = [visit for visit in visits if visit.opens_machine]
    tasks = [tuple(each.task for each in visit.tasks if each.task.opens_machine) for visit in opening]
    hours = [_hours_at(next(each for each in v.tasks if each.task.opens_machine), read, rate) for v in opening]
    found = []
    for place, visit in enumerate(opening):
        again = [n for n in range(place + 1, len(opening)) if _opened(tasks[n], sheet) >= _opened(tasks[place], sheet)]
        interval = hours[again[0]] - hours[place] if again else _longest_h(tasks[place], sheet)
        found.append(NextOpening(visit.tag, hours[place], interval, max(visit.on, today), tasks[place]))
    return tuple(found)


def _hours_at(first: DueTask, read: MeterReading, rate: Rate | None) -> Decimal:
    """Tell the operating hours at which a task is due: those left by its hours, else what is run until its day."""
    if first.due.hours_left is not None:
        return read.hours + first.due.hours_left
    days = (first.due.on - read.read_at.date()).days if first.due.on else 0
    return read.hours + (Decimal(int(rate.hours_a_day * days)) if rate else 0)


def _opened(tasks: Sequence[Task], sheet: LimitSheet) -> frozenset[str]:
    """Give every part that some tasks open."""
    return frozenset(part.ref for part in sheet.parts if any(opens_part(task, part) for task in tasks))


def _longest_h(tasks: Sequence[Task], sheet: LimitSheet) -> Decimal:
    """Give the longest interval of some tasks, else the sheet's."""
    intervals = [task.interval_hours for task in tasks if task.interval_hours is not None]
    return max(intervals, default=sheet.opening_interval_hours or SHORTEST_H)
