"""What falls due by wear: a size that comes to its limit before its part is opened for anything else."""

from collections.abc import Sequence
from decimal import Decimal

from app.domain.due import DueDate, due_at_hours
from app.domain.limits import LimitSheet, Part
from app.domain.meter import Rate
from app.domain.overhaul import MeterReading
from app.domain.parts_ahead import Foreseen

TEN_HOURS = Decimal(10)  # a forecast promises no more


def first_at_limit(sheet: LimitSheet, foreseen: Sequence[Foreseen]) -> tuple[Foreseen, ...]:
    """Of each set, and of each part that is in none, give the size that comes to its limit first.

    A size that stood at its limit when it was read last was decided on then, and is no forecast.
    """
    first: dict[str, Foreseen] = {}
    for each in sorted(filter(_is_ahead, foreseen), key=lambda one: one.outlook.limit_at_hours):
        first.setdefault(set_or_part(sheet, each.part), each)
    return tuple(first.values())


def set_or_part(sheet: LimitSheet, part: Part) -> str:
    """Give the reference of what goes together with a part: its set, or itself."""
    part_set = sheet.set_of(part.ref)
    return part_set.ref if part_set else part.ref


def due_by_wear(foreseen: Foreseen, read: MeterReading, rate: Rate | None) -> DueDate:
    """Tell when a size comes to its limit at its rate of wear and the machine's rate of use."""
    at_hours = foreseen.outlook.limit_at_hours // TEN_HOURS * TEN_HOURS
    added = ", as the one before it wore" if foreseen.is_as_before else ""
    return due_at_hours(at_hours, read, rate, f"by wear: {foreseen.outlook.limit_words} at {at_hours} h{added}, ")


def is_sooner(wear: DueDate, opening: DueDate) -> bool:
    """Whether wear comes before an opening: by their days, or by their hours where the use tells no day of either."""
    if opening.on is not None:
        return wear.on is not None and wear.on < opening.on
    hours_left = [each.hours_left for each in (wear, opening) if each.hours_left is not None]
    return len(hours_left) < 2 or hours_left[0] < hours_left[1]


def _is_ahead(each: Foreseen) -> bool:
    """Whether a limit is foreseen, after the size was read last."""
    limit_at = each.outlook.limit_at_hours
    return limit_at.is_finite() and limit_at > each.outlook.life.readings[-1].operating_hours
