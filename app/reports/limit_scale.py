"""The limit scale: what it shows of a reading, and the places its parts are drawn at."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class LimitScaleInput:
    """What the scale shows. beyond and below are the verdicts that over and under the limits lead to.

    A reading is one figure, or a leaf that goes and one that does not; verdict is the verdict of that reading.
    """

    decimals: int
    limit_high: Decimal | None = None
    limit_low: Decimal | None = None
    new_low: Decimal | None = None
    new_high: Decimal | None = None
    reading: Decimal | None = None
    goes: Decimal | None = None
    does_not_go: Decimal | None = None
    last: Decimal | None = None
    verdict: str = "notgauged"
    beyond: str = "renew"
    below: str = "renew"
    kept: bool = True
    last_label: str = "LAST"
    width: float = 352.0

    def write(self, value: Decimal | float) -> str:
        """Write a figure with the decimals of the limit."""
        return f"{value:.{self.decimals}f}"

    @property
    def values(self) -> list[float]:
        """Everything that has a place on the scale."""
        limits = (self.limit_high, self.limit_low, self.new_low, self.new_high)
        all_values = (*limits, self.reading, self.goes, self.does_not_go, self.last)
        return [float(value) for value in all_values if value is not None]


@dataclass(frozen=True)
class ScaleText:
    """A caption: its place, and whether it starts, is centred on or ends there."""

    x: float
    y: float
    text: str
    anchor: str = "start"


@dataclass(frozen=True)
class ScaleZone:
    """A stretch of the bar lined with one verdict."""

    x: float
    width: float
    verdict: str


@dataclass(frozen=True)
class ScaleLimit:
    """A limit line with its caption."""

    x: float
    caption: ScaleText


@dataclass(frozen=True)
class ReadingBox:
    """The reading: a boxed figure on an arrow that ends on the bar."""

    x: float
    width: float
    arrow_x: float
    text: str


@dataclass(frozen=True)
class ScaleDimension:
    """A dimension under the bar. outside: too short for arrows inside, so they point at it from both ends."""

    x1: float
    x2: float
    y: float
    outside: bool
    caption: ScaleText


@dataclass(frozen=True)
class LastPointer:
    """The open pointer of the last opening."""

    x: float
    y: float
    caption: ScaleText


@dataclass(frozen=True)
class LimitScaleLayout:
    """A limit scale ready to be drawn."""

    width: float
    height: float
    bar: ScaleZone
    zones: tuple[ScaleZone, ...]
    limits: tuple[ScaleLimit, ...]
    ticks: tuple[float, ...]
    tick_captions: tuple[ScaleText, ...]
    reading: ReadingBox | None
    interval: ScaleZone | None
    interval_is_open: bool
    new_above: ScaleDimension | None
    dimensions: tuple[ScaleDimension, ...]
    last: LastPointer | None
    verdict: str
    kept: bool
    spoken: str
