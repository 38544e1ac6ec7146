"""A step of the working, as a person redoes it with a pocket calculator."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class WorkingStep:
    """One step: what is worked out, the lines of arithmetic, and the rule's source."""

    title: str
    lines: tuple[str, ...]
    source: str = ""


def plain(number: Decimal) -> str:
    """Write a number with all its digits and no power of ten.

    >>> plain(Decimal("0.50")), plain(Decimal("1E+2")), plain(Decimal("-0.04"))
    ('0.50', '100', '−0.04')
    """
    return f"{number:f}".replace("-", "−")


def rounded(number: Decimal, places: int = 4) -> str:
    """Write a worked-out number to some places, marked as rounded where it was.

    >>> rounded(Decimal("0.28274333"), 3), rounded(Decimal("0.36"), 3)
    ('≈ 0.283', '= 0.36')
    """
    short = round(number, places)
    return f"= {plain(number.normalize() if number else number)}" if short == number else f"≈ {plain(short)}"
