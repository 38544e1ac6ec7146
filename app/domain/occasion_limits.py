"""What a characteristic is held against on each occasion: wear limits as found, the new range as fitted."""

from dataclasses import dataclass, replace
from decimal import Decimal

from app.domain.findings import PLATE_AND_SPRINGS
from app.domain.judgement import Against, compare
from app.domain.limits import Characteristic, Limit, Measure, NewRange, Part, PartKind, Side
from app.domain.numbers import Length, millimetres
from app.domain.rings import gap_growth_mm
from app.domain.verdicts import Verdict

CLOSED_GAP = "closed-gap"
UNWORN = "unworn"  # in the name of a level: the gap is taken where the bore is tightest
NOTHING = Decimal(0)


@dataclass(frozen=True)
class Room:
    """How far the bore has grown where a ring's gap is taken: over its base size, and over its tightest level."""

    over_base_mm: Decimal
    over_tightest_mm: Decimal


def limits_as_found(part: Part, characteristic: Characteristic, grown_mm: Decimal = NOTHING) -> tuple[Limit, ...]:
    """The sheet's limits; a ring gap or a bore smaller than a new one is asked about, since wear only opens both."""
    asked = _asked(part, characteristic)
    if asked is None or characteristic.new is None:
        return _wear_limits(part, characteristic, grown_mm)
    minimum = Limit(
        Measure.VALUE,
        Side.LOWER,
        _grown(characteristic.new.lower, grown_mm),
        outcome=Verdict.UNDECIDED,
        action=asked,
        source=_moved(characteristic.source, grown_mm),
        called="new minimum",
    )
    return (*_wear_limits(part, characteristic, grown_mm), minimum)


def asked_at(part: Part, characteristic: Characteristic) -> dict[str, tuple[Limit, ...]]:
    """Where a gap is taken at the unworn end too, its minimum is asked about there and at no other level."""
    if not is_ring_gap(part, characteristic):
        return {}
    worn = [level for level in characteristic.levels if UNWORN not in level.lower()]
    return dict.fromkeys(worn, characteristic.limits) if len(worn) < len(characteristic.levels) else {}


def _asked(part: Part, characteristic: Characteristic) -> str | None:
    """What to ask when a used part is smaller than a new one; None where wear may go either way."""
    if is_ring_gap(part, characteristic):
        return "A used ring is not tighter than a new one: gauge it again, or it is the wrong ring."
    if part.kind is PartKind.CYLINDER and characteristic.is_grid:
        return "A used bore is not smaller than a new one: check the size the gauge was set to, then gauge again."
    return None


def is_ring_gap(part: Part, characteristic: Characteristic) -> bool:
    """Whether it is the closed gap of a ring."""
    return part.kind is PartKind.RING and characteristic.key == CLOSED_GAP


def limits_in_bore(part: Part, characteristic: Characteristic, room: Room) -> tuple[Limit, ...]:
    """The new range of a ring's gap where the bore has grown; the wear limit holds as it stands.

    Formula: maximum = new maximum + pi x (mean diameter there - base size); minimum = new minimum + pi x (mean
    diameter there - mean diameter at the tightest level)

    Parameters:
        part [-]: the ring.
        characteristic [mm]: its closed gap, with its new range.
        room [mm]: how far the bore has grown there.

    Returns:
        the limits [mm] that a new ring's gap is held against there.

    Safe side: a maximum never over the wear limit, which stays among them; a minimum that holds at the tightest level.
    Valid: rings made for the base size, their ends filed to suit the bore where that is needed.

    >>> str(_opened(millimetres("0.35"), Decimal("0.09")).mm)
    '0.633'

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 281 (growth of the gap).
    """
    new = characteristic.new
    if new is None or (room.over_base_mm, room.over_tightest_mm) == (NOTHING, NOTHING):
        return limits_as_new(part, characteristic)
    lower, upper = _opened(new.lower, room.over_tightest_mm), _opened(new.upper, room.over_base_mm)
    here = replace(characteristic, new=NewRange(lower, upper))
    words = {
        Side.LOWER: _called("minimum", new.lower, room.over_tightest_mm),
        Side.UPPER: _called("maximum", new.upper, room.over_base_mm),
    }
    return tuple(
        replace(limit, called=words[limit.side]) if limit.called.startswith("new ") else limit
        for limit in limits_as_new(part, here)
    )


def _opened(gap: Length, wider_mm: Decimal) -> Length:
    """A gap opened by a bore that is wider, to the micrometre."""
    return gap if wider_mm == 0 else millimetres(str(round(gap.mm + gap_growth_mm(wider_mm), 3)))


def _called(end: str, gap: Length, wider_mm: Decimal) -> str:
    """Name an end of the new range as it stands in a worn bore."""
    grown = f" for this bore ({gap.mm.normalize():f} + π × {wider_mm.normalize():f} mm)" if wider_mm else ""
    return f"new {end}{grown}"


def limits_as_new(part: Part, characteristic: Characteristic, grown_mm: Decimal = NOTHING) -> tuple[Limit, ...]:
    """The new range of a renewed part, moved with the base size, and every limit that it does not settle itself."""
    below = (
        (Verdict.REWORK, "File the ends and deburr, then gauge again.")
        if is_ring_gap(part, characteristic)
        else (Verdict.RENEW, "This part is not as new.")
    )
    return _within_new(part, characteristic, grown_mm, below, (Verdict.RENEW, "This part is not as new: fit another."))


def stays_in(part: Part, characteristic: Characteristic, renewed: str) -> bool:
    """Whether a size is of what was kept when only plate and springs were renewed, so that its wear limits hold.

    A lift whose limit renews the whole valve is of the seat, which stays; a spring's length goes with the springs.
    """
    if part.kind is not PartKind.VALVE or renewed != PLATE_AND_SPRINGS or not characteristic.limits:
        return False
    return all(limit.renews != PLATE_AND_SPRINGS for limit in characteristic.limits)


def limits_as_made(part: Part, characteristic: Characteristic, grown_mm: Decimal) -> tuple[Limit, ...]:
    """The new range of a position made to another size, moved to that size; short of it or beyond, it is worked on."""
    action = "This is not the size it was made to: work on it or put that size right, then gauge again."
    return _within_new(part, characteristic, grown_mm, (Verdict.REWORK, action), (Verdict.REWORK, action))


def _within_new(
    part: Part,
    characteristic: Characteristic,
    grown_mm: Decimal,
    below: tuple[Verdict, str],
    above: tuple[Verdict, str],
) -> tuple[Limit, ...]:
    """The new range as two limits, with the limits that a part within it could still be beyond."""
    limits = _wear_limits(part, characteristic, grown_mm)
    if characteristic.new is None:
        return limits
    new = NewRange(_grown(characteristic.new.lower, grown_mm), _grown(characteristic.new.upper, grown_mm))
    source = _moved(characteristic.source, grown_mm)
    return (
        Limit(
            Measure.VALUE, Side.LOWER, new.lower, outcome=below[0], action=below[1], source=source, called="new minimum"
        ),
        Limit(
            Measure.VALUE, Side.UPPER, new.upper, outcome=above[0], action=above[1], source=source, called="new maximum"
        ),
        *(limit for limit in limits if not _is_settled(limit, new)),
    )


def _is_settled(limit: Limit, new: NewRange) -> bool:
    """Whether every size in the new range is within a limit, so that it need not be held against it."""
    end = new.upper if limit.side is Side.UPPER else new.lower
    return limit.measure is Measure.VALUE and compare(end.mm, limit) is Against.CONFORMS


def _wear_limits(part: Part, characteristic: Characteristic, grown_mm: Decimal) -> tuple[Limit, ...]:
    """The sheet's limits; those of a piston's diameter move with the bore that it runs in."""
    if part.kind is not PartKind.PISTON or grown_mm == 0:
        return characteristic.limits
    return tuple(
        replace(
            limit,
            size=_grown(limit.size, grown_mm),
            source=_moved(limit.source or characteristic.source, grown_mm),
        )
        for limit in characteristic.limits
    )


def _grown(size: Length, grown_mm: Decimal) -> Length:
    """A size moved by what the position's base size has grown."""
    return size if grown_mm == 0 else millimetres(str(size.mm + grown_mm))


def _moved(source: str, grown_mm: Decimal) -> str:
    """Where a figure stands in print, and by how much it was moved from there."""
    moved = "" if grown_mm == 0 else f"moved {grown_mm.normalize():f} mm with the bore"
    return ", ".join(word for word in (source, moved) if word)
