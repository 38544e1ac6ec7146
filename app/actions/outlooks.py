"""Looking ahead from an opening: what each size will be at the next one, from the readings of its life."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from app.actions.past_overhauls import PastOverhaul, past_overhauls, so_far
from app.actions.trends import Gauged, at_place, gauged_mm, life_readings
from app.domain.bore_so_far import largest_so_far_mm
from app.domain.bores import entries_of
from app.domain.characteristic_verdicts import grid_of
from app.domain.limits import Characteristic, Limit, Measure, Part, Side
from app.domain.measured import Gauging, budget_of
from app.domain.numbers import millimetres
from app.domain.outlook import Outlook, look_ahead
from app.domain.overhaul import Overhaul
from app.domain.readings import Occasion, Place, Reading
from app.domain.uncertainty import resolution_u_mm
from app.domain.wear import Life, SizeReading
from app.store.book import Book

LAST_DIGIT = Decimal("0.01")  # What a reading is at least uncertain by, where the sheet says nothing better.


def outlooks(book: Book, overhaul: Overhaul) -> dict[str, tuple[Outlook, ...]]:
    """Look ahead for every part of an opening; nothing where the sheet plans no next opening."""
    interval = overhaul.sheet.opening_interval_hours
    if interval is None:
        return {}
    past = so_far(past_overhauls(book, overhaul.machine.id), overhaul)
    ahead = overhaul.hours + interval
    return {part.ref: outlooks_of(past, overhaul, part, ahead) for part in overhaul.parts}


def outlooks_of(past: Sequence[PastOverhaul], overhaul: Overhaul, part: Part, ahead: Decimal) -> tuple[Outlook, ...]:
    """Look ahead for every size of one part that a limit bounds, and for the wear of its bore."""
    found = [_outlook(past, overhaul, followed, ahead) for followed in followed_of(overhaul, part)]
    return tuple(outlook for outlook in found if outlook is not None)


@dataclass(frozen=True)
class Followed:
    """A size followed along a part's life: how it is found at each opening, and the limit it comes to."""

    part: Part
    characteristic: Characteristic
    limit: Limit
    gauged: Gauged
    reading: Reading | None  # the one at this opening
    level: str = ""
    wear_from_mm: Decimal | None = None


def followed_of(overhaul: Overhaul, part: Part) -> Iterator[Followed]:
    """Every size of a part that a limit bounds, and the wear of its bore."""
    for characteristic in part.characteristics:
        if not characteristic.is_derived:
            yield from (_wear if characteristic.is_grid else _sizes)(overhaul, part, characteristic)


def _sizes(overhaul: Overhaul, part: Part, characteristic: Characteristic) -> Iterator[Followed]:
    """Every place of a size, with each limit of its value."""
    entries = overhaul.standing(Occasion.AS_FOUND)
    for level, axis in characteristic.places:
        place = Place(part.ref, characteristic.key, level, axis)
        for limit in characteristic.limits:
            if limit.measure is Measure.VALUE:
                yield Followed(part, characteristic, limit, at_place(place), entries.get(place), level)


def _wear(overhaul: Overhaul, part: Part, characteristic: Characteristic) -> Iterator[Followed]:
    """The largest diameter of a bore, which comes to its base size and the wear allowed on it."""
    base = overhaul.base_size(part, characteristic)
    entries = entries_of(overhaul.standing(Occasion.AS_FOUND), part, characteristic.key)
    worst = max(entries.values(), key=lambda reading: reading.size_mm or Decimal(0), default=None)
    for limit in characteristic.limits:
        if limit.measure is Measure.WEAR and limit.side is Side.UPPER and base is not None:
            at_limit = replace(limit, size=millimetres(str(base.mm + limit.size.mm)))
            yield Followed(part, characteristic, at_limit, largest_of(part, characteristic), worst, "", base.mm)


def largest_of(part: Part, characteristic: Characteristic) -> Gauged:
    """Look at the largest diameter of a bore that was gauged everywhere; a missing place could be the largest."""

    def gauged(past: PastOverhaul, occasion: Occasion) -> Decimal | None:
        grid = grid_of(characteristic, entries_of(past.entries[occasion], part, characteristic.key))
        return largest_so_far_mm(grid) if grid.is_complete else None

    return gauged


def _outlook(past: Sequence[PastOverhaul], overhaul: Overhaul, followed: Followed, ahead: Decimal) -> Outlook | None:
    """Look ahead at one size, along the life of the part as it was found at this opening."""
    part, characteristic = followed.part, followed.characteristic
    readings = [r for r in life_readings(past, part.ref, followed.gauged) if r.size_mm > 0]
    as_found = [r for r in readings if (r.overhaul_number, r.occasion) == (overhaul.number, Occasion.AS_FOUND)]
    if followed.reading is None or not as_found:
        return None
    life = Life(tuple(SizeReading(r.operating_hours, r.size_mm) for r in readings if r.life == as_found[-1].life))
    reading = followed.reading
    budget = budget_of(Gauging(overhaul.sheet, part, characteristic), reading, gauged_mm(reading) or Decimal(0))
    u_mm = budget.combined_u_mm if budget else resolution_u_mm(LAST_DIGIT)
    outlook = look_ahead(characteristic, followed.level, followed.limit, life, ahead, u_mm)
    return replace(outlook, wear_from_mm=followed.wear_from_mm)


def advised(found: dict[str, tuple[Outlook, ...]]) -> dict[str, Outlook]:
    """Of each part, the size whose limit is reached first, where that is expected before the next opening."""
    first: dict[str, Outlook] = {}
    for ref, of_part in found.items():
        due = [outlook for outlook in of_part if outlook.is_renewal_advised]
        if due:
            first[ref] = min(due, key=lambda outlook: outlook.limit_at_hours)
    return first
