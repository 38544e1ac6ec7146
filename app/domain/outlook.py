"""What a size is expected to be at the next planned opening, and whether renewal is advised before then."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.limits import Characteristic, Limit, Side
from app.domain.numbers import from_mm_words
from app.domain.regression import LineUndetermined, PredictionInterval, prediction_interval
from app.domain.wear import (
    Forecast,
    ForecastBasis,
    Life,
    LimitSide,
    NoForecast,
    fit_life,
    forecast_last_interval,
    forecast_since_new,
    governing_forecast,
    size_at_mm,
)

FEWEST_FOR_A_BAND = 3


@dataclass(frozen=True)
class Outlook:
    """One size looked at ahead: the earlier of the two forecasts governs, the band informs."""

    characteristic: Characteristic
    level: str
    limit: Limit
    life: Life
    forecast: Forecast | NoForecast
    next_opening_hours: Decimal
    expected_mm: Decimal | None
    band: PredictionInterval | None
    wear_from_mm: Decimal | None = None  # the size a bore's wear counts from; life and limit are diameters then

    @property
    def is_renewal_advised(self) -> bool:
        """Whether the limit is expected to be crossed before the next opening."""
        return isinstance(self.forecast, Forecast) and self.forecast.limit_at_hours < self.next_opening_hours

    @property
    def limit_at_hours(self) -> Decimal:
        """The hours at which the limit is expected; beyond all hours where nothing is forecast."""
        return self.forecast.limit_at_hours if isinstance(self.forecast, Forecast) else Decimal("Infinity")

    @property
    def name(self) -> str:
        """The size as a sentence names it."""
        if self.wear_from_mm is not None:
            return f"wear of the {self.characteristic.name.lower()}"
        return f"{self.characteristic.name.lower()}, {self.level}" if self.level else self.characteristic.name.lower()

    @property
    def limit_words(self) -> str:
        """The limit that the size comes to: closed gap at its limit of 0.65 mm."""
        return f"{self.name} at its limit of {self._write(self.limit.size.mm)}"

    @property
    def words(self) -> str:
        """One line: what is expected at the next opening, or why nothing is said."""
        if isinstance(self.forecast, NoForecast) or self.expected_mm is None:
            reason = self.forecast.reason.value if isinstance(self.forecast, NoForecast) else ""
            return f"{self.name.capitalize()}: no forecast, {reason}."
        line = f"{self.name.capitalize()}: {self._write(self.expected_mm)} expected at {self.next_opening_hours:f} h"
        line += f", limit {self._write(self.limit.size.mm)} reached at {self.forecast.limit_at_hours:.0f} h"
        if self.band is None:
            return f"{line} ({self.forecast.basis.value})."
        low, high = (self._write(Decimal(repr(size))) for size in (self.band.low_mm, self.band.high_mm))
        return f"{line} ({self.forecast.basis.value}); 95 % band {low} to {high}."

    def _write(self, size_mm: Decimal) -> str:
        """Write a size as the sheet does, rounded: a forecast has no more digits than its limit."""
        unit, decimals = self.characteristic.unit, self.characteristic.decimals
        size_mm -= self.wear_from_mm or Decimal(0)
        return f"{from_mm_words(size_mm, unit, decimals)} {unit}"


def look_ahead(
    characteristic: Characteristic,
    level: str,
    limit: Limit,
    life: Life,
    next_opening_hours: Decimal,
    reading_u_mm: Decimal | None = None,
) -> Outlook:
    """Look ahead along one life: since new and over the last interval, and the band from three readings on.

    Whoever asks for no band does not say how uncertain a reading is.
    """
    side = LimitSide.UPPER if limit.side is Side.UPPER else LimitSide.LOWER
    made = [forecast(life, limit.size.mm, side) for forecast in (forecast_since_new, forecast_last_interval)]
    governing = governing_forecast(made)
    return Outlook(
        characteristic,
        level,
        limit,
        life,
        governing,
        next_opening_hours,
        _expected_mm(life, governing, next_opening_hours),
        None if reading_u_mm is None else _band(life, next_opening_hours, reading_u_mm),
    )


def _expected_mm(life: Life, forecast: Forecast | NoForecast, hours: Decimal) -> Decimal | None:
    """The size at the given hours along the governing forecast."""
    pair = life.since_new if forecast.basis is ForecastBasis.SINCE_NEW else life.last_interval
    if isinstance(forecast, NoForecast) or pair is None:
        return None
    return size_at_mm(*pair, hours)


def _band(life: Life, hours: Decimal, reading_u_mm: Decimal) -> PredictionInterval | None:
    """The band in which a further reading is expected; two points give none."""
    if len(life.readings) < FEWEST_FOR_A_BAND:
        return None
    try:
        return prediction_interval(fit_life(life), float(hours), float(reading_u_mm))
    except LineUndetermined:
        return None
