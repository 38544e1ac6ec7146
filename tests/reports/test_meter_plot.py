"""Tests of the plot of operating hours."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from app.reports.meter_plot import MOST_DOTS, MeterPoint, lay_out_meter_plot

FIRST = datetime(2020, 6, 1, 12, tzinfo=UTC)


def points(*run: tuple[int, int]) -> list[MeterPoint]:
    """Readings as days and hours."""
    return [MeterPoint(FIRST + timedelta(days=days), Decimal(hours)) for days, hours in run]


def test_readings_stand_by_day_and_hours_and_the_recent_run_is_heavy() -> None:
    plot = lay_out_meter_plot(points((0, 0), (50, 500), (100, 1000)), FIRST + timedelta(days=50), 736)

    assert plot is not None
    (x0, y0), (x1, y1), (x2, y2) = plot.dots
    assert (x0, x2) == (plot.left, plot.right)
    assert abs(x1 - (x0 + x2) / 2) < 0.2
    assert abs(y1 - (y0 + y2) / 2) < 0.2
    assert y0 > y2
    assert plot.recent == f"M{x1} {y1}L{x2} {y2}"
    assert plot.last.text == "1\N{NO-BREAK SPACE}000\N{NO-BREAK SPACE}h"
    assert [tick.text for tick in plot.days] == ["1 Jun 2020", "9 Sep 2020"]
    assert plot.spoken == "Operating hours from 01 Jun 2020 to 09 Sep 2020: 0 to 1000."


def test_years_are_lettered_only_where_there_is_room() -> None:
    plot = lay_out_meter_plot(points((0, 0), (365 * 25, 90_000)), None, 736)

    assert plot is not None
    gaps = [after.place - before.place for before, after in zip(plot.days, plot.days[1:], strict=False)]
    assert min(gaps) > 55
    assert plot.days[0].text == "2021"
    assert plot.recent == ""


def test_many_readings_are_a_line_without_dots_and_a_new_meter_is_marked() -> None:
    many = points(*((day, day * 10) for day in range(MOST_DOTS + 1)))
    many[40] = MeterPoint(many[40].at, many[40].hours, True)

    plot = lay_out_meter_plot(many, None, 736)

    assert plot is not None
    assert plot.dots == ()
    assert len(plot.new_meters) == 1


def test_one_reading_is_no_line() -> None:
    assert lay_out_meter_plot(points((0, 5)), None, 736) is None
    assert lay_out_meter_plot([], None, 736) is None
