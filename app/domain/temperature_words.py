"""A temperature with its unit behind it: °C, °F or K."""

import re
from collections.abc import Mapping
from decimal import Decimal

from app.domain.running_limits import PressureUnit

SAID = re.compile(r"(?P<figure>[^a-z°]*?)\s*°?\s*(?P<unit>[cfk])", re.IGNORECASE)
UNITS = ("C", "F", "K")
KELVIN = Decimal("273.15")


def said_temperature(typed: Mapping[str, str], name: str) -> tuple[str, str]:
    """Give the figure of a field without the unit behind it, and that unit, or the one chosen; empty where neither.

    >>> said_temperature({"t": "239 °F"}, "t"), said_temperature({"t": "115", "t-is": "C"}, "t")
    (('239', 'F'), ('115', 'C'))
    """
    text, chosen = typed.get(name, "").strip(), typed.get(f"{name}-is", "")
    said = SAID.fullmatch(text)
    return (said["figure"], said["unit"].upper()) if said else (text, chosen if chosen in UNITS else "")


def fahrenheit(celsius: Decimal) -> Decimal:
    """Give a temperature in degrees Fahrenheit.

    Formula: degF = degC x 9 / 5 + 32

    Parameters:
        celsius [degC]: the temperature.

    Returns:
        the temperature [degF].

    Safe side: exact, so neither.
    Valid: any temperature.

    >>> fahrenheit(Decimal(100))
    Decimal('212')

    Sources:
        1. NIST Special Publication 811 (2008), appendix B.8.
    """
    return celsius * 9 / 5 + 32


def in_unit(figure: Decimal, said: str, unit: PressureUnit) -> Decimal:
    """Give a temperature that was typed with its unit in the unit of the form.

    >>> in_unit(Decimal(239), "F", PressureUnit.BAR), in_unit(Decimal("388.15"), "K", PressureUnit.BAR)
    (Decimal('115'), Decimal('115.00'))
    """
    if not said or said == unit.temperature[-1]:
        return figure
    celsius = figure - KELVIN if said == "K" else figure if said == "C" else (figure - 32) * 5 / 9
    return celsius if unit is PressureUnit.BAR else fahrenheit(celsius)
