"""How a limit scale is laid out: one bar with zones, the reading boxed above it, dimensions in rows below it."""

from dataclasses import dataclass
from decimal import Decimal

from app.reports.limit_scale import (
    LastPointer,
    LimitScaleInput,
    LimitScaleLayout,
    ReadingBox,
    ScaleDimension,
    ScaleLimit,
    ScaleText,
    ScaleZone,
)
from app.reports.scale_axis import Axis, axis_over, text_width_px

BAR_BOTTOM = 90.0
FIRST_ROW = 130.0
ROW_HEIGHT = 24.0
MARGIN = 10.0
NEW_ROW = 56.0
CAPTION_GAP = 24.0


@dataclass(frozen=True)
class _Wish:
    """A caption under the bar that still looks for a row: what it spans and what it says."""

    kind: str
    x1: float
    x2: float
    text: str


@dataclass(frozen=True)
class _Placed:
    """A caption with its row, counted from nought under the bar, and the side its text stands on."""

    wish: _Wish
    row: int
    to_the_right: bool


def lay_out_limit_scale(scale: LimitScaleInput) -> LimitScaleLayout:
    """Lay out a limit scale.

    >>> layout = lay_out_limit_scale(LimitScaleInput(decimals=2, limit_high=Decimal("0.65"), reading=Decimal("0.70")))
    >>> layout.spoken
    'limit 0.65, reading 0.70'
    """
    axis = axis_over(scale.values or [0.0, 1.0], MARGIN, scale.width - MARGIN)
    placed = _assign_rows(_wishes(scale, axis), scale.width)
    return LimitScaleLayout(
        width=scale.width,
        height=FIRST_ROW + ROW_HEIGHT * max((one.row for one in placed), default=-1) + 10,
        bar=ScaleZone(axis.start_px, axis.end_px - axis.start_px, "bar"),
        zones=_zones(scale, axis),
        limits=_limits(scale, axis),
        ticks=tuple(axis.place(tick) for tick in axis.ticks()),
        tick_captions=_tick_captions(scale, axis),
        reading=_reading(scale, axis),
        interval=_interval(scale, axis),
        interval_is_open=scale.goes is not None and scale.does_not_go is None,
        new_above=_new_above(scale, axis),
        dimensions=tuple(_dimension(one) for one in placed if one.wish.kind == "dimension"),
        last=next((_last(one) for one in placed if one.wish.kind == "last"), None),
        verdict=scale.verdict,
        kept=scale.kept,
        spoken=_spoken(scale),
    )


def _zones(scale: LimitScaleInput, axis: Axis) -> tuple[ScaleZone, ...]:
    low = axis.start_px if scale.limit_low is None else axis.place(scale.limit_low)
    high = axis.end_px if scale.limit_high is None else axis.place(scale.limit_high)
    zones = [
        ScaleZone(axis.start_px, low - axis.start_px, scale.below),
        ScaleZone(low, high - low, "reuse"),
        ScaleZone(high, axis.end_px - high, scale.beyond),
    ]
    return tuple(zone for zone in zones if zone.width > 0)


def _limits(scale: LimitScaleInput, axis: Axis) -> tuple[ScaleLimit, ...]:
    limits = [value for value in (scale.limit_low, scale.limit_high) if value is not None]
    names = ("MIN", "MAX") if len(limits) == 2 else ("LIMIT",)
    return tuple(
        _limit(axis.place(value), f"{name} {scale.write(value)}", number, scale.width)
        for number, (name, value) in enumerate(zip(names, limits, strict=False))
    )


def _limit(x: float, text: str, number: int, width_px: float) -> ScaleLimit:
    """Put the caption left of its line, or right of it where there is no room; a second limit goes right."""
    room = 8 + text_width_px(text)
    to_the_right = x + room < width_px if number else x - room < 0
    anchor, shift = ("start", 8.0) if to_the_right else ("end", -8.0)
    return ScaleLimit(x, ScaleText(x + shift, 16, text, anchor))


def _tick_captions(scale: LimitScaleInput, axis: Axis) -> tuple[ScaleText, ...]:
    """Write the ticks' figures, but for one that the pointer of the last opening would stand in."""
    y = BAR_BOTTOM + 24
    captions = [ScaleText(axis.place(tick), y, f"{tick:.{axis.decimals}f}", "middle") for tick in axis.ticks()[1:-1]]
    if scale.last is None:
        return tuple(captions)
    last_x = axis.place(scale.last)
    return tuple(one for one in captions if abs(one.x - last_x) > text_width_px(one.text) / 2)


def _reading(scale: LimitScaleInput, axis: Axis) -> ReadingBox | None:
    """Stand the box on the reading's own side of the nearest limit, so that the limit line stays in sight."""
    if scale.reading is None:
        return None
    text, x = scale.write(scale.reading), axis.place(scale.reading)
    width = len(text) * 12.0 + 16
    over = scale.limit_high is not None and scale.reading > scale.limit_high
    under = scale.limit_low is not None and scale.reading < scale.limit_low
    leans_right = over or (scale.limit_low is not None and scale.limit_high is None and not under)
    left = x - 10 if leans_right else x - width + 10
    return ReadingBox(min(max(left, 1.0), scale.width - width - 1), width, x, text)


def _interval(scale: LimitScaleInput, axis: Axis) -> ScaleZone | None:
    if scale.goes is None and scale.does_not_go is None:
        return None
    left = axis.start_px if scale.goes is None else axis.place(scale.goes)
    right = axis.end_px if scale.does_not_go is None else axis.place(scale.does_not_go)
    return ScaleZone(left, max(right - left, 2.0), scale.verdict)


def _wishes(scale: LimitScaleInput, axis: Axis) -> list[_Wish]:
    wishes = []
    new = _new_range(scale, axis)
    if new and not _new_above(scale, axis):
        wishes.append(new)
    overrun = _overrun(scale)
    if overrun is not None and scale.reading is not None:
        limit, word = overrun
        ends = sorted((axis.place(limit), axis.place(scale.reading)))
        wishes.append(_Wish("dimension", ends[0], ends[1], f"{scale.write(abs(scale.reading - limit))} {word}"))
    if scale.last is not None:
        x = axis.place(scale.last)
        wishes.append(_Wish("last", x, x, f"{scale.last_label} {scale.write(scale.last)}"))
    return wishes


def _new_range(scale: LimitScaleInput, axis: Axis) -> _Wish | None:
    if scale.new_low is None or scale.new_high is None:
        return None
    text = f"NEW {scale.write(scale.new_low)}–{scale.write(scale.new_high)}"
    return _Wish("dimension", axis.place(scale.new_low), axis.place(scale.new_high), text)


def _new_above(scale: LimitScaleInput, axis: Axis) -> ScaleDimension | None:
    """Dimension the new range above the bar, its caption over it, where neither reading nor limit is in the way."""
    new, box = _new_range(scale, axis), _reading(scale, axis)
    if new is None or new.x2 - new.x1 < 28:
        return None
    middle, half = (new.x1 + new.x2) / 2, max(text_width_px(new.text), new.x2 - new.x1) / 2 + 4
    limits = [(limit.x - 4, limit.x + 4) for limit in _limits(scale, axis)]
    boxes = [(box.x - 4, box.x + box.width + 4)] if box else []
    interval = _interval(scale, axis)
    leaves = [(interval.x, interval.x + interval.width)] if interval else []
    if any(middle + half > start and middle - half < end for start, end in limits + boxes + leaves):
        return None
    if middle - half < 0 or middle + half > scale.width:
        return None
    return ScaleDimension(new.x1, new.x2, NEW_ROW, False, ScaleText(middle, NEW_ROW - 10, new.text, "middle"))


def _overrun(scale: LimitScaleInput) -> tuple[Decimal, str] | None:
    if scale.reading is None:
        return None
    if scale.limit_high is not None and scale.reading > scale.limit_high:
        return scale.limit_high, "over"
    if scale.limit_low is not None and scale.reading < scale.limit_low:
        return scale.limit_low, "under"
    return None


def _span(wish: _Wish, to_the_right: bool) -> tuple[float, float]:
    """Tell what a caption covers with its dimension: its text after it, or before it."""
    room = CAPTION_GAP + text_width_px(wish.text)
    return (wish.x1 - 20, wish.x2 + room) if to_the_right else (wish.x1 - room, wish.x2 + 20)


def _assign_rows(wishes: list[_Wish], width_px: float) -> list[_Placed]:
    """Give every caption the first row, and the side, in which it meets no other."""
    rows: list[list[tuple[float, float]]] = [[] for _ in wishes]
    placed = []
    for wish in wishes:
        place = next(one for one in _choices(wish, width_px, len(rows)) if _is_free(rows[one.row], one))
        rows[place.row].append(_span(wish, place.to_the_right))
        placed.append(place)
    return placed


def _choices(wish: _Wish, width_px: float, rows: int) -> list[_Placed]:
    sides = [side for side in (True, False) if _span(wish, side)[0] >= -20 and _span(wish, side)[1] <= width_px + 20]
    return [_Placed(wish, row, side) for row in range(rows) for side in sides or [True]]


def _is_free(row: list[tuple[float, float]], place: _Placed) -> bool:
    left, right = _span(place.wish, place.to_the_right)
    return all(right < start or left > end for start, end in row)


def _caption(place: _Placed, y: float, gap: float) -> ScaleText:
    if place.to_the_right:
        return ScaleText(place.wish.x2 + gap, y + 6, place.wish.text)
    return ScaleText(place.wish.x1 - gap, y + 6, place.wish.text, "end")


def _dimension(place: _Placed) -> ScaleDimension:
    wish, y = place.wish, FIRST_ROW + place.row * ROW_HEIGHT
    outside = wish.x2 - wish.x1 < 28
    return ScaleDimension(wish.x1, wish.x2, y, outside, _caption(place, y, 22.0 if outside else 8.0))


def _last(place: _Placed) -> LastPointer:
    y = FIRST_ROW + place.row * ROW_HEIGHT
    return LastPointer(place.wish.x1, y, _caption(place, y, 6.0))


def _spoken(scale: LimitScaleInput) -> str:
    said = []
    if scale.new_low is not None and scale.new_high is not None:
        said.append(f"new {scale.write(scale.new_low)} to {scale.write(scale.new_high)}")
    said += [
        f"{name} {scale.write(value)}"
        for name, value in (
            ("lower limit" if scale.limit_high is not None else "limit", scale.limit_low),
            ("limit", scale.limit_high),
            ("last opening", scale.last),
            ("goes", scale.goes),
            ("does not go", scale.does_not_go),
            ("reading", scale.reading),
        )
        if value is not None
    ]
    return ", ".join(said)
