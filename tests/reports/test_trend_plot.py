"""The trend plot and the hours line: lives apart, forecasts broken, every figure also in a table."""

from decimal import Decimal
from itertools import pairwise

import pytest

from app.reports.hours_line import HoursEvent, HoursLineInput, lay_out_hours_line
from app.reports.scale_axis import text_width_px
from app.reports.trend_plot import TrendForecast, lay_out_trend_plot
from tests.reports.builders import a_plot

FORECAST = TrendForecast(Decimal(8000), Decimal("0.52"), Decimal("0.48"), Decimal("0.57"))


def test_lives_of_two_parts_are_not_joined():
    layout = lay_out_trend_plot(a_plot())

    assert len(layout.dots) == 3
    assert len(layout.lines) == 1
    assert layout.renewals == (layout.dots[1].x,)


def test_more_hours_lie_further_right_and_more_wear_higher():
    first, _, last = lay_out_trend_plot(a_plot((("2000", "0.2", "a"), ("4000", "0.3", "a"), ("6000", "0.4", "a")))).dots

    assert first.x < last.x
    assert first.y > last.y


def test_reading_over_the_limit_lies_inside_the_lined_band():
    layout = lay_out_trend_plot(a_plot((("2000", "0.20", "a"), ("4000", "0.70", "a"))))

    assert layout.dots[0].y > layout.limit_y > layout.dots[1].y
    assert layout.beyond_band.y <= layout.dots[1].y < layout.beyond_band.y + layout.beyond_band.height


@pytest.mark.parametrize("last", ["20000", "8000", "120000"])
def test_every_figure_of_the_hours_lies_within_the_drawing_in_the_letters_of_the_printed_record(last: str) -> None:
    layout = lay_out_trend_plot(a_plot((("100", "0.2", "a"), (last, "0.3", "a"))))

    for tick in layout.hours_ticks:
        half = len(tick.text) * 16 * 0.64 * 0.875 / 2  # a digit of DejaVu Sans at 87.5 %, 16 px high
        ends_at = tick.text_x if tick.is_at_edge else tick.text_x + half
        assert ends_at <= layout.width, tick
    assert layout.hours_ticks[-1].is_at_edge


def test_smallest_size_is_lined_below_its_limit():
    layout = lay_out_trend_plot(a_plot((("2000", "77.90", "a"),), limit=Decimal("77.85"), upper=False))

    assert layout.beyond_band.y == pytest.approx(layout.limit_y)


def test_plot_without_a_limit_has_no_band_and_no_limit_caption():
    layout = lay_out_trend_plot(a_plot(limit=None))

    assert layout.beyond_band is None
    assert layout.limit_text == ""
    assert "limit" not in layout.spoken


def test_new_range_is_a_band_between_its_ends():
    layout = lay_out_trend_plot(a_plot(new_low=Decimal("0.20"), new_high=Decimal("0.35")))

    assert layout.new_band.height > 1
    assert layout.new_band.y > layout.limit_y


def test_forecast_starts_at_the_last_reading_and_shows_its_band():
    layout = lay_out_trend_plot(a_plot(forecast=FORECAST))

    assert layout.forecast.line.startswith(f"M{layout.last_dot.x:.1f} {layout.last_dot.y:.1f}")
    assert layout.forecast.wedge
    assert layout.forecast.bar


def test_forecast_without_a_band_shows_none():
    layout = lay_out_trend_plot(a_plot(forecast=TrendForecast(Decimal(8000), Decimal("0.52"))))

    assert (layout.forecast.wedge, layout.forecast.bar) == ("", "")
    assert layout.rows[-1] == ("8\N{NO-BREAK SPACE}000", "0.52", "forecast")


def test_forecast_without_readings_is_not_drawn():
    assert lay_out_trend_plot(a_plot((), forecast=FORECAST)).forecast is None


def test_table_repeats_every_reading_and_the_forecast():
    layout = lay_out_trend_plot(a_plot(forecast=FORECAST))

    assert layout.rows == (
        ("2\N{NO-BREAK SPACE}000", "0.45", "first"),
        ("4\N{NO-BREAK SPACE}000", "0.28", "second"),
        ("6\N{NO-BREAK SPACE}000", "0.40", "second"),
        ("8\N{NO-BREAK SPACE}000", "0.52", "forecast, 0.48 to 0.57"),
    )


def test_band_that_starts_at_nought_is_still_told():
    forecast = TrendForecast(Decimal(8000), Decimal("0.52"), Decimal(0), Decimal("0.57"))

    assert lay_out_trend_plot(a_plot(forecast=forecast)).rows[-1][2] == "forecast, 0.00 to 0.57"


def test_plot_without_readings_is_an_empty_sheet_with_axes():
    layout = lay_out_trend_plot(a_plot(()))

    assert layout.dots == ()
    assert layout.last_dot is None
    assert layout.hours_ticks


def test_plot_of_nothing_at_all_still_has_axes():
    layout = lay_out_trend_plot(a_plot((), limit=None))

    assert layout.value_ticks


def test_captions_of_the_hours_do_not_meet():
    layout = lay_out_trend_plot(a_plot((("8240", "0.20", "a"), ("10300", "0.29", "a"))))

    for left, right in pairwise(layout.hours_ticks):
        assert right.place - left.place > (text_width_px(left.text) + text_width_px(right.text)) / 2


def test_last_figure_is_written_after_its_dot_where_there_is_no_room_before_it():
    layout = lay_out_trend_plot(a_plot((("0", "0.20", "a"),), forecast=FORECAST))

    assert layout.last_text_anchor == "start"
    assert layout.last_text == "0.20"


def test_plot_is_spoken_with_its_last_reading_and_limit():
    said = lay_out_trend_plot(a_plot()).spoken

    assert said == "Ring gap, 3 readings, last 0.40 mm at 6\N{NO-BREAK SPACE}000 h, limit 0.65"


def an_event(hours, name, state="past", note=""):
    return HoursEvent(Decimal(hours), name, "2020", note, state)


def test_hours_line_places_events_by_their_hours():
    events = (an_event(0, "New"), an_event(5000, "Overhaul 1", "now"), an_event(10000, "Overhaul 2", "ahead"))

    first, now, ahead = lay_out_hours_line(HoursLineInput(events)).marks

    assert now.x - first.x == pytest.approx(ahead.x - now.x)


def test_line_is_solid_up_to_now_and_broken_after_it():
    events = (an_event(0, "New"), an_event(5000, "Overhaul 1", "now"), an_event(10000, "Overhaul 2", "ahead"))

    layout = lay_out_hours_line(HoursLineInput(events))

    assert layout.first_x < layout.now_x == layout.marks[1].x < layout.last_x


def test_event_too_near_the_one_before_is_lettered_in_the_other_row():
    events = (an_event(0, "New"), an_event(9700, "Valve due", "ahead"), an_event(10000, "Overhaul 2", "ahead"))

    layout = lay_out_hours_line(HoursLineInput(events))

    assert [mark.row for mark in layout.marks] == [0, 0, 1]
    assert layout.height > lay_out_hours_line(HoursLineInput(events[:2])).height


def test_span_without_room_for_its_hours_is_not_dimensioned():
    events = (an_event(0, "New"), an_event(9700, "Valve due", "ahead"), an_event(10000, "Overhaul 2", "ahead"))

    spans = lay_out_hours_line(HoursLineInput(events)).spans

    assert [span.text for span in spans] == ["9\N{NO-BREAK SPACE}700 h"]


def test_narrow_line_shows_the_latest_events():
    events = tuple(an_event(number * 1000, f"Overhaul {number}") for number in range(10))

    layout = lay_out_hours_line(HoursLineInput(events, width=520))

    assert [mark.event.name for mark in layout.marks] == [f"Overhaul {number}" for number in (6, 7, 8, 9)]


def test_lettering_never_leaves_the_line():
    events = (an_event(0, "A very long name of an opening"), an_event(100, "Another very long name of an opening"))

    layout = lay_out_hours_line(HoursLineInput(events, width=740))

    for mark in layout.marks:
        half = text_width_px(mark.event.name) / 2
        assert mark.text_x - half >= 0
        assert mark.text_x + half <= layout.width


def test_machine_without_events_has_an_empty_line():
    assert lay_out_hours_line(HoursLineInput(())).marks == ()


def test_machine_with_one_event_has_it_at_the_start():
    layout = lay_out_hours_line(HoursLineInput((an_event(0, "New"),)))

    assert layout.marks[0].x == layout.first_x
