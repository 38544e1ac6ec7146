"""What a trend is expected to be at the next planned opening, along the life of the part that is in place."""

from collections.abc import Sequence
from decimal import Decimal

from app.actions.outlooks import outlooks_of
from app.actions.past_overhauls import PastOverhaul, so_far
from app.actions.trends import Ahead, LifeReading
from app.domain.limits import Limit, Part
from app.domain.outlook import Outlook
from app.domain.readings import Occasion


def look_along(
    past: Sequence[PastOverhaul], part: Part, key: str, level: str, limit: Limit | None, readings: Sequence[LifeReading]
) -> Ahead | None:
    """Look ahead from the last reading; None where it began a new life, no opening is planned or no wear is seen."""
    if limit is None or not readings or readings[-1].occasion is not Occasion.AS_FOUND:
        return None
    last = next(each for each in past if each.overhaul.number == readings[-1].overhaul_number)
    overhaul, then = last.overhaul, last.part(part.ref)
    interval = overhaul.sheet.opening_interval_hours
    if interval is None or then is None:
        return None
    of_part = outlooks_of(so_far(past, overhaul), overhaul, then, overhaul.hours + interval)
    return next((ahead for each in of_part if (ahead := _ahead(each, key, level, limit))), None)


def _ahead(outlook: Outlook, key: str, level: str, limit: Limit) -> Ahead | None:
    """Take what is expected from an outlook on the same size and side; a bore's wear counts from its base size."""
    is_same = (outlook.characteristic.key, outlook.level) == (key, level)
    if not is_same or (outlook.limit.measure, outlook.limit.side) != (limit.measure, limit.side):
        return None
    if outlook.expected_mm is None:
        return None
    base_mm = outlook.wear_from_mm or Decimal(0)
    band = outlook.band
    low, high = (Decimal(repr(size)) - base_mm for size in (band.low_mm, band.high_mm)) if band else (None, None)
    return Ahead(outlook.next_opening_hours, outlook.expected_mm - base_mm, low, high)
