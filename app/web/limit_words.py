"""Limits and sizes as tables write them: at most 0.65, wear at most 0.17."""

from decimal import Decimal

from app.domain.amended_verdicts import own_words
from app.domain.corrections import why_corrected
from app.domain.limits import Characteristic, Limit, Measure, Side
from app.domain.numbers import figure
from app.domain.reasons import as_printed


def bound(limit: Limit, characteristic: Characteristic) -> str:
    """Write a limit with what it compares: wear at most 0.17."""
    measure = "" if limit.measure is Measure.VALUE else f"{limit.measure} "
    return measure + side_bound(limit, characteristic)


def side_bound(limit: Limit, characteristic: Characteristic) -> str:
    """Write a limit as a bound alone, as the sheet prints it: at most 0.17, at least 18.0 mm = 0.709 in."""
    side = "at most" if limit.side is Side.UPPER else "at least"
    return f"{side} {as_printed(limit.size, characteristic)}"


def in_both_units(characteristic: Characteristic | None) -> tuple[str, ...]:
    """Write the new range and the limits that the sheet prints in both units; nothing of those in one."""
    if characteristic is None:
        return ()
    new = (characteristic.new.lower, characteristic.new.upper) if characteristic.new else ()
    ends = " to ".join(as_printed(size, characteristic) for size in new)
    bounds = [bound(limit, characteristic) for limit in characteristic.limits if "=" in limit.size.typed]
    return (*([f"new {ends}"] if any("=" in size.typed for size in new) else []), *(f"limit {each}" for each in bounds))


def measure_name(limit: Limit, characteristic: Characteristic) -> str:
    """Name what a limit compares."""
    return characteristic.name if limit.measure is Measure.VALUE else str(limit.measure).capitalize()


def write(size_mm: Decimal, characteristic: Characteristic) -> str:
    """Write a size with the decimals of its limits."""
    return figure(size_mm, characteristic.unit, characteristic.decimals)


def initials(name: str) -> str:
    """Write a name as initials, as they stand beside a struck-through entry."""
    return "".join(word[0] for word in name.replace(".", " ").split())


LIMIT_WORDS = {
    "bound": bound,
    "side_bound": side_bound,
    "measure_name": measure_name,
    "write": write,
    "initials": initials,
    "why_corrected": why_corrected,
    "amended_words": own_words,
}
