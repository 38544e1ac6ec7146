"""The bore drawing: wear drawn larger by a stated factor, nothing drawn that was not measured."""

from decimal import Decimal

import pytest

from app.reports.bore_drawing import BORE_WIDTH, exaggeration_of, lay_out_bore
from tests.reports.builders import a_bore, numbers_of


def test_wear_is_drawn_exactly_as_many_times_larger_as_stated():
    layout = lay_out_bore(a_bore())
    section = layout.sections[0]
    reading = section.readings[1]

    wear_mm = float(Decimal("100.12") - Decimal("100.00")) / 2
    drawn_px = section.base_left_x - reading.left_x
    true_px = wear_mm * BORE_WIDTH / 100.00

    assert drawn_px == pytest.approx(true_px * layout.exaggeration)
    assert str(layout.exaggeration) in layout.exaggeration_note


def test_exaggeration_is_a_round_number_that_fits_the_room():
    layout = lay_out_bore(a_bore())

    widest = max(one.right_x - section.base_right_x for section in layout.sections for one in section.readings)

    assert layout.exaggeration == 200
    assert widest <= 26


def test_more_wear_is_exaggerated_less():
    little = a_bore()
    much = a_bore((("103.00", "102.00", "101.00"), ("102.00", "101.00", "100.50")))

    assert exaggeration_of(much) < exaggeration_of(little)


def test_wear_larger_than_the_room_is_never_drawn_smaller_than_life():
    assert exaggeration_of(a_bore((("190.00", "180.00", "170.00"), ("160.00", "150.00", "140.00")))) == 1


def test_bore_at_its_base_size_is_drawn_at_true_size():
    layout = lay_out_bore(a_bore((("100.00", "100.00", "100.00"), ("100.00", "100.00", "100.00"))))

    assert layout.exaggeration == 1
    assert "true size" in layout.exaggeration_note


def test_bore_smaller_than_its_base_size_is_drawn_inside_the_broken_line():
    section = lay_out_bore(a_bore((("99.95", "99.96", "99.97"), ("99.95", "99.96", "99.97")))).sections[0]

    assert all(one.left_x > section.base_left_x for one in section.readings)


def test_profile_runs_from_the_first_reading_to_the_last_and_not_beyond():
    section = lay_out_bore(a_bore()).sections[0]

    figures = numbers_of(section.profiles[1])

    assert figures[1::2] == pytest.approx([one.y for one in section.readings], abs=0.1)
    assert figures[::2] == pytest.approx([one.right_x for one in section.readings], abs=0.1)


def test_wall_is_lined_only_between_readings():
    section = lay_out_bore(a_bore()).sections[0]

    heights = numbers_of(section.walls[0])[1::2]

    assert min(heights) == pytest.approx(section.readings[0].y, abs=0.1)
    assert max(heights) == pytest.approx(section.readings[-1].y, abs=0.1)


def test_missing_reading_has_no_dot_and_the_join_passes_it_straight():
    section = lay_out_bore(a_bore((("100.09", None, "100.04"), ("100.05", "100.06", "100.03")))).sections[0]

    assert [one.level for one in section.readings] == ["A", "C"]
    assert len(numbers_of(section.profiles[0])) == 4


def test_single_reading_lines_no_wall():
    section = lay_out_bore(a_bore((("100.09", None, None), (None, None, None)))).sections[0]

    assert section.walls == ("", "")


def test_bore_without_readings_draws_neither_wall_nor_profile():
    layout = lay_out_bore(a_bore(((None, None, None), (None, None, None))))

    assert all(section.profiles == ("", "") for section in layout.sections)
    assert "A not gauged" in layout.spoken


@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_any_number_of_levels_is_spread_over_the_height(count):
    column = ("100.09",) * count

    layout = lay_out_bore(a_bore((column, column)))

    heights = [level.y for level in layout.levels]
    assert heights == sorted(set(heights))
    assert len(heights) == count


def test_reading_that_is_being_written_is_marked_on_its_axis_only():
    layout = lay_out_bore(a_bore(current=(2, 1)))

    marked = [(section.name, one.level) for section in layout.sections for one in section.readings if one.current]

    assert marked == [("T", "C")]


def test_bore_is_spoken_with_every_figure():
    assert "P, along the pin: A 100.09, B 100.12, C 100.04" in lay_out_bore(a_bore()).spoken
