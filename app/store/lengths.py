"""A length in three columns: as typed, its number and its unit."""

from decimal import Decimal

from app.domain.numbers import Length
from app.domain.units import LengthUnit

UNITS = {unit.value: unit for unit in LengthUnit}  # found sooner than by the class


def length_values(name: str, length: Length | None) -> dict[str, object]:
    """Give the three column values of a length."""
    if length is None:
        return {f"{name}_typed": None, name: None, f"{name}_unit": None}
    return {f"{name}_typed": length.typed, name: length.value, f"{name}_unit": length.unit.value}


def length_from(typed: str | None, value: Decimal | None, unit: str | None) -> Length | None:
    """Read a length back from its three columns."""
    if typed is None or value is None or unit is None:
        return None
    return Length(typed, value, UNITS.get(unit) or LengthUnit(unit))
