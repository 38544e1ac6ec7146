"""A ring's joint cut at an angle: what is gauged square to the cut is brought to the gap along the circumference."""

from dataclasses import replace
from decimal import Decimal
from enum import StrEnum

from app.domain.limits import Limit, Part
from app.domain.numbers import Length
from app.domain.readings import Reading
from app.domain.rings import ANGLE_JOINT_SHARE, circumferential_gap_mm
from app.domain.units import from_mm

ONE_TO_ONE = Decimal(1)
DECIMALS = 5  # of what is brought along the circumference, in millimetre or inch; far below what can be gauged


class GapGauged(StrEnum):
    """Which way the gap of a ring is gauged."""

    ALONG = "along the circumference"
    SQUARE = "square to the cut"


def is_square(part: Part, characteristic: str) -> bool:
    """Whether a characteristic is the gap of an angled joint that is gauged square to the cut."""
    return part.gap_gauged == GapGauged.SQUARE and characteristic == "closed-gap"


def lengthening(part: Part, characteristic: str) -> Decimal:
    """By how much a gap along the circumference, and its uncertainty, is longer than what is gauged."""
    return ONE_TO_ONE / ANGLE_JOINT_SHARE if is_square(part, characteristic) else ONE_TO_ONE


def along_circumference(part: Part | None, reading: Reading) -> Reading:
    """Bring a reading taken square to the cut to the circumference, what was typed beside it; any other stays."""
    if part is None or not is_square(part, reading.place.characteristic):
        return reading
    return replace(
        reading, value=_along(reading.value), goes=_along(reading.goes), does_not_go=_along(reading.does_not_go)
    )


def _along(square: Length | None) -> Length | None:
    """One length, or a stack of leaves, brought to the circumference."""
    if square is None or square.value <= 0:
        return square
    along = from_mm(circumferential_gap_mm(square.mm), square.unit)
    return replace(square, value=round(along, DECIMALS))


def square_to_cut(part: Part, characteristic: str, limit: Limit) -> Limit:
    """Give a limit as it reads square to the cut, for naming the leaf to try."""
    if not is_square(part, characteristic):
        return limit
    return replace(limit, size=replace(limit.size, value=round(limit.size.value * ANGLE_JOINT_SHARE, DECIMALS)))


def joint_words(part: Part, reading: Reading) -> str:
    """Say in a reason what was gauged, where that is not the gap along the circumference."""
    if not is_square(part, reading.place.characteristic) or not (reading.value or reading.goes):
        return ""
    return f" Gauged square to the cut: {reading.written}; that is 0.707 of the gap along the circumference."


def joint_lines(part: Part, typed: Reading) -> tuple[str, ...]:
    """Work the gap along the circumference out of what was gauged square to the cut."""
    along = along_circumference(part, typed)
    pairs = ((typed.value, along.value), (typed.goes, along.goes), (typed.does_not_go, along.does_not_go))
    return tuple(
        f"Square to a cut at 45°; along the circumference: {square.value:f} / cos 45° = {square.value:f} / 0.70711 "
        f"≈ {length.value:f} {length.unit}."
        for square, length in pairs
        if square is not None and length is not None and square.value != length.value
    )
