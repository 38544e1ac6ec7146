"""A length in three columns: as typed, its number and its unit."""

from decimal import Decimal
from functools import lru_cache

from app.domain.numbers import Length
from app.domain.units import LengthUnit


def length_values(name: str, length: Length | None) -> dict[str, object]:
    """Give the three column values of a length."""
    if length is None:
        return {f"{name}_typed": None, name: None, f"{name}_unit": None}
    return {f"{name}_typed": length.typed, name: length.value, f"{name}_unit": length.unit.value}


def length_from(typed: str | None, value: Decimal | None, unit: str | None) -> Length | None:
    """Read a length back from its three columns; the same few come again and again, and are one object then."""
    if typed is None or value is None or unit is None:
        return None
    return _length(typed, str(value), unit)


@lru_cache(maxsize=4096)
def _length(typed: str, digits: str, unit: str) -> Length:
    """Make a length, by its digits since 0.4 equals 0.40 and is not the same; or give the one that was made."""
    return Length(typed, Decimal(digits), LengthUnit(unit))
