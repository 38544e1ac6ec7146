"""What a size must be before anything is computed from it."""

from decimal import Decimal

from app.domain.errors import WearbookError


class SizeNotPositive(WearbookError):
    """A size was given that is not a finite length above zero."""


def positive_mm(size_mm: Decimal, name: str) -> Decimal:
    """Give a size back if it is a finite length above zero, else refuse it by its name.

    >>> positive_mm(Decimal("100.02"), "the bore")
    Decimal('100.02')
    """
    if not size_mm.is_finite() or size_mm <= 0:
        raise SizeNotPositive(f"{name} must be above 0 mm; {size_mm} was given")
    return size_mm
