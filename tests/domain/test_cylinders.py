"""Measures of a fully gauged bore, held against worked cases and published rules."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.bore_grid import BoreGrid, PlaceUnknown
from app.domain.cylinders import (
    OVALITY_RULE,
    OVERALL_RULE,
    RIDGE_RANGE_MM,
    STANDARD_RING_OVERSIZE_RULE,
    TAPER_RULE,
    largest_mm,
    mean_diameter_at_mm,
    ovality_at_mm,
    ovality_mm,
    overall_mm,
    smallest_mm,
    taper_mm,
    wear_mm,
)
from app.domain.handbook import BasisMissing
from app.domain.sizes import SizeNotPositive

LEVELS = ("top", "middle", "bottom")
BASE_MM = Decimal("100.000")
INCH_MM = Decimal("25.4")
DIAMETERS_MM = st.decimals(min_value=99, max_value=101, places=3)


def a_bore(written, axes=("A", "B")):
    """Build a bore from diameters written level by level, '-' for a place not yet gauged."""
    cells = [(level, axis) for level in LEVELS for axis in axes]
    diameters_mm = {cell: Decimal(size) for cell, size in zip(cells, written.split(), strict=True) if size != "-"}
    return BoreGrid(LEVELS, axes, diameters_mm)


# Worked case, nominal 100.000 mm; arithmetic from the stated inputs.
WORN = "100.09 100.05 100.12 100.06 100.04 100.03"


def test_the_worked_bore_has_these_measures_exactly():
    grid = a_bore(WORN)

    assert (largest_mm(grid), smallest_mm(grid)) == (Decimal("100.12"), Decimal("100.03"))
    assert wear_mm(grid, BASE_MM) == Decimal("0.12")
    assert [ovality_at_mm(grid, level) for level in LEVELS] == [Decimal("0.04"), Decimal("0.06"), Decimal("0.01")]
    assert ovality_mm(grid) == Decimal("0.06")
    assert taper_mm(grid) == Decimal("0.08")
    assert overall_mm(grid) == Decimal("0.09")


def test_the_worked_bore_fails_the_overall_rule_and_passes_ovality_and_oversize():
    # Bloch & Hoefner, p. 259; NAVEDTRA 14076 for the oversize of standard rings.
    grid = a_bore(WORN)

    assert OVERALL_RULE.size_mm(BASE_MM) == Decimal("0.075") <= overall_mm(grid)
    assert ovality_mm(grid) <= OVALITY_RULE.size_mm(BASE_MM) == Decimal("0.10")
    assert wear_mm(grid, BASE_MM) <= STANDARD_RING_OVERSIZE_RULE.size_mm(BASE_MM) == Decimal("0.30")


def test_a_difference_on_its_limit_is_exact():
    grid = a_bore("120.12 120.02 120.02 120.02 120.02 120.02")

    assert ovality_mm(grid) == Decimal("0.10")


def test_the_mean_of_the_axes_is_what_a_ring_follows():
    # Arithmetic from the stated inputs: 100.12 and 100.06.
    assert mean_diameter_at_mm(a_bore(WORN), "middle") == Decimal("100.09")


def test_wear_counts_from_the_base_size_a_rework_left():
    assert wear_mm(a_bore(WORN), Decimal("100.10")) == Decimal("0.02")


def test_a_bore_under_its_base_size_shows_wear_below_zero_and_not_nothing():
    assert wear_mm(a_bore(WORN), Decimal("100.50")) == Decimal("-0.38")


def test_three_axes_are_measured_by_their_largest_difference():
    grid = a_bore("100.00 100.05 100.02 100.00 100.00 100.00 100.00 100.00 100.03", ("A", "B", "C"))

    assert ovality_at_mm(grid, "top") == Decimal("0.05")
    assert ovality_mm(grid) == Decimal("0.05")
    assert mean_diameter_at_mm(grid, "bottom") == Decimal("100.01")


@pytest.mark.parametrize("place", range(6))
def test_one_missing_place_leaves_every_measure_absent_and_never_zero(place):
    sizes = WORN.split()
    sizes[place] = "-"
    grid = a_bore(" ".join(sizes))

    measures = [largest_mm(grid), smallest_mm(grid), wear_mm(grid, BASE_MM), ovality_mm(grid), taper_mm(grid)]

    assert [*measures, overall_mm(grid)] == [None] * 6


def test_a_missing_place_leaves_its_own_level_absent_and_the_others_measured():
    grid = a_bore("100.09 - 100.12 100.06 100.04 100.03")

    assert (ovality_at_mm(grid, "top"), mean_diameter_at_mm(grid, "top")) == (None, None)
    assert ovality_at_mm(grid, "middle") == Decimal("0.06")


def test_a_level_the_bore_does_not_have_is_refused():
    for measure in (ovality_at_mm, mean_diameter_at_mm):
        with pytest.raises(PlaceUnknown):
            measure(a_bore(WORN), "ridge")


def test_a_base_size_of_nothing_is_refused():
    with pytest.raises(SizeNotPositive, match="the base size"):
        wear_mm(a_bore(WORN), Decimal(0))


@given(st.lists(DIAMETERS_MM, min_size=6, max_size=6))
def test_overall_is_never_less_than_ovality_or_taper(sizes_mm):
    grid = a_bore(" ".join(map(str, sizes_mm)))

    assert overall_mm(grid) >= max(ovality_mm(grid), taper_mm(grid))


@given(st.lists(DIAMETERS_MM, min_size=6, max_size=6), DIAMETERS_MM)
def test_changing_the_unit_never_changes_which_limit_a_bore_is_over(sizes_mm, base_mm):
    grid = a_bore(" ".join(map(str, sizes_mm)))
    in_inches = a_bore(" ".join(str(size_mm * INCH_MM) for size_mm in sizes_mm))

    assert wear_mm(in_inches, base_mm * INCH_MM) == wear_mm(grid, base_mm) * INCH_MM
    assert ovality_mm(in_inches) == ovality_mm(grid) * INCH_MM
    assert taper_mm(in_inches) == taper_mm(grid) * INCH_MM


def test_a_ten_inch_bore_is_rebored_at_75_ten_thousandths_overall():
    # Bloch & Hoefner, p. 259: 10.000 in -> 0.0075 in; smallest 10.0025 -> largest allowed 10.010.
    limit_mm = OVERALL_RULE.size_mm(10 * INCH_MM)

    assert limit_mm == Decimal("0.0075") * INCH_MM
    assert Decimal("10.0025") * INCH_MM + limit_mm == Decimal("10.010") * INCH_MM


@pytest.mark.parametrize(
    ("bore_in", "limit_in"), [("10", "0.010"), ("14.99", "0.01499"), ("15", "0.015"), ("20", "0.015")]
)
def test_out_of_round_is_one_thousandth_of_the_bore_up_to_15_thousandths_of_an_inch(bore_in, limit_in):
    # Bloch & Hoefner, p. 259.
    assert OVALITY_RULE.size_mm(Decimal(bore_in) * INCH_MM) == Decimal(limit_in) * INCH_MM


def test_taper_goes_by_the_stroke():
    # Bloch & Hoefner, p. 259: 0.0005 per unit of stroke.
    assert TAPER_RULE.size_mm(Decimal(120)) == Decimal("0.0600")


def test_taper_without_a_stroke_on_the_sheet_is_refused():
    with pytest.raises(BasisMissing, match="taper goes by the stroke"):
        TAPER_RULE.size_mm(None)


def test_standard_rings_may_be_used_up_to_three_thousandths_oversize_per_inch():
    # NAVEDTRA 14076: 0.003 in per in.
    assert STANDARD_RING_OVERSIZE_RULE.size_mm(10 * INCH_MM) == Decimal("0.030") * INCH_MM


def test_the_ridge_that_calls_for_reboring_is_7_to_10_thousandths_of_an_inch():
    # Bloch & Hoefner, p. 259.
    least_mm, greatest_mm = RIDGE_RANGE_MM

    assert least_mm / INCH_MM == Decimal("0.007")
    assert greatest_mm / INCH_MM == Decimal("0.010")
