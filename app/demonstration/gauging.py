"""The fitter gauges: every place of every part, as found before the work and as fitted after it."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from app.demonstration.condition import BORE, UNWORN
from app.demonstration.fitters_hand import READ_AT_A_TEMPERATURE, Hand, written
from app.demonstration.openings import Seen
from app.demonstration.visit import Visit
from app.domain.entries import Typed
from app.domain.findings import SOUND
from app.domain.limits import Characteristic, Measure, Part
from app.domain.numbers import Length
from app.domain.overhaul import Overhaul
from app.domain.readings import Kind, Occasion, Place

MINUTES_A_PLACE = (1.5, 4.0)
SLIP_IS_COPIED_LATER = timedelta(minutes=40)
SLIP_IS_FOUND_AT = ("mid stroke", "across the pin")


def gauge_as_found(visit: Visit) -> None:
    """Gauge what this opening gauges, part by part; the stage with the copied slip is put right at its end."""
    found = visit.overhaul()
    for stage in found.stages:
        if stage.number in visit.opening.leaves_stages:
            continue
        for part in found.parts:
            if part.stage == stage.number:
                _gauge_part(visit, found, part)
        if visit.opening.slip.startswith(f"{stage.number}."):
            _put_slip_right(visit, found)


def gauge_as_fitted(visit: Visit, parts: Iterable[Part], base_sizes: dict[str, Length]) -> None:
    """Gauge parts again after the work."""
    found = visit.overhaul()
    for part in parts:
        for place in part.required:
            visit.clock.after(visit.chance("pace", place).uniform(*MINUTES_A_PLACE))
            visit.keep(_entry(visit, found, part, place, Occasion.AS_FITTED, base_sizes.get(part.ref)))


def _gauge_part(visit: Visit, found: Overhaul, part: Part) -> None:
    """Gauge one part as found."""
    is_copied = part.ref == visit.opening.slip
    base = found.base_sizes.get(part.ref)
    for place in part.required:
        if (part.ref, place.characteristic) in visit.opening.leaves_out:
            continue
        visit.clock.after(visit.chance("pace", place).uniform(*MINUTES_A_PLACE))
        typed = _entry(visit, found, part, place, Occasion.AS_FOUND, base)
        visit.keep(_copied(visit, typed) if is_copied else typed, visit.chief if is_copied else None)


def _entry(visit: Visit, found: Overhaul, part: Part, place: Place, occasion: Occasion, base: Length | None) -> Typed:
    """Fill in the entry for one place."""
    blank = visit.blank(place, occasion)
    characteristic = part.characteristic(place.characteristic)
    reason = visit.opening.cannot.get((part.ref, place.characteristic))
    if reason is not None and occasion is Occasion.AS_FOUND:
        return replace(blank, kind=Kind.CANNOT, reason=reason)
    if characteristic is None:
        sound = Seen((SOUND.code,))
        seen = visit.opening.seen.get(part.ref, sound) if occasion is Occasion.AS_FOUND else sound
        return replace(blank, kind=Kind.SEEN, findings=seen.findings, reason=seen.note)
    if characteristic.method in READ_AT_A_TEMPERATURE:
        blank = replace(blank, temperature=str(visit.temperature_c))
    size_mm = visit.condition.size_mm(place, float(found.hours))
    hand = _hand(visit, characteristic, place, occasion, base)
    return written(blank, part, characteristic, size_mm, _bounds_mm(characteristic), hand)


def _hand(visit: Visit, characteristic: Characteristic, place: Place, occasion: Occasion, base: Length | None) -> Hand:
    """How this size is taken."""
    is_dial = visit.opening.from_dial and characteristic.key == BORE
    is_coarse = occasion is Occasion.AS_FOUND and place.part in visit.opening.coarse and place.level != UNWORN
    set_size = (base or characteristic.base_size) if is_dial else None
    return Hand(visit.chance("hand", place, occasion), is_coarse, set_size)


def _bounds_mm(characteristic: Characteristic) -> list[Decimal]:
    """Every size that a reading may be compared with; leaves on both sides of one would prove nothing."""
    ends = [characteristic.new.lower, characteristic.new.upper] if characteristic.new else []
    limits = [limit.size for limit in characteristic.limits if limit.measure is Measure.VALUE]
    return [bound.mm for bound in (*ends, *limits)]


def _copied(visit: Visit, typed: Typed) -> Typed:
    """An entry copied from the fitter's paper slip by another hand; two figures of one of them change places."""
    moment = visit.clock.now - SLIP_IS_COPIED_LATER
    typed = replace(typed, measured_by=visit.fitter.name, measured_at=moment)
    return replace(typed, value=swapped(typed.value)) if _is_slip(typed.place) else typed


def _is_slip(place: Place) -> bool:
    """Whether this is the place where the copy goes wrong."""
    return (place.level, place.axis) == SLIP_IS_FOUND_AT


def swapped(figures: str) -> str:
    """Let the last two figures change places, or the last one be misread where they are alike.

    >>> swapped("140.12"), swapped("140.11")
    ('140.21', '140.17')
    """
    head, one, two = figures[:-2], figures[-2], figures[-1]
    return head + two + one if one != two else head + one + ("7" if two == "1" else "1")


def _put_slip_right(visit: Visit, found: Overhaul) -> None:
    """Enter the slip's own figure over the copied one."""
    part = found.sheet.part(visit.opening.slip)
    if part is None:
        raise ValueError(f"the sheet has no part {visit.opening.slip}")
    place = Place(part.ref, BORE, *SLIP_IS_FOUND_AT)
    visit.clock.after(MINUTES_A_PLACE[1])
    typed = _entry(visit, found, part, place, Occasion.AS_FOUND, None)
    again = visit.blank(place, Occasion.AS_FOUND, again=1).id
    visit.keep(replace(typed, id=again, correction="typed wrong"))
