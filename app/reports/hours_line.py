"""The hours line of a machine: overhauls that were, the next one, and what falls due, along operating hours."""

from dataclasses import dataclass
from decimal import Decimal

from app.reports.scale_axis import text_width_px

LINE_Y = 78.0
MARGIN = 64.0


@dataclass(frozen=True)
class HoursEvent:
    """Something on the line. state: "past", "now" or "ahead"; href leads to its record, or is empty."""

    operating_hours: Decimal
    name: str
    when: str
    note: str = ""
    state: str = "past"
    href: str = ""


@dataclass(frozen=True)
class HoursLineInput:
    """The events of one machine, in the order of their hours."""

    events: tuple[HoursEvent, ...]
    width: float = 1216.0


@dataclass(frozen=True)
class EventMark:
    """An event on the line: its place, the lettering's place and the row it stands in (0 above, 1 below)."""

    event: HoursEvent
    x: float
    text_x: float
    row: int
    anchor: str


@dataclass(frozen=True)
class HoursSpan:
    """The hours between two events, dimensioned where there is room."""

    x1: float
    x2: float
    text: str


@dataclass(frozen=True)
class HoursLineLayout:
    """An hours line ready to be drawn."""

    width: float
    height: float
    line_y: float
    marks: tuple[EventMark, ...]
    spans: tuple[HoursSpan, ...]
    now_x: float
    first_x: float
    last_x: float


def lay_out_hours_line(line: HoursLineInput) -> HoursLineLayout:
    """Lay out an hours line; it shows as many of the latest events as have room."""
    events = _latest_that_fit(line)
    places = _places(events, line.width)
    marks = _marks(events, places, line.width)
    passed = [x for event, x in zip(events, places, strict=True) if event.state != "ahead"]
    return HoursLineLayout(
        width=line.width,
        height=LINE_Y + 146 if any(mark.row for mark in marks) else LINE_Y + 78,
        line_y=LINE_Y,
        marks=marks,
        spans=_spans(events, places),
        now_x=passed[-1] if passed else MARGIN,
        first_x=places[0] if places else MARGIN,
        last_x=places[-1] if places else line.width - MARGIN,
    )


def _latest_that_fit(line: HoursLineInput) -> tuple[HoursEvent, ...]:
    most = max(2, int(line.width / 130))
    return line.events[-most:]


def _places(events: tuple[HoursEvent, ...], width: float) -> list[float]:
    if not events:
        return []
    first, last = float(events[0].operating_hours), float(events[-1].operating_hours)
    per_hour = (width - 2 * MARGIN) / ((last - first) or 1.0)
    return [MARGIN + (float(event.operating_hours) - first) * per_hour for event in events]


def _marks(events: tuple[HoursEvent, ...], places: list[float], width: float) -> tuple[EventMark, ...]:
    """Letter above the line; below it where the one before leaves no room."""
    ends = [-1000.0, -1000.0]
    marks = []
    for event, x in zip(events, places, strict=True):
        half = max(text_width_px(text) for text in (event.name, event.when, event.note, "")) / 2
        text_x = min(max(x, half + 2), width - half - 2)
        row = 0 if text_x - half > ends[0] + 6 or ends[0] <= ends[1] else 1
        ends[row] = text_x + half
        marks.append(EventMark(event, x, text_x, row, "middle"))
    return tuple(marks)


def _spans(events: tuple[HoursEvent, ...], places: list[float]) -> tuple[HoursSpan, ...]:
    spans = []
    for number in range(1, len(events)):
        hours = round(events[number].operating_hours - events[number - 1].operating_hours)
        text = f"{hours:,} h".replace(",", "\N{NO-BREAK SPACE}")
        if places[number] - places[number - 1] > text_width_px(text) + 44:
            spans.append(HoursSpan(places[number - 1], places[number], text))
    return tuple(spans)
