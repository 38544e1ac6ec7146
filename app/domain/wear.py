"""How fast a part wears within one life, and when it will stand at its limit, if that can be said at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from enum import StrEnum

from app.domain.errors import WearbookError
from app.domain.regression import FittedLine, LineUndetermined, fit_line
from app.domain.sizes import positive_mm


class HoursNotInOrder(WearbookError):
    """Operating hours of one life run backwards, or do not run at all where a rate is asked for."""


class LimitSide(StrEnum):
    """Which way the size moves towards its limit as the part wears."""

    UPPER = "upper"
    LOWER = "lower"


class ForecastBasis(StrEnum):
    """What a forecast was drawn from; the value is the wording shown on pages."""

    SINCE_NEW = "since new"
    LAST_INTERVAL = "last interval"
    LINE = "line through all readings"


class NoForecastReason(StrEnum):
    """Why nothing can be said about the hours left; the value is the wording shown on pages."""

    TOO_FEW_READINGS = "fewer than two readings at different hours in this life"
    NOT_TOWARDS_LIMIT = "the readings do not move towards the limit"


@dataclass(frozen=True)
class SizeReading:
    """One size of a part at its operating hours."""

    operating_hours: Decimal
    size_mm: Decimal

    def __post_init__(self) -> None:
        positive_mm(self.size_mm, "the size")
        if not self.operating_hours.is_finite() or self.operating_hours < 0:
            raise HoursNotInOrder(f"operating hours must be 0 or more; {self.operating_hours} was given")


@dataclass(frozen=True)
class Life:
    """The readings of one fitted part, from new on, in order of hours."""

    readings: tuple[SizeReading, ...]

    def __post_init__(self) -> None:
        hours = [reading.operating_hours for reading in self.readings]
        if hours != sorted(hours):
            raise HoursNotInOrder("the operating hours of one part's life must not run backwards")

    @property
    def since_new(self) -> tuple[SizeReading, SizeReading] | None:
        """The first and the last reading, or None where they are not at different hours."""
        if not self.readings or self.readings[0].operating_hours == self.readings[-1].operating_hours:
            return None
        return self.readings[0], self.readings[-1]

    @property
    def last_interval(self) -> tuple[SizeReading, SizeReading] | None:
        """The last reading and the one before it at fewer hours, or None where there is none."""
        earlier = [r for r in self.readings if r.operating_hours < self.readings[-1].operating_hours]
        return (earlier[-1], self.readings[-1]) if earlier else None


@dataclass(frozen=True)
class Forecast:
    """When the size is expected to stand at its limit."""

    basis: ForecastBasis
    rate_mm_per_1000_h: Decimal
    limit_at_hours: Decimal

    def hours_left(self, now_hours: Decimal) -> Decimal:
        """Give the hours left, none once the limit has been passed.

        Formula: left = hours at the limit - hours now, not below 0

        Parameters:
            now_hours [h]: operating hours now.

        Returns:
            the hours left [h].

        Safe side: smaller.
        Valid: as long as the part stays in its place and wears as it did.

        >>> Forecast(ForecastBasis.LAST_INTERVAL, Decimal("0.04"), Decimal(32000)).hours_left(Decimal(12000))
        Decimal('20000')

        Sources:
            1. Arithmetic.
        """
        return max(self.limit_at_hours - now_hours, Decimal(0))


@dataclass(frozen=True)
class NoForecast:
    """Nothing can be said about the hours left; that never means that the part lasts for ever."""

    basis: ForecastBasis
    reason: NoForecastReason


def wear_rate_mm_per_1000_h(earlier: SizeReading, later: SizeReading) -> Decimal:
    """Give the rate at which a size changes.

    Formula: rate = 1000 x (y_now - y_then) / (h_now - h_then)

    Parameters:
        earlier [mm, h]: the reading at fewer hours.
        later [mm, h]: the reading at more hours.

    Returns:
        the rate [mm per 1000 h], below zero where the size shrinks.

    Safe side: larger towards the limit; running-in wears fast, so the rate since new flatters an old part.
    Valid: both readings in one part's life, at different hours.

    >>> earlier = SizeReading(Decimal(8000), Decimal("200.24"))
    >>> wear_rate_mm_per_1000_h(earlier, SizeReading(Decimal(12000), Decimal("200.40")))
    Decimal('0.04')

    Sources:
        1. Arithmetic.
    """
    growth_mm, hours = _growth(earlier, later)
    return 1000 * growth_mm / hours


def size_at_mm(earlier: SizeReading, later: SizeReading, operating_hours: Decimal) -> Decimal:
    """Give the size expected at some hours if wear goes on as between two readings.

    Formula: y = y_now + (y_now - y_then) x (h - h_now) / (h_now - h_then)

    Parameters:
        earlier [mm, h]: the reading at fewer hours.
        later [mm, h]: the reading at more hours.
        operating_hours [h]: where to look.

    Returns:
        the size expected [mm].

    Safe side: neither; it informs, it does not decide.
    Valid: within one part's life, wear running straight.

    >>> new, now = SizeReading(Decimal(0), Decimal("200.00")), SizeReading(Decimal(8000), Decimal("200.24"))
    >>> size_at_mm(new, now, Decimal(10000))
    Decimal('200.30')

    Sources:
        1. Arithmetic.
    """
    growth_mm, hours = _growth(earlier, later)
    return later.size_mm + growth_mm * (operating_hours - later.operating_hours) / hours


def forecast_since_new(life: Life, limit_mm: Decimal, side: LimitSide) -> Forecast | NoForecast:
    """Forecast the limit from the first and the last reading of a life."""
    return _forecast_through(life.since_new, limit_mm, side, ForecastBasis.SINCE_NEW)


def forecast_last_interval(life: Life, limit_mm: Decimal, side: LimitSide) -> Forecast | NoForecast:
    """Forecast the limit from the last reading and the one before it."""
    return _forecast_through(life.last_interval, limit_mm, side, ForecastBasis.LAST_INTERVAL)


def forecast_line(life: Life, limit_mm: Decimal, side: LimitSide) -> Forecast | NoForecast:
    """Forecast the limit from the straight line through all readings of a life, hours rounded down to tenths."""
    try:
        line = fit_life(life)
    except LineUndetermined:
        return NoForecast(ForecastBasis.LINE, NoForecastReason.TOO_FEW_READINGS)
    rate_mm_per_1000_h = Decimal(repr(1000 * line.slope_mm_per_hour))
    if not _moves_towards(rate_mm_per_1000_h, side):
        return NoForecast(ForecastBasis.LINE, NoForecastReason.NOT_TOWARDS_LIMIT)
    limit_at_hours = Decimal((float(limit_mm) - line.intercept_mm) / line.slope_mm_per_hour)
    return Forecast(ForecastBasis.LINE, rate_mm_per_1000_h, limit_at_hours.quantize(Decimal("0.1"), ROUND_FLOOR))


def governing_forecast(forecasts: Sequence[Forecast | NoForecast]) -> Forecast | NoForecast:
    """Choose the forecast that governs: the one that stands at the limit first, else the first refusal."""
    made = [forecast for forecast in forecasts if isinstance(forecast, Forecast)]
    return min(made, key=lambda forecast: forecast.limit_at_hours) if made else forecasts[0]


def fit_life(life: Life) -> FittedLine:
    """Fit the straight line through all readings of a life."""
    return fit_line([r.operating_hours for r in life.readings], [r.size_mm for r in life.readings])


def _forecast_through(
    pair: tuple[SizeReading, SizeReading] | None, limit_mm: Decimal, side: LimitSide, basis: ForecastBasis
) -> Forecast | NoForecast:
    """Run the line through two readings on to the limit."""
    if pair is None:
        return NoForecast(basis, NoForecastReason.TOO_FEW_READINGS)
    earlier, later = pair
    rate_mm_per_1000_h = wear_rate_mm_per_1000_h(earlier, later)
    if not _moves_towards(rate_mm_per_1000_h, side):
        return NoForecast(basis, NoForecastReason.NOT_TOWARDS_LIMIT)
    growth_mm, hours = _growth(earlier, later)
    # From the readings and not from the rate, which may have been rounded.
    return Forecast(basis, rate_mm_per_1000_h, later.operating_hours + (limit_mm - later.size_mm) * hours / growth_mm)


def _growth(earlier: SizeReading, later: SizeReading) -> tuple[Decimal, Decimal]:
    """Give the change of size [mm] between two readings and the hours run between them."""
    hours = later.operating_hours - earlier.operating_hours
    if hours <= 0:
        raise HoursNotInOrder("a rate needs a later reading at more operating hours than the earlier one")
    return later.size_mm - earlier.size_mm, hours


def _moves_towards(rate_mm_per_1000_h: Decimal, side: LimitSide) -> bool:
    """Whether wear at this rate comes nearer to the limit."""
    return rate_mm_per_1000_h > 0 if side == LimitSide.UPPER else rate_mm_per_1000_h < 0
