"""Numbers as a person types them: read strictly, kept as written, never guessed at."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property, lru_cache

from app.domain.errors import NumberRefused, UnitMismatch
from app.domain.units import LENGTH_WORDS, LengthUnit, from_mm, to_mm

LONGEST = 24
MOST_LEAVES = 6
IN_MM_DECIMALS = 7
MOST_DECIMALS = 13  # an inch figure from typed millimetres differs from a typed one within these
PATTERN = re.compile(
    r"(?P<sign>[+\-−]?) ?(?P<digits>[0-9]{1,7}(?:[.,][0-9]{1,6})?|[.,][0-9]{1,6}) ?(?P<unit>[A-Za-z\"°%µ/]{1,12})?"
)


@dataclass(frozen=True)
class Length:
    """A length as written: the text, its number and its unit."""

    typed: str
    value: Decimal
    unit: LengthUnit

    def __post_init__(self) -> None:
        if not self.value.is_finite():
            raise NumberRefused("a length is a finite number")

    @cached_property
    def mm(self) -> Decimal:
        """The length in millimetres, exact."""
        return to_mm(self.value, self.unit)

    @property
    def decimals(self) -> int:
        """How many decimals were written."""
        return decimals_of(self.value)


def decimals_of(value: Decimal) -> int:
    """Count the decimals a number was written with."""
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def millimetres(text: str) -> Length:
    """Make a length from a text of digits in millimetres, as sheets and tests write it."""
    return Length(text, Decimal(text), LengthUnit.MM)


def inches(text: str) -> Length:
    """Make a length from a text of digits in inches, as sheets and tests write it."""
    return Length(text, Decimal(text), LengthUnit.INCH)


def parse_number(typed: str, *, signed: bool = False, example: str = "0.70 or 0,70") -> Decimal:
    """Read one plain number with decimal point or comma; refuse all else in words."""
    value, unit = _split(typed, signed=signed, example=example)
    if unit:
        raise UnitMismatch(f"“{unit}” does not belong here. Type the number alone, such as {example}.")
    return value


def parse_length(typed: str, default: LengthUnit, *, signed: bool = False) -> Length:
    """Read a length; the unit may be typed behind it (mm, in), else the default holds."""
    return _length(typed.strip(), default, signed)


@lru_cache(maxsize=4096)
def _length(typed: str, default: LengthUnit, signed: bool) -> Length:
    """Read a length; the same few are typed again and again, and are one object then."""
    example = "0.70 or 0,70" if default is LengthUnit.MM else "0.018"
    value, unit = _split(typed, signed=signed, example=example)
    if unit and unit.lower() not in LENGTH_WORDS:
        raise UnitMismatch(
            f"“{unit[:12]}” is not a unit of length. Type mm or in behind the number, or no unit for {default}."
        )
    return Length(typed, value, LENGTH_WORDS[unit.lower()] if unit else default)


def parse_stack(typed: str, default: LengthUnit) -> Length:
    """Read a leaf, or a stack of leaves written as a sum: 0.50+0.15.

    >>> parse_stack("0.50+0.15", LengthUnit.MM).value
    Decimal('0.65')
    """
    if typed.strip().startswith("+") or "+" not in typed:
        return parse_length(typed, default)
    leaves = [parse_length(leaf, default) for leaf in typed.split("+", MOST_LEAVES - 1)]
    if len({leaf.unit for leaf in leaves}) > 1:
        raise UnitMismatch("Write every leaf of a stack in one unit.")
    return Length(typed.strip(), sum((leaf.value for leaf in leaves), Decimal(0)), leaves[0].unit)


def leaves_of(stack: Length) -> list[Length]:
    """Take a stack apart into its leaves, as they were typed.

    >>> [leaf.value for leaf in leaves_of(parse_stack("0.50+0.15", LengthUnit.MM))]
    [Decimal('0.50'), Decimal('0.15')]
    """
    return [parse_length(leaf, stack.unit) for leaf in stack.typed.split("+")]


def sum_of_leaves(stack: Length) -> Length:
    """Give a leaf or stack as thick as it was typed.

    >>> sum_of_leaves(parse_stack("0.50+0.15", LengthUnit.MM)).mm
    Decimal('0.65')
    """
    return parse_stack(stack.typed, stack.unit)


def _split(typed: str, *, signed: bool, example: str) -> tuple[Decimal, str]:
    """Part a typed text into its number and the unit behind it."""
    text = typed.strip()
    if not text:
        raise NumberRefused(f"Nothing is typed. Type a number, such as {example}.")
    found = PATTERN.fullmatch(text) if len(text) <= LONGEST else None
    if found is None:
        raise NumberRefused(
            f"This is not one plain number. Type digits with one decimal point or comma, such as {example}. "
            "No thousands mark, no power, no sum."
        )
    if found["sign"] and not signed:
        raise NumberRefused(f"No sign belongs here. Type the size alone, such as {example}.")
    number = Decimal(found["digits"].replace(",", "."))
    return (-number if found["sign"] in ("-", "−") else number), found["unit"] or ""


def figure(length_mm: Decimal, unit: LengthUnit, decimals: int) -> str:
    """Write a length with the limit's decimals, and with more digits where rounding would not be true.

    >>> figure(Decimal("0.7"), LengthUnit.MM, 2), figure(Decimal("1.30048"), LengthUnit.MM, 2)
    ('0.70', '1.30048')
    """
    value = from_mm(length_mm, unit)
    short = round(value, decimals)
    if short == value:
        return f"{short:.{decimals}f}"
    longer = (round(value, digits) for digits in range(max(decimals, 6), MOST_DECIMALS))
    return format(next((one for one in longer if one != short), value).normalize(), "f")


def in_mm(length_mm: Decimal) -> str:
    """Write a length in millimetres beside its inches: whole, since what is typed in inches ends in seven decimals.

    >>> in_mm(Decimal("0.457200"))
    '0.4572'
    """
    return f"{round(length_mm, IN_MM_DECIMALS).normalize():f}"


def in_inches(length_mm: Decimal, decimals: int) -> str:
    """Write a length in inches beside its millimetres, which govern; so it is rounded, half away from zero.

    >>> in_inches(Decimal("0.70"), 4)
    '0.0276'
    """
    value = from_mm(length_mm, LengthUnit.INCH).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    return f"{value or abs(value):f}"


def from_mm_words(length_mm: Decimal, unit: LengthUnit, decimals: int) -> str:
    """Write a length rounded to a number of decimals, for bounds that need no more."""
    return f"{round(from_mm(length_mm, unit), decimals):.{decimals}f}"
