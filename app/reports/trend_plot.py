"""The trend plot: readings of one characteristic over operating hours, by part life, against the limit."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from app.reports.scale_axis import Axis, axis_over, text_width_px

LEFT = 56.0
RIGHT = 16.0
TOP = 34.0
FOOT = 52.0
WIDEST_DIGIT_PX = 10.0


@dataclass(frozen=True)
class TrendPoint:
    """One reading: at which hours, its figure, and the part life it belongs to."""

    operating_hours: Decimal
    value: Decimal
    life: str = ""


@dataclass(frozen=True)
class TrendForecast:
    """What the wear line says for given hours; low and high are the band, or None where none can be given."""

    operating_hours: Decimal
    value: Decimal
    low: Decimal | None = None
    high: Decimal | None = None


@dataclass(frozen=True)
class EarlierLimit:
    """A limit that stood up to some hours, before the sheet's revision changed it."""

    until_hours: Decimal
    limit: Decimal


@dataclass(frozen=True)
class TrendPlotInput:
    """A plot. beyond is the verdict past the limit; upper tells whether the limit is a largest or a smallest size."""

    title: str
    unit: str
    decimals: int
    points: tuple[TrendPoint, ...]
    limit: Decimal | None = None
    earlier_limits: tuple[EarlierLimit, ...] = ()
    upper: bool = True
    new_low: Decimal | None = None
    new_high: Decimal | None = None
    forecast: TrendForecast | None = None
    beyond: str = "renew"
    verdict: str = "notgauged"
    life_word: str = "renewed"
    width: float = 396.0
    height: float = 280.0

    def write(self, value: Decimal) -> str:
        """Write a figure with the decimals of the limit."""
        return f"{value:.{self.decimals}f}"


@dataclass(frozen=True)
class PlotTick:
    """A tick of an axis: where, and what stands at it, centred or, at the edge, ending there."""

    place: float
    text: str
    text_x: float = 0.0
    is_at_edge: bool = False


@dataclass(frozen=True)
class PlotDot:
    """A reading in the plot."""

    x: float
    y: float


@dataclass(frozen=True)
class PlotBand:
    """A level band across the plot."""

    y: float
    height: float


@dataclass(frozen=True)
class PlotLimit:
    """A limit over the hours for which it stood, with its caption and the zone past it."""

    x1: float
    x2: float
    y: float
    text: str
    beyond: PlotBand


@dataclass(frozen=True)
class PlotForecast:
    """The broken line to the forecast, its wedge and its bar; wedge and bar are empty without a band."""

    line: str
    wedge: str
    bar: str
    x: float
    y: float


@dataclass(frozen=True)
class TrendPlotLayout:
    """A trend plot ready to be drawn; rows repeat it as a table."""

    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    title: str
    hours_ticks: tuple[PlotTick, ...]
    value_ticks: tuple[PlotTick, ...]
    lines: tuple[str, ...]
    dots: tuple[PlotDot, ...]
    renewals: tuple[float, ...]
    renewal_word: str
    limit_y: float | None
    limit_text: str
    limits: tuple[PlotLimit, ...]
    beyond_band: PlotBand | None
    beyond: str
    new_band: PlotBand | None
    last_dot: PlotDot | None
    last_text: str
    last_text_anchor: str
    verdict: str
    forecast: PlotForecast | None
    rows: tuple[tuple[str, str, str], ...]
    spoken: str


def lay_out_trend_plot(plot: TrendPlotInput) -> TrendPlotLayout:
    """Lay out a trend plot."""
    hours, values = _axes(plot)
    dots = tuple(PlotDot(hours.place(one.operating_hours), values.place(one.value)) for one in plot.points)
    return TrendPlotLayout(
        width=plot.width,
        height=plot.height,
        left=LEFT,
        right=plot.width - RIGHT,
        top=TOP,
        bottom=plot.height - FOOT,
        title=plot.title,
        hours_ticks=tuple(_hours_tick(plot, hours.place(tick), _thousands(tick)) for tick in hours.ticks()),
        value_ticks=tuple(PlotTick(values.place(tick), f"{tick:.{values.decimals}f}") for tick in values.ticks()),
        lines=_lines(plot, dots),
        dots=dots,
        renewals=_renewals(plot, dots),
        renewal_word=plot.life_word,
        limit_y=None if plot.limit is None else values.place(plot.limit),
        limit_text="" if plot.limit is None else f"LIMIT {plot.write(plot.limit)}",
        limits=_limits(plot, hours, values),
        beyond_band=None if plot.limit is None else _beyond(plot, values.place(plot.limit)),
        beyond=plot.beyond,
        new_band=_new_band(plot, values),
        last_dot=dots[-1] if dots else None,
        last_text=plot.write(plot.points[-1].value) if dots else "",
        last_text_anchor=_last_anchor(plot, dots),
        verdict=plot.verdict,
        forecast=_forecast(plot, dots, hours, values),
        rows=_rows(plot),
        spoken=_spoken(plot),
    )


def _axes(plot: TrendPlotInput) -> tuple[Axis, Axis]:
    hours = [float(one.operating_hours) for one in plot.points]
    sizes = [plot.limit, plot.new_low, plot.new_high, *(one.value for one in plot.points)]
    sizes += [earlier.limit for earlier in plot.earlier_limits]
    if plot.forecast:
        hours.append(float(plot.forecast.operating_hours))
        sizes += [plot.forecast.value, plot.forecast.low, plot.forecast.high]
    known = [float(size) for size in sizes if size is not None]
    return (
        axis_over(hours or [0.0, 1000.0], LEFT, plot.width - RIGHT, tick_gap_px=74.0),
        axis_over(known or [0.0, 1.0], plot.height - FOOT, TOP, tick_gap_px=36.0),
    )


def _hours_tick(plot: TrendPlotInput, place: float, text: str) -> PlotTick:
    """Keep a figure within the drawing, also in the widest letters that it is set in."""
    is_at_edge = place + len(text) * WIDEST_DIGIT_PX / 2 > plot.width
    return PlotTick(place, text, plot.width if is_at_edge else place, is_at_edge)


def _thousands(hours: float) -> str:
    return f"{round(hours):,}".replace(",", "\N{NO-BREAK SPACE}")


def _lines(plot: TrendPlotInput, dots: tuple[PlotDot, ...]) -> tuple[str, ...]:
    """Join the dots of one part life; a new part begins a new line."""
    lives: dict[str, list[PlotDot]] = {}
    for point, dot in zip(plot.points, dots, strict=True):
        lives.setdefault(point.life, []).append(dot)
    return tuple(_path(life) for life in lives.values() if len(life) > 1)


def _path(dots: list[PlotDot]) -> str:
    return "M" + "L".join(f"{dot.x:.1f} {dot.y:.1f}" for dot in dots)


def _renewals(plot: TrendPlotInput, dots: tuple[PlotDot, ...]) -> tuple[float, ...]:
    pairs = pairwise(zip(plot.points, dots, strict=True))
    return tuple(dot.x for (before, _), (after, dot) in pairs if before.life != after.life)


def _limits(plot: TrendPlotInput, hours: Axis, values: Axis) -> tuple[PlotLimit, ...]:
    """Lay the limits out one after another, each up to the hours at which the next one took its place."""
    if plot.limit is None:
        return ()
    ends = [*(hours.place(earlier.until_hours) for earlier in plot.earlier_limits), plot.width - RIGHT]
    sizes = [*(earlier.limit for earlier in plot.earlier_limits), plot.limit]
    return tuple(
        PlotLimit(start, end, values.place(size), f"LIMIT {plot.write(size)}", _beyond(plot, values.place(size)))
        for start, end, size in zip([LEFT, *ends], ends, sizes, strict=False)
    )


def _beyond(plot: TrendPlotInput, limit_y: float) -> PlotBand:
    return PlotBand(TOP, limit_y - TOP) if plot.upper else PlotBand(limit_y, plot.height - FOOT - limit_y)


def _new_band(plot: TrendPlotInput, values: Axis) -> PlotBand | None:
    if plot.new_low is None or plot.new_high is None:
        return None
    top = values.place(plot.new_high)
    return PlotBand(top, max(1.0, values.place(plot.new_low) - top))


def _last_anchor(plot: TrendPlotInput, dots: tuple[PlotDot, ...]) -> str:
    """Write the last figure before its dot, where the line comes from below; after it where there is no room."""
    return "end" if dots and dots[-1].x - 20 - text_width_px(plot.write(plot.points[-1].value)) > LEFT else "start"


def _forecast(plot: TrendPlotInput, dots: tuple[PlotDot, ...], hours: Axis, values: Axis) -> PlotForecast | None:
    if plot.forecast is None or not dots:
        return None
    start, x = dots[-1], hours.place(plot.forecast.operating_hours)
    y = values.place(plot.forecast.value)
    line = f"M{start.x:.1f} {start.y:.1f}L{x:.1f} {y:.1f}"
    if plot.forecast.low is None or plot.forecast.high is None:
        return PlotForecast(line, "", "", x, y)
    low, high = values.place(plot.forecast.low), values.place(plot.forecast.high)
    wedge = f"M{start.x:.1f} {start.y:.1f}L{x:.1f} {high:.1f}V{low:.1f}Z"
    bar = f"M{x:.1f} {high:.1f}V{low:.1f}M{x - 6:.1f} {high:.1f}h12M{x - 6:.1f} {low:.1f}h12"
    return PlotForecast(line, wedge, bar, x, y)


def _rows(plot: TrendPlotInput) -> tuple[tuple[str, str, str], ...]:
    rows = [(_thousands(float(one.operating_hours)), plot.write(one.value), one.life) for one in plot.points]
    if plot.forecast:
        band = plot.forecast
        between = (
            f", {plot.write(band.low)} to {plot.write(band.high)}"
            if band.low is not None and band.high is not None
            else ""
        )
        rows.append((_thousands(float(band.operating_hours)), plot.write(band.value), f"forecast{between}"))
    return tuple(rows)


def _spoken(plot: TrendPlotInput) -> str:
    said = f"{plot.title}, {len(plot.points)} readings"
    if plot.points:
        last = plot.points[-1]
        said += f", last {plot.write(last.value)} {plot.unit} at {_thousands(float(last.operating_hours))} h"
    return said if plot.limit is None else f"{said}, limit {plot.write(plot.limit)}"
