"""The operating hours of a machine over the days they were read on, laid out as a small plot."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from app.reports.scale_axis import axis_over, text_width_px

HEIGHT, TOP, BOTTOM, LEFT, RIGHT = 250.0, 26.0, 206.0, 92.0, 24.0
LEAST_YEAR_PX = 60.0
MOST_DOTS = 80
NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True)
class MeterPoint:
    """A reading: when, how many hours, and whether it began a new meter."""

    at: datetime
    hours: Decimal
    is_new_meter: bool = False


@dataclass(frozen=True)
class Tick:
    """A place on an axis with its lettering."""

    place: float
    text: str


@dataclass(frozen=True)
class MeterPlot:
    """A plot ready to be drawn; `recent` is the run of days that the rate of use is told from."""

    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    days: tuple[Tick, ...]
    hours: tuple[Tick, ...]
    line: str
    recent: str
    dots: tuple[tuple[float, float], ...]
    new_meters: tuple[float, ...]
    last: Tick
    last_x: float
    spoken: str


def lay_out_meter_plot(points: Sequence[MeterPoint], rate_since: datetime | None, width: float) -> MeterPlot | None:
    """Lay out the readings in their order; None while there is no line."""
    if len(points) < 2 or points[0].at == points[-1].at:
        return None
    first, last, right = points[0], points[-1], width - RIGHT
    whole_s = (last.at - first.at).total_seconds()
    axis = axis_over([float(first.hours), float(last.hours)], BOTTOM, TOP)

    def spot(point: MeterPoint) -> tuple[float, float]:
        """Place a reading."""
        x = LEFT + (point.at - first.at).total_seconds() / whole_s * (right - LEFT)
        return round(x, 1), round(axis.place(point.hours), 1)

    spots = [spot(point) for point in points]
    recent = [place for place, point in zip(spots, points, strict=True) if rate_since and point.at >= rate_since]
    return MeterPlot(
        width,
        HEIGHT,
        LEFT,
        right,
        TOP,
        BOTTOM,
        _days(first.at, last.at, right),
        tuple(Tick(axis.place(value), _hours(value)) for value in axis.ticks()),
        _path(spots),
        _path(recent),
        tuple(spots) if len(spots) <= MOST_DOTS else (),
        tuple(place[0] for place, point in zip(spots, points, strict=True) if point.is_new_meter),
        Tick(spots[-1][1], _hours(float(last.hours))),
        spots[-1][0],
        f"Operating hours from {first.at:%d %b %Y} to {last.at:%d %b %Y}: {first.hours} to {last.hours}.",
    )


def _path(spots: Sequence[tuple[float, float]]) -> str:
    """Write a line through places."""
    return "M" + "L".join(f"{x} {y}" for x, y in spots) if spots else ""


def _days(first: datetime, last: datetime, right: float) -> tuple[Tick, ...]:
    """Letter the years where there are several, else the first and the last day."""
    whole = last - first
    years = [datetime(year, 1, 1, tzinfo=UTC) for year in range(first.year + 1, last.year + 1)]
    if len(years) < 2:
        inset = text_width_px("00 Mmm 0000") / 2
        return Tick(LEFT + inset, f"{first.day} {first:%b %Y}"), Tick(right - inset, f"{last.day} {last:%b %Y}")
    places = [LEFT + (year - first) / whole * (right - LEFT) for year in years]
    every = max(1, round(LEAST_YEAR_PX / max((right - LEFT) * (timedelta(days=365) / whole), 1.0) + 0.5))
    return tuple(Tick(round(x, 1), f"{year:%Y}") for x, year in list(zip(places, years, strict=True))[::every])


def _hours(value: float) -> str:
    """Write hours: 12 300 h."""
    return f"{value:,.0f}{NO_BREAK}h".replace(",", NO_BREAK)
