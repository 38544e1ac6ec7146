"""Measures while gauging: they use what is there, and no later reading makes them smaller."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.bore_grid import BoreGrid
from app.domain.bore_so_far import (
    largest_so_far_mm,
    ovality_so_far_mm,
    overall_so_far_mm,
    smallest_so_far_mm,
    taper_so_far_mm,
    wear_so_far_mm,
)
from app.domain.cylinders import ovality_mm, overall_mm, taper_mm, wear_mm
from app.domain.sizes import SizeNotPositive

LEVELS, AXES = ("top", "middle", "bottom"), ("A", "B")
CELLS = [(level, axis) for level in LEVELS for axis in AXES]
BASE_MM = Decimal("100.00")
DIAMETERS_MM = st.decimals(min_value=99, max_value=101, places=2)


def a_bore(**written):
    """Build a bore from diameters named by place, as top_A."""
    return BoreGrid(LEVELS, AXES, {tuple(place.split("_")): Decimal(size) for place, size in written.items()})


def test_before_the_first_reading_every_measure_is_absent():
    grid = a_bore()

    assert (largest_so_far_mm(grid), smallest_so_far_mm(grid), wear_so_far_mm(grid, BASE_MM)) == (None, None, None)
    assert (ovality_so_far_mm(grid), taper_so_far_mm(grid), overall_so_far_mm(grid)) == (None, None, None)


def test_one_reading_shows_wear_but_no_difference():
    grid = a_bore(top_A="100.09")

    assert wear_so_far_mm(grid, BASE_MM) == Decimal("0.09")
    assert (ovality_so_far_mm(grid), taper_so_far_mm(grid), overall_so_far_mm(grid)) == (None, None, None)


def test_two_readings_across_show_neither_ovality_nor_taper():
    grid = a_bore(top_A="100.09", bottom_B="100.03")

    assert (ovality_so_far_mm(grid), taper_so_far_mm(grid)) == (None, None)
    assert overall_so_far_mm(grid) == Decimal("0.06")


def test_the_first_level_shows_its_ovality():
    grid = a_bore(top_A="100.09", top_B="100.05", middle_A="100.12")

    assert ovality_so_far_mm(grid) == Decimal("0.04")
    assert taper_so_far_mm(grid) == Decimal("0.03")
    assert (largest_so_far_mm(grid), smallest_so_far_mm(grid)) == (Decimal("100.12"), Decimal("100.05"))


def test_a_base_size_of_nothing_is_refused_even_before_the_first_reading():
    with pytest.raises(SizeNotPositive, match="the base size"):
        wear_so_far_mm(a_bore(), Decimal(0))


@given(st.lists(DIAMETERS_MM, min_size=6, max_size=6), st.permutations(CELLS))
def test_a_further_reading_never_makes_a_measure_smaller_and_the_last_makes_it_final(sizes_mm, order):
    measures = [lambda grid: wear_so_far_mm(grid, BASE_MM), ovality_so_far_mm, taper_so_far_mm, overall_so_far_mm]
    final = [lambda grid: wear_mm(grid, BASE_MM), ovality_mm, taper_mm, overall_mm]
    gauged = list(zip(order, sizes_mm, strict=True))
    grids = [BoreGrid(LEVELS, AXES, dict(gauged[:count])) for count in range(7)]

    for so_far, finally_ in zip(measures, final, strict=True):
        shown = [so_far(grid) for grid in grids]
        present = [size_mm for size_mm in shown if size_mm is not None]

        assert present == sorted(present)
        assert shown == [None] * (7 - len(present)) + present
        assert shown[-1] == finally_(grids[-1])
