"""How the figures of one characteristic must stand to each other for a limit sheet to make sense."""

from decimal import Decimal

from app.domain.limits import Characteristic, Limit, Measure, OnLimit, Side
from app.domain.readings import SEEN
from app.domain.sheet_table import Table
from app.domain.verdicts import Verdict

FEWEST_LEVELS, FEWEST_AXES = 3, 2
SizedLimit = tuple[Table, Limit]  # a limit with the table it was read from


def check_characteristic(table: Table, characteristic: Characteristic, limits: list[SizedLimit]) -> None:
    """Note every contradiction; only limits that were read without a fault are compared."""
    _check_places(table, characteristic)
    for index, (place, limit) in enumerate(limits):
        _check_new(place, limit, characteristic)
        for _, other in limits[:index]:
            _check_twice(place, limit, other)
            _check_way_round(place, limit, other)
            _check_weight(place, limit, other)


def _check_places(table: Table, characteristic: Characteristic) -> None:
    """A bore is gauged at three levels and on two axes at least, else its measures mean nothing."""
    levels, axes = characteristic.levels, characteristic.axes
    if axes != ("",) and len(axes) == 1:
        table.refuse("axes", f"{FEWEST_AXES} axes or more; found 1")
    if len(axes) > 1 and 0 < len(levels) < FEWEST_LEVELS:
        table.refuse("levels", f"{FEWEST_LEVELS} levels or more where there are axes; found {len(levels)}")
    if characteristic.key == SEEN:
        table.refuse("key", f"another key; “{SEEN}” is kept for what is seen by eye")


def _check_twice(place: Table, limit: Limit, other: Limit) -> None:
    """One limit for each measure, side and outcome."""
    if (limit.measure, limit.side, limit.outcome) == (other.measure, other.side, other.outcome):
        place.refuse("", f"one {limit.side} limit of {limit.measure} leading to {limit.outcome}; found another above")


def _check_way_round(place: Table, limit: Limit, other: Limit) -> None:
    """The lower limit lies below the upper one."""
    if limit.measure is not other.measure or limit.side is other.side:
        return
    lower, upper = (limit, other) if limit.side is Side.LOWER else (other, limit)
    if lower.size.mm >= upper.size.mm:
        words = f"found lower {lower.size.typed}, upper {upper.size.typed}"
        place.refuse(limit.side, f"a lower limit below the upper; {words}")


def _check_weight(place: Table, limit: Limit, other: Limit) -> None:
    """On its way from new, a part comes to the rework limit before it comes to the renew limit."""
    if (limit.measure, limit.side) != (other.measure, other.side) or limit.outcome is other.outcome:
        return
    rework, renew = (limit, other) if limit.outcome is Verdict.REWORK else (other, limit)
    beyond_mm = rework.size.mm - renew.size.mm
    if (beyond_mm if limit.side is Side.UPPER else -beyond_mm) >= 0:
        words = f"found rework {rework.size.typed}, renew {renew.size.typed}"
        place.refuse("", f"the rework limit before the renew limit; {words}")


def _check_new(place: Table, limit: Limit, characteristic: Characteristic) -> None:
    """Some new part must be within the limit."""
    ends_mm = new_ends_mm(limit, characteristic)
    if ends_mm is None:
        return
    spare_mm = limit.size.mm - ends_mm[0] if limit.side is Side.UPPER else ends_mm[1] - limit.size.mm
    if spare_mm < 0 or (spare_mm == 0 and limit.on_limit is OnLimit.MUST_NOT_BE_REACHED):
        place.refuse("", f"a limit that a new part is within; the whole new range is beyond {limit.size.typed}")


def new_ends_mm(limit: Limit, characteristic: Characteristic) -> tuple[Decimal, Decimal] | None:
    """Give the new range as the limit measures it: as it stands, or as wear from the base size; else None."""
    new, base = characteristic.new, characteristic.base_size
    if new is not None and limit.measure is Measure.VALUE:
        return new.lower.mm, new.upper.mm
    if new is not None and limit.measure is Measure.WEAR and base is not None and base.value:
        return new.lower.mm - base.mm, new.upper.mm - base.mm
    return None
