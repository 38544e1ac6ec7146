"""The straight line through readings, fitted by least squares, and the band a next reading may fall in."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import sqrt

from app.domain.errors import WearbookError
from app.domain.student_t import student_t_quantile

FEWEST_FOR_AN_INTERVAL = 3


class LineUndetermined(WearbookError):
    """Readings at fewer than two different operating hours fix no line."""


@dataclass(frozen=True)
class FittedLine:
    """A line through readings, with what is needed to say how far to trust it."""

    intercept_mm: float
    slope_mm_per_hour: float
    residual_sd_mm: float | None
    count: int
    mean_hours: float
    spread_hours2: float

    def size_at_mm(self, operating_hours: float) -> float:
        """Give the size on the line at the given hours.

        Formula: y = b0 + b1 x h

        Parameters:
            operating_hours [h]: the hours h.

        Returns:
            the size y [mm].

        Safe side: neither; the band around it is what informs.
        Valid: near the hours that the line was fitted to.

        >>> fit_line([0.0, 1000.0, 2000.0], [1.0, 1.5, 2.0]).size_at_mm(3000.0)
        2.5

        Sources:
            1. NIST/SEMATECH e-Handbook of Statistical Methods, 4.1.4.1: linear least squares (from memory).
        """
        return self.intercept_mm + self.slope_mm_per_hour * operating_hours


@dataclass(frozen=True)
class PredictionInterval:
    """The band in which one further reading is expected, around the line's own value."""

    low_mm: float
    central_mm: float
    high_mm: float


def fit_line(operating_hours: Sequence[Decimal], sizes_mm: Sequence[Decimal]) -> FittedLine:
    """Fit a straight line by ordinary least squares.

    Formula: slope = Sxy / Sxx; intercept = mean y - slope x mean x; s = sqrt(sum of residuals^2 / (n - 2))

    Parameters:
        operating_hours [h]: hours of each reading.
        sizes_mm [mm]: size read at those hours.

    Returns:
        the line [mm, mm/h]; its residual standard deviation is None for two readings.

    Safe side: neither; sums are exact fractions, so level readings give a slope of exactly zero.
    Valid: readings of one part's life at two or more different hours.

    >>> hours = [Decimal(0), Decimal(8000), Decimal(12000)]
    >>> line = fit_line(hours, [Decimal("200.00"), Decimal("200.24"), Decimal("200.40")])
    >>> round(1000 * line.slope_mm_per_hour, 4)
    0.0329

    Sources:
        1. NIST/SEMATECH e-Handbook of Statistical Methods, 4.4.3.1.
    """
    hours, sizes = [Fraction(x) for x in operating_hours], [Fraction(y) for y in sizes_mm]
    if len(set(hours)) < 2:
        raise LineUndetermined("a line needs readings at two different operating hours at least")
    count = len(hours)
    mean_hours, mean_size = sum(hours) / count, sum(sizes) / count
    spread = sum((x - mean_hours) ** 2 for x in hours)
    slope = sum((x - mean_hours) * (y - mean_size) for x, y in zip(hours, sizes, strict=True)) / spread
    intercept = mean_size - slope * mean_hours
    squares = sum((y - intercept - slope * x) ** 2 for x, y in zip(hours, sizes, strict=True))
    residual_sd = sqrt(squares / (count - 2)) if count >= FEWEST_FOR_AN_INTERVAL else None
    return FittedLine(float(intercept), float(slope), residual_sd, count, float(mean_hours), float(spread))


def prediction_interval(
    line: FittedLine, operating_hours: float, reading_u_mm: float, level: float = 0.95
) -> PredictionInterval | None:
    """Give the band in which one further reading is expected.

    Formula: y +- t x s x sqrt(1 + 1/n + (x - mean x)^2 / Sxx), t with n - 2 degrees of freedom, s at least u

    Parameters:
        line [mm, mm/h]: the fitted line.
        operating_hours [h]: where to look.
        reading_u_mm [mm]: standard uncertainty of the readings themselves.
        level [-]: the share of further readings that falls inside.

    Returns:
        the band [mm], or None for two readings, which fix a line but no scatter.

    Safe side: wider; s is never below u, or three readings in a line would give a band of nothing.
    Valid: wear that runs straight between the readings; beyond the last one it informs, it does not decide.

    >>> hours = [Decimal(0), Decimal(8000), Decimal(12000)]
    >>> line = fit_line(hours, [Decimal("200.00"), Decimal("200.24"), Decimal("200.40")])
    >>> band = prediction_interval(line, 16000, 0.01)
    >>> round(band.low_mm, 2), round(band.central_mm, 2), round(band.high_mm, 2)
    (200.09, 200.52, 200.95)

    Sources:
        1. NIST/SEMATECH e-Handbook of Statistical Methods, 4.5.1.2.
    """
    if line.residual_sd_mm is None:
        return None
    scatter_mm = max(line.residual_sd_mm, reading_u_mm)
    distance = (operating_hours - line.mean_hours) ** 2 / line.spread_hours2
    half_mm = student_t_quantile((1 + level) / 2, line.count - 2) * scatter_mm * sqrt(1 + 1 / line.count + distance)
    central_mm = line.size_at_mm(operating_hours)
    return PredictionInterval(central_mm - half_mm, central_mm, central_mm + half_mm)
