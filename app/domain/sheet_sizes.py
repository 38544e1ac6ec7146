"""Sizes as a limit sheet's file writes them: a number, a number with its unit, or the same size in both units."""

import re
from decimal import Decimal

from app.domain.errors import NumberRefused
from app.domain.numbers import Length, decimals_of, parse_length, parse_number
from app.domain.sheet_faults import WrittenNumber
from app.domain.units import LengthUnit

LARGEST_WHOLE = 10**7
SIZE_WORDS = (
    "a size: digits and one point, no sign, no power, with mm or in behind them where it is not the usual unit, "
    "such as 18.0, “0.709 in” or “18.0 mm = 0.709 in”"
)
SHARE_WORDS = "a share above 0 and below 0.1, such as 0.00075"
NUMBER = re.compile(r"[+-]?[0-9]{1,7}(?:\.[0-9]{1,12})?(?:[eE][+-]?[0-9])?")
MOST_DECIMALS = 12


def read_size(value: object, unit: LengthUnit) -> Length:
    """Read a size; one printed in two units is governed by the first and keeps both as written.

    >>> read_size("18.0 mm = 0.709 in", LengthUnit.INCH).mm
    Decimal('18.0')
    """
    written = _digits(value)
    first, both, second = written.partition("=")
    if not both:
        return parse_length(written, unit)
    size, other = parse_length(first, unit), parse_length(second, unit)
    if size.unit is other.unit:
        raise NumberRefused("A size is written once in mm and once in inches.")
    return Length(written.strip(), size.value, size.unit)


def read_share(value: object) -> Decimal:
    """Read a share of a bore or stroke, such as 0.00075."""
    return parse_number(_digits(value), example="0.00075")


def read_number(value: object) -> Decimal:
    """Read a number that is no size, exactly as its digits say, such as 5000, -5 or 11.5e-6.

    >>> read_number(WrittenNumber("11.5e-6"))
    Decimal('0.0000115')
    """
    written = "" if isinstance(value, str) and not isinstance(value, WrittenNumber) else _digits(value)
    if not NUMBER.fullmatch(written) or decimals_of(Decimal(written)) > MOST_DECIMALS:
        raise NumberRefused("This is not a plain number.")
    return Decimal(written)


def _digits(value: object) -> str:
    """Give the digits of a number or text from the file; nothing else is a number."""
    if isinstance(value, str):
        return str(value)
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) >= LARGEST_WHOLE:
        raise NumberRefused("This is not a size.")
    return str(value)


def other_unit(size: Length) -> Length | None:
    """Give the second of two units that a size was printed in, or None."""
    _, both, second = size.typed.partition("=")
    return parse_length(second, size.unit) if both else None


def as_size(value: Decimal, unit: LengthUnit, own_unit: LengthUnit) -> Length:
    """Make a size from a worked-out number, written as the file would write it."""
    digits = format(value.normalize(), "f")
    return Length(digits if unit is own_unit else f"{digits} {unit}", value, unit)


def write_numbers(**numbers: Decimal | None) -> list[str]:
    """Write the numbers that are there, with all their digits, each on a line of its own.

    >>> write_numbers(speed=Decimal("900"), volume=None)
    ['speed = 900']
    """
    return [f"{key} = {number:f}" for key, number in numbers.items() if number is not None]
