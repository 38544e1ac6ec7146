"""Slips of finger or eye: what is asked about before a reading is kept; nothing else asks.

What is asked about may still be true. It is measured again, or kept with a reason.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from app.domain.comparison import Span, expanded_mm, over_mm, span_of
from app.domain.limits import Characteristic, Measure, Side
from app.domain.measured import Gauging
from app.domain.numbers import figure, from_mm_words
from app.domain.readings import Kind, Reading


@dataclass(frozen=True)
class Before:
    """The last reading at the same place from an earlier overhaul, and whether the part stayed in since."""

    reading: Reading
    is_same_part: bool


def slips_in(gauging: Gauging, reading: Reading, before: Before | None = None) -> dict[str, str]:
    """Name the fields of a reading that look like a slip, each with what is strange about it."""
    return (
        impossible_in(gauging.characteristic, reading)
        or _point_slips(gauging, reading, before)
        or _less_worn(gauging, reading, before)
    )


def impossible_in(characteristic: Characteristic, reading: Reading) -> dict[str, str]:
    """Name the fields of a reading that hold what cannot be on this part, by the sheet."""
    asked: dict[str, str] = {}
    for name, size_mm in _sizes(reading):
        words = _impossible(characteristic, size_mm)
        if words and "set_size" not in asked:  # a dial's whole size follows from what it was set to
            asked[name] = words
    return asked


def _point_slips(gauging: Gauging, reading: Reading, before: Before | None) -> dict[str, str]:
    """Name the fields of a reading that hold about ten times too much or too little."""
    expected_mm = expected_sizes_mm(gauging, before)
    if expected_mm is None:
        return {}
    least_mm, largest_mm = expected_mm
    asked: dict[str, str] = {}
    for name, size_mm in _sizes(reading):
        if is_ten_times(size_mm, largest_mm):
            asked[name] = _far(
                gauging.characteristic, size_mm, f"over the {_shown(gauging.characteristic, largest_mm)}"
            )
        elif is_ten_times(least_mm, size_mm) and not _is_first_leaf(reading):
            asked[name] = _far(gauging.characteristic, size_mm, f"under the {_shown(gauging.characteristic, least_mm)}")
    return asked


def _sizes(reading: Reading) -> Iterator[tuple[str, Decimal]]:
    """Walk through the sizes of a reading, each with the field it was typed in."""
    named = (("set_size", reading.set_size), ("goes", reading.goes), ("does_not_go", reading.does_not_go))
    yield from ((name, length.mm) for name, length in named if length is not None)
    if reading.size_mm is not None:
        yield "value", reading.size_mm


def _impossible(characteristic: Characteristic, size_mm: Decimal) -> str:
    """Say that a size cannot be on this part, by the sheet."""
    lowest, highest = characteristic.possible_mm
    if lowest <= size_mm <= highest:
        return ""
    unit, decimals = characteristic.unit, characteristic.decimals
    between = " to ".join(from_mm_words(end_mm, unit, decimals) for end_mm in (lowest, highest))
    return f"{_shown(characteristic, size_mm)} cannot be: {characteristic.name} lies within {between} {unit}."


def expected_sizes_mm(gauging: Gauging, before: Before | None) -> tuple[Decimal, Decimal] | None:
    """Give the least and the largest size expected: of the new range, the limits, the base size, the last reading."""
    characteristic = gauging.characteristic
    sizes = [limit.size.mm for limit in characteristic.limits if limit.measure is Measure.VALUE]
    sizes += [characteristic.new.lower.mm, characteristic.new.upper.mm] if characteristic.new else []
    sizes += [characteristic.base_size.mm] if characteristic.base_size else []
    last = span_of(gauging, before.reading) if before else None
    sizes += [last.low_mm, last.high_mm or last.low_mm] if last else []
    known = [size_mm for size_mm in sizes if size_mm > 0]
    return (min(known), max(known)) if known else None


def is_ten_times(larger_mm: Decimal, smaller_mm: Decimal) -> bool:
    """Whether one size is nearer to ten times another than to the other itself, as after a slip of the point.

    >>> is_ten_times(Decimal("6.5"), Decimal("0.65")), is_ten_times(Decimal("1.30"), Decimal("0.65"))
    (True, False)
    """
    return larger_mm**2 >= 10 * smaller_mm**2


def _far(characteristic: Characteristic, size_mm: Decimal, words: str) -> str:
    """Say that a size is about ten times off."""
    return f"{_shown(characteristic, size_mm)} is far {words} expected. Is the point in its place?"


def _is_first_leaf(reading: Reading) -> bool:
    """Whether it is a leaf that goes while none that stops has been tried: one begins with a thin one."""
    return reading.kind is Kind.GOES


def wears_larger(characteristic: Characteristic) -> bool | None:
    """Whether a size grows as the part wears; None where its limits do not tell."""
    sides = {limit.side for limit in characteristic.limits if limit.measure in (Measure.VALUE, Measure.WEAR)}
    return None if len(sides) != 1 else sides == {Side.UPPER}


def _less_worn(gauging: Gauging, reading: Reading, before: Before | None) -> dict[str, str]:
    """Ask where a part that stayed in is less worn than at the last overhaul, by more than both readings can be off."""
    if before is None or not before.is_same_part:
        return {}
    now, last, larger = (
        span_of(gauging, reading),
        span_of(gauging, before.reading),
        wears_larger(gauging.characteristic),
    )
    if now is None or last is None or larger is None:
        return {}
    back_mm = over_mm(last, now) if larger else over_mm(now, last)
    if back_mm <= expanded_mm(last, now):
        return {}
    return {
        _telling_field(reading, larger): _less_worn_words(gauging.characteristic, last, larger, expanded_mm(last, now))
    }


def _telling_field(reading: Reading, larger: bool) -> str:
    """The field that holds the end which came back: of leaves the one that stops, where wear makes the gap larger."""
    if reading.goes is None:
        return "value"
    return "does_not_go" if larger else "goes"


def _less_worn_words(characteristic: Characteristic, last: Span, larger: bool, expanded: Decimal) -> str:
    """Say what it was at the last overhaul, and by how much both can be off."""
    was = _shown(characteristic, last.low_mm if larger or last.high_mm is None else last.high_mm)
    off = from_mm_words(expanded, characteristic.unit, characteristic.decimals + 1)
    word = "Less" if larger else "More"
    off = f"{off} {characteristic.unit}"
    return f"{word} than {was} at the last overhaul, by more than both can be off ({off}), and not renewed since."


def _shown(characteristic: Characteristic, size_mm: Decimal) -> str:
    """Write a size as this characteristic is written, with its unit."""
    return f"{figure(size_mm, characteristic.unit, characteristic.decimals)} {characteristic.unit}"
