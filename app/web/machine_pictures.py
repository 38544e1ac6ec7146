"""The pictures of a machine's past: its hours line, and its trends as plots."""

from decimal import Decimal

from app.actions.history import PartHistory
from app.actions.machine_record import MachineRecord
from app.actions.past_overhauls import PastOverhaul
from app.actions.trend_plots import plot_of
from app.actions.trends import Trend
from app.domain.phases import CLOSED
from app.reports.hours_line import HoursEvent, HoursLineInput, HoursLineLayout, lay_out_hours_line
from app.reports.trend_plot import TrendPlotLayout, lay_out_trend_plot

WIDE_PX, NARROW_PX = 1216.0, 736.0  # of the hours line
ONE_PX, SEVERAL_PX = 720.0, 360.0  # of a plot alone, and of plots side by side
TEN_HOURS = Decimal(10)


def hours_lines(record: MachineRecord) -> tuple[HoursLineLayout, HoursLineLayout] | None:
    """Draw the overhauls along the operating hours, for a wide and for a narrow screen; None while there is no line."""
    events = [*_began(record), *(_opened(past) for past in record.past), *_read(record), *_ahead(record)]
    if len(events) < 2:
        return None
    wide, narrow = (lay_out_hours_line(HoursLineInput(tuple(events), width)) for width in (WIDE_PX, NARROW_PX))
    return wide, narrow


def _began(record: MachineRecord) -> list[HoursEvent]:
    """The hours with which the machine came into the book, where they are not those of an overhaul."""
    meter = record.state.meter
    if not meter or (record.past and record.past[0].overhaul.hours <= meter[0].hours):
        return []
    return [HoursEvent(meter[0].hours, "Into the book", f"{meter[0].read_at:%Y}", "")]


def _opened(past: PastOverhaul) -> HoursEvent:
    """One overhaul."""
    overhaul, is_open = past.overhaul, past.phase not in CLOSED
    return HoursEvent(
        overhaul.hours,
        f"Overhaul {overhaul.number}",
        "open now" if is_open else f"{overhaul.opened_at:%Y}",
        heaviest_words(past) + (" so far" if is_open else ""),
        "now" if is_open else "past",
        f"/overhauls/{overhaul.id}",
    )


def heaviest_words(past: PastOverhaul) -> str:
    """Say how many parts have the heaviest verdict: 4 RENEW, all REUSE."""
    is_all = past.heaviest_count == len(past.verdicts)
    return f"{'all' if is_all else past.heaviest_count} {past.heaviest.word}"


def _read(record: MachineRecord) -> list[HoursEvent]:
    """The hours read last, where the machine has run on since its last overhaul."""
    meter = record.state.meter
    last = record.past[-1].overhaul.hours if record.past else meter[0].hours if meter else None
    if last is None or record.state.open_overhaul or meter[-1].hours <= last:
        return []
    return [HoursEvent(meter[-1].hours, "Read", f"{meter[-1].read_at:%b %Y}", "in service", "now")]


def _ahead(record: MachineRecord) -> list[HoursEvent]:
    """What opens the machine first, where it counts by hours and is not due already; nothing while it is open."""
    first = None if record.state.open_overhaul else record.opening
    left = first.due.hours_left if first else None
    if first is None or left is None or left <= 0:
        return []
    at = near_hours(record.state.meter[-1].hours + left)
    return [HoursEvent(at, "Opens next", f"{first.due.on:%b %Y}" if first.due.on else "", first.task.name, "ahead")]


def ring_plots(record: MachineRecord) -> list[tuple[Trend, TrendPlotLayout]]:
    """Draw how the rings of each stage wear."""
    return [(trend, lay_out_trend_plot(plot_of(trend, SEVERAL_PX))) for trend in record.trends]


def history_plots(history: PartHistory) -> list[tuple[Trend, TrendPlotLayout]]:
    """Draw every trend of a part's characteristic that has a reading."""
    trends = [trend for trend in history.trends if trend.readings]
    width_px = ONE_PX if len(trends) == 1 else SEVERAL_PX
    return [(trend, lay_out_trend_plot(plot_of(trend, width_px))) for trend in trends]


def near_hours(hours: Decimal) -> Decimal:
    """Round a forecast down to tens of hours, since it promises no more."""
    return hours // TEN_HOURS * TEN_HOURS
