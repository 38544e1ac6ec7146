"""A trend as a plot: its readings, limits and new range in its sheet's own unit."""

from itertools import pairwise

from app.actions.trends import LifeReading, Trend
from app.domain.limits import Side
from app.domain.numbers import decimals_of
from app.domain.units import from_mm
from app.domain.verdicts import Verdict
from app.reports.trend_plot import EarlierLimit, TrendForecast, TrendPlotInput, TrendPoint


def plot_of(trend: Trend, width_px: float) -> TrendPlotInput:
    """Lay a trend out in its sheet's own unit."""
    each, limit = trend.characteristic, trend.limit
    new = each.new if trend.has_new_range else None
    begun = [reading.began for reading in trend.readings if reading.began]
    return TrendPlotInput(
        title=trend.title,
        unit=each.unit.value,
        decimals=max([each.decimals, *(decimals_of(then.limit.size.value.normalize()) for then in trend.limits)]),
        points=tuple(_point(reading, trend) for reading in trend.readings),
        limit=from_mm(limit.size.mm, each.unit) if limit else None,
        earlier_limits=tuple(
            EarlierLimit(after.operating_hours, from_mm(then.limit.size.mm, each.unit))
            for then, after in pairwise(trend.limits)
        ),
        upper=limit is None or limit.side is Side.UPPER,
        new_low=from_mm(new.lower.mm, each.unit) if new else None,
        new_high=from_mm(new.upper.mm, each.unit) if new else None,
        forecast=_forecast(trend),
        beyond=(limit.outcome if limit else Verdict.RENEW).value,
        verdict=trend.verdict.value,
        life_word=begun[-1].partition(" at ")[0] if begun else "renewed",
        width=width_px,
    )


def _forecast(trend: Trend) -> TrendForecast | None:
    """Lay out what is expected at the next planned opening, with its band."""
    ahead, unit = trend.ahead, trend.characteristic.unit
    if ahead is None:
        return None
    low, high = (None if size is None else from_mm(size, unit) for size in (ahead.low_mm, ahead.high_mm))
    return TrendForecast(ahead.operating_hours, from_mm(ahead.size_mm, unit), low, high)


def _point(reading: LifeReading, trend: Trend) -> TrendPoint:
    """Lay one reading out."""
    size = from_mm(reading.size_mm, trend.characteristic.unit)
    return TrendPoint(reading.operating_hours, size, reading.began or "in place when the book began")
