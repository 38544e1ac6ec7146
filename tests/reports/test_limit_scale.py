"""The limit scale: zones, the boxed reading, dimensions that never meet."""

from decimal import Decimal
from itertools import combinations

import pytest

from app.reports.limit_scale_layout import lay_out_limit_scale
from app.reports.scale_axis import axis_over, round_step, text_width_px
from tests.reports.builders import a_scale


def captions(layout):
    """The run across and the height of every caption under the bar."""
    runs = []
    for one in [size.caption for size in layout.dimensions] + ([layout.last.caption] if layout.last else []):
        width = text_width_px(one.text)
        runs.append((one.x - width if one.anchor == "end" else one.x, width, one.y))
    return runs


def test_zone_up_to_the_limit_is_reuse_and_beyond_it_the_verdict_it_leads_to():
    layout = lay_out_limit_scale(a_scale(reading=Decimal("0.70"), beyond="renew"))

    reuse, beyond = layout.zones

    assert (reuse.verdict, beyond.verdict) == ("reuse", "renew")
    assert reuse.x + reuse.width == pytest.approx(layout.limits[0].x)
    assert beyond.x == pytest.approx(layout.limits[0].x)


def test_smallest_size_leads_to_its_verdict_below_the_limit():
    layout = lay_out_limit_scale(
        a_scale(limit_high=None, limit_low=Decimal("77.85"), new_low=Decimal("77.90"), new_high=Decimal("77.94"))
    )

    assert [zone.verdict for zone in layout.zones] == ["renew", "reuse"]


def test_two_limits_are_told_apart_by_name():
    layout = lay_out_limit_scale(a_scale(limit_low=Decimal("0.10"), reading=Decimal("0.30")))

    assert [limit.caption.text for limit in layout.limits] == ["MIN 0.10", "MAX 0.65"]
    assert [zone.verdict for zone in layout.zones] == ["renew", "reuse", "renew"]


def test_figures_carry_the_decimals_of_the_limit():
    layout = lay_out_limit_scale(a_scale(reading=Decimal("0.7"), last=Decimal("0.5")))

    assert layout.reading.text == "0.70"
    assert layout.last.caption.text == "LAST 0.50"


def test_overrun_is_dimensioned_from_the_limit_to_the_reading():
    layout = lay_out_limit_scale(a_scale(reading=Decimal("0.70")))

    overrun = next(size for size in layout.dimensions if "over" in size.caption.text)

    assert overrun.caption.text == "0.05 over"
    assert overrun.x1 == pytest.approx(layout.limits[0].x)
    assert overrun.x2 == pytest.approx(layout.reading.arrow_x)


def test_reading_on_the_limit_is_not_over_it():
    layout = lay_out_limit_scale(a_scale(reading=Decimal("0.65")))

    assert not any("over" in size.caption.text for size in layout.dimensions)


def test_reading_under_the_smallest_size_is_dimensioned_as_under():
    layout = lay_out_limit_scale(a_scale(limit_high=None, limit_low=Decimal("0.30"), reading=Decimal("0.28")))

    assert "0.02 under" in [size.caption.text for size in layout.dimensions]


@pytest.mark.parametrize(("reading", "over"), [("0.66", True), ("0.64", False)])
def test_box_of_a_reading_near_the_limit_stands_on_the_readings_own_side(reading, over):
    layout = lay_out_limit_scale(a_scale(reading=Decimal(reading)))
    middle = layout.reading.x + layout.reading.width / 2

    assert (middle > layout.limits[0].x) is over


@pytest.mark.parametrize("reading", ["0.01", "0.20", "0.64", "0.70", "1.40", "9.99"])
def test_box_never_leaves_the_drawing(reading):
    layout = lay_out_limit_scale(a_scale(reading=Decimal(reading)))

    assert layout.reading.x >= 0
    assert layout.reading.x + layout.reading.width <= layout.width


@pytest.mark.parametrize("reading", ["0.22", "0.40", "0.64", "0.66", "0.70", "0.95"])
@pytest.mark.parametrize("last", ["0.21", "0.36", "0.52", "0.66"])
def test_captions_under_the_bar_never_meet(reading, last):
    layout = lay_out_limit_scale(a_scale(reading=Decimal(reading), last=Decimal(last)))

    for (left, width, y), (other_left, other_width, other_y) in combinations(captions(layout), 2):
        assert y != other_y or left + width <= other_left or other_left + other_width <= left
    assert all(y <= layout.height for _, _, y in captions(layout))


def test_leaf_that_goes_and_leaf_that_does_not_span_an_interval_of_their_verdict():
    layout = lay_out_limit_scale(a_scale(goes=Decimal("0.60"), does_not_go=Decimal("0.70"), verdict="undecided"))

    assert layout.reading is None
    assert layout.interval.x < layout.limits[0].x < layout.interval.x + layout.interval.width
    assert not layout.interval_is_open


def test_leaf_that_goes_alone_leaves_the_interval_open():
    layout = lay_out_limit_scale(a_scale(goes=Decimal("0.60")))

    assert layout.interval_is_open
    assert layout.interval.x + layout.interval.width == pytest.approx(layout.bar.x + layout.bar.width)


def test_leaf_that_does_not_go_alone_reaches_from_the_start():
    layout = lay_out_limit_scale(a_scale(does_not_go=Decimal("0.30")))

    assert layout.interval.x == pytest.approx(layout.bar.x)


def test_new_range_stands_above_the_bar_when_nothing_is_in_its_way():
    layout = lay_out_limit_scale(a_scale(reading=Decimal("0.70")))

    assert layout.new_above.caption.text == "NEW 0.20–0.35"
    assert layout.new_above.x1 < layout.new_above.x2 < layout.reading.x


def test_new_range_goes_below_the_bar_when_the_reading_is_in_its_way():
    layout = lay_out_limit_scale(a_scale(reading=Decimal("0.30")))

    assert layout.new_above is None
    assert [size.caption.text for size in layout.dimensions] == ["NEW 0.20–0.35"]


def test_new_range_too_narrow_for_arrows_is_pointed_at_from_outside():
    layout = lay_out_limit_scale(a_scale(new_low=Decimal("0.01"), new_high=Decimal("0.02")))

    assert layout.new_above is None
    assert layout.dimensions[0].outside


def test_figure_of_a_tick_gives_way_to_the_pointer_of_the_last_opening():
    bare = lay_out_limit_scale(a_scale(last=None))
    tick = bare.tick_captions[1]

    pointed = lay_out_limit_scale(a_scale(last=Decimal(tick.text)))

    assert [one.text for one in pointed.tick_captions] == [one.text for one in bare.tick_captions if one != tick]
    assert pointed.ticks == bare.ticks


def test_scale_without_figures_is_still_a_scale():
    layout = lay_out_limit_scale(a_scale(limit_high=None, new_low=None, new_high=None))

    assert layout.spoken == ""
    assert [zone.verdict for zone in layout.zones] == ["reuse"]


def test_scale_is_spoken_with_all_its_figures():
    layout = lay_out_limit_scale(a_scale(reading=Decimal("0.70"), last=Decimal("0.52")))

    assert layout.spoken == "new 0.20 to 0.35, limit 0.65, last opening 0.52, reading 0.70"


def test_sizes_close_together_are_not_drawn_from_nought():
    axis = axis_over([77.85, 77.94], 0, 350)

    assert axis.low > 77
    assert axis.high < 79


def test_gaps_are_drawn_from_nought():
    assert axis_over([0.2, 0.7], 0, 350).low == 0


def test_single_figure_has_a_scale_from_nought():
    axis = axis_over([0.65], 0, 350)

    assert axis.low == 0
    assert axis.high > 0.65


@pytest.mark.parametrize(("least", "step"), [(0.011, 0.02), (0.02, 0.02), (0.03, 0.05), (0.06, 0.1), (700, 1000)])
def test_steps_are_round(least, step):
    assert round_step(least) == pytest.approx(step)


def test_ticks_need_the_decimals_of_their_step():
    assert axis_over([0.2, 0.7], 0, 350).decimals == 1
    assert axis_over([2000, 12000], 0, 350).decimals == 0
