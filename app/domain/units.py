"""Units of measure that a field may carry, converted exactly with one decimal pint registry."""

from decimal import Decimal
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint


@cache
def registry() -> "pint.UnitRegistry[Decimal]":
    """Give the one registry of units; it is heavy, and so loaded with the first size in inches and not at the start."""
    import pint

    return pint.UnitRegistry(non_int_type=Decimal, cache_folder=None)


class LengthUnit(StrEnum):
    """Units a length may be typed in; the value is the word shown on pages."""

    MM = "mm"
    INCH = "in"


LENGTH_WORDS = {
    "mm": LengthUnit.MM,
    "in": LengthUnit.INCH,
    "inch": LengthUnit.INCH,
    '"': LengthUnit.INCH,
}


@cache
def mm_per_inch() -> Decimal:
    """Give the length of an inch, normalised, so that a converted size shows no digits that nobody wrote."""
    return Decimal(registry().Quantity(Decimal(1), "inch").to("mm").magnitude).normalize().normalize()


def to_mm(value: Decimal, unit: LengthUnit) -> Decimal:
    """Convert a length to millimetres exactly.

    Formula: mm = value x 25.4 for inches, mm = value otherwise.

    Parameters:
        value [mm or in]: the number as written.
        unit [-]: its unit.

    Returns:
        the length [mm].

    Safe side: exact, so neither side; a verdict never depends on the unit typed.
    Valid: any finite decimal.

    >>> to_mm(Decimal("0.018"), LengthUnit.INCH)
    Decimal('0.4572')

    Sources:
        1. NIST Special Publication 811 (2008), appendix B.8: 1 in = 25.4 mm exactly.
    """
    return value * mm_per_inch() if unit is LengthUnit.INCH else value


def from_mm(length_mm: Decimal, unit: LengthUnit) -> Decimal:
    """Express millimetres in the unit a sheet is written in, for showing only.

    Formula: value = mm / 25.4 for inches, value = mm otherwise.

    Parameters:
        length_mm [mm]: the length.
        unit [-]: the unit to show it in.

    Returns:
        the number [mm or in], never used to compare.

    Safe side: showing only; comparisons stay in millimetres.
    Valid: any finite decimal; a quotient that does not end is cut at 28 digits.

    >>> from_mm(Decimal("0.4572"), LengthUnit.INCH)
    Decimal('0.018')

    Sources:
        1. NIST Special Publication 811 (2008), appendix B.8: 1 in = 25.4 mm exactly.
    """
    return length_mm / mm_per_inch() if unit is LengthUnit.INCH else length_mm
