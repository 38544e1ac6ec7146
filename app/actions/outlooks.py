"""Looking ahead from an opening: what each size will be at the next one, from the readings of its life."""

from collections.abc import Sequence
from decimal import Decimal

from app.actions.past_overhauls import PastOverhaul, past_overhauls
from app.actions.trends import at_place, gauged_mm, life_readings
from app.domain.limits import Characteristic, Limit, Measure, Part
from app.domain.measured import Gauging, budget_of
from app.domain.outlook import Outlook, look_ahead
from app.domain.overhaul import Overhaul
from app.domain.readings import Occasion, Place
from app.domain.uncertainty import resolution_u_mm
from app.domain.wear import Life, SizeReading
from app.store.book import Book

LAST_DIGIT = Decimal("0.01")  # What a reading is at least uncertain by, where the sheet says nothing better.


def outlooks(book: Book, overhaul: Overhaul) -> dict[str, tuple[Outlook, ...]]:
    """Look ahead for every part of an opening; nothing where the sheet plans no next opening."""
    interval = overhaul.sheet.opening_interval_hours
    if interval is None:
        return {}
    past = [each for each in past_overhauls(book, overhaul.machine.id) if each.overhaul.number <= overhaul.number]
    ahead = overhaul.hours + interval
    return {part.ref: outlooks_of(past, overhaul, part, ahead) for part in overhaul.parts}


def outlooks_of(past: Sequence[PastOverhaul], overhaul: Overhaul, part: Part, ahead: Decimal) -> tuple[Outlook, ...]:
    """Look ahead for every size of one part that a limit bounds."""
    found = []
    for characteristic in part.characteristics:
        limits = [limit for limit in characteristic.limits if limit.measure is Measure.VALUE]
        if characteristic.is_grid or characteristic.is_derived:
            continue
        for level, axis in characteristic.places:
            place = Place(part.ref, characteristic.key, level, axis)
            found += [_outlook(past, overhaul, part, characteristic, place, limit, ahead) for limit in limits]
    return tuple(outlook for outlook in found if outlook is not None)


def _outlook(
    past: Sequence[PastOverhaul],
    overhaul: Overhaul,
    part: Part,
    characteristic: Characteristic,
    place: Place,
    limit: Limit,
    ahead: Decimal,
) -> Outlook | None:
    """Look ahead at one place, along the life of the part as it was found at this opening."""
    reading = overhaul.standing(Occasion.AS_FOUND).get(place)
    readings = [r for r in life_readings(past, part.ref, at_place(place)) if r.size_mm > 0]
    as_found = [r for r in readings if (r.overhaul_number, r.occasion) == (overhaul.number, Occasion.AS_FOUND)]
    if reading is None or not as_found:
        return None
    life = Life(tuple(SizeReading(r.operating_hours, r.size_mm) for r in readings if r.life == as_found[-1].life))
    budget = budget_of(Gauging(overhaul.sheet, part, characteristic), reading, gauged_mm(reading) or Decimal(0))
    u_mm = budget.combined_u_mm if budget else resolution_u_mm(LAST_DIGIT)
    return look_ahead(characteristic, place.level, limit, life, ahead, u_mm)


def advised(found: dict[str, tuple[Outlook, ...]]) -> dict[str, Outlook]:
    """Of each part, the size whose limit is reached first, where renewal is advised before the next opening."""
    first: dict[str, Outlook] = {}
    for ref, of_part in found.items():
        due = [outlook for outlook in of_part if outlook.is_renewal_advised]
        if due:
            first[ref] = min(due, key=lambda outlook: outlook.limit_at_hours)
    return first
