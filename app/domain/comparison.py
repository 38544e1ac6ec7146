"""Two readings of one place held against each other: how far they are apart, and how far both can be off."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.limits import Method
from app.domain.measured import Gauging, at_twenty, budget_of
from app.domain.readings import Reading
from app.domain.uncertainty import permissible_error_u_mm

# From memory, assumptions, for a sheet that says nothing of its instruments: the largest error of one in order.
ASSUMED_ERROR_MM = {
    Method.FEELER: Decimal("0.05"),  # the step between leaves
    Method.LEAD_WIRE: Decimal("0.05"),
    Method.CALIPER: Decimal("0.05"),
    Method.DEPTH_GAUGE: Decimal("0.02"),
    Method.BORE_GAUGE: Decimal("0.01"),
    Method.MICROMETER: Decimal("0.01"),
}
Ends = tuple[Decimal, Decimal | None]  # from where to where a size lies


@dataclass(frozen=True)
class Span:
    """What a reading says of a size: from where to where it lies, and how uncertain either end is.

    A whole size has both ends alike; a leaf that goes, without one that does not, has no upper end.
    """

    low_mm: Decimal
    high_mm: Decimal | None
    u_mm: Decimal

    @property
    def middle_mm(self) -> Decimal:
        """Give the middle, by which readings are put in order; of a leaf that goes alone, the leaf.

        Formula: m = (low + high) / 2

        Returns:
            the middle [mm].

        Safe side: neither; it orders readings and judges none.
        Valid: any reading of a size.

        >>> Span(Decimal("0.60"), Decimal("0.65"), Decimal(0)).middle_mm
        Decimal('0.625')

        Sources:
            1. JCGM 100:2008 (GUM), 4.3.7.
        """
        return self.low_mm if self.high_mm is None else (self.low_mm + self.high_mm) / 2


def ends_mm(gauging: Gauging, reading: Reading) -> Ends | None:
    """Say from where to where a size lies, at 20 °C where the sheet asks for it; None for what is no size."""
    if reading.goes is not None:
        stops = reading.does_not_go
        return reading.goes.mm, stops.mm if stops else None
    if reading.size_mm is None:
        return None
    size_mm = at_twenty(gauging, reading.size_mm, reading.temperature_c).size_mm
    return size_mm, size_mm


def span_of(gauging: Gauging, reading: Reading) -> Span | None:
    """Say what a reading tells of the size, and how uncertain it is; None for what is no size."""
    ends = ends_mm(gauging, reading)
    return None if ends is None else Span(*ends, _u_mm(gauging, reading, ends[0]))


def _u_mm(gauging: Gauging, reading: Reading, size_mm: Decimal) -> Decimal:
    """The standard uncertainty of one reading: by the sheet, else by what such an instrument is assumed to do."""
    budget = budget_of(gauging, reading, size_mm)
    return budget.combined_u_mm if budget else permissible_error_u_mm(ASSUMED_ERROR_MM[gauging.characteristic.method])


def over_mm(larger: Span, smaller: Span) -> Decimal:
    """Give by how much one size is proven to lie over another, before uncertainty.

    Formula: d = low end of the larger - high end of the smaller, not below 0

    Parameters:
        larger [mm]: the size that is said to be the larger one.
        smaller [mm]: the size that is said to be the smaller one.

    Returns:
        the least distance between both [mm], 0 where they may be the same.

    Safe side: smaller; gaps between leaves count by the ends that are nearest to each other.
    Valid: two readings of one place, in the same unit and at the same temperature.

    >>> over_mm(Span(Decimal("0.60"), Decimal("0.65"), Decimal(0)), Span(Decimal("0.50"), Decimal("0.55"), Decimal(0)))
    Decimal('0.05')

    Sources:
        1. Common practice, no source.
    """
    return Decimal(0) if smaller.high_mm is None else max(larger.low_mm - smaller.high_mm, Decimal(0))


def apart_mm(one: Span, other: Span) -> Decimal:
    """Give the least distance between two readings, whichever is the larger."""
    return max(over_mm(one, other), over_mm(other, one))


def expanded_mm(one: Span, other: Span) -> Decimal:
    """Give how far two readings of the same size may differ by their instruments alone.

    Formula: U = 2 x sqrt(u_1^2 + u_2^2)

    Parameters:
        one [mm]: a reading with its standard uncertainty.
        other [mm]: the other reading with its own.

    Returns:
        the expanded uncertainty of their difference [mm].

    Safe side: neither; a larger one asks less, a smaller one asks more.
    Valid: readings that do not depend on each other, as of two persons or of two overhauls.

    >>> expanded_mm(*[Span(Decimal(1), Decimal(1), Decimal(u)) for u in ("0.003", "0.004")])
    Decimal('0.010')

    Sources:
        1. JCGM 100:2008 (GUM), 5.1.2 and 6.2.1.
    """
    return 2 * (one.u_mm**2 + other.u_mm**2).sqrt()
