"""A bore grid cannot be built wrong, and it knows what is still missing."""

from decimal import Decimal

import pytest

from app.domain.bore_grid import BoreGrid, PlacesNotClear, PlaceUnknown
from app.domain.sizes import SizeNotPositive

LEVELS = ("top", "middle", "bottom")
AXES = ("A", "B")


def a_bore(written, levels=LEVELS, axes=AXES):
    """Build a bore from diameters written level by level, '-' for a place not yet gauged."""
    cells = [(level, axis) for level in levels for axis in axes]
    diameters_mm = {cell: Decimal(size) for cell, size in zip(cells, written.split(), strict=True) if size != "-"}
    return BoreGrid(levels, axes, diameters_mm)


def test_a_fully_gauged_bore_misses_nothing():
    grid = a_bore("100.09 100.05 100.12 100.06 100.04 100.03")

    assert grid.is_complete
    assert grid.missing_cells == ()


def test_missing_places_are_named_in_gauging_order():
    grid = a_bore("100.09 - - 100.06 100.04 -")

    assert not grid.is_complete
    assert grid.missing_cells == (("top", "B"), ("middle", "A"), ("bottom", "B"))


def test_diameters_are_listed_by_level_and_along_an_axis_as_far_as_gauged():
    grid = a_bore("100.09 - 100.12 100.06 - 100.03")

    assert grid.at_level("middle") == (Decimal("100.12"), Decimal("100.06"))
    assert grid.along_axis("A") == (Decimal("100.09"), Decimal("100.12"))


@pytest.mark.parametrize("cell", [("ridge", "A"), ("top", "C"), ("A", "top")])
def test_a_diameter_at_a_place_the_bore_does_not_have_is_refused(cell):
    with pytest.raises(PlaceUnknown, match="is no place in this bore; levels are top, middle, bottom"):
        BoreGrid(LEVELS, AXES, {cell: Decimal("100.00")})


@pytest.mark.parametrize("size", ["0", "-100.00", "NaN"])
def test_a_diameter_that_is_no_length_is_refused_by_its_place(size):
    with pytest.raises(SizeNotPositive, match="the diameter at top, axis A, must be above 0 mm"):
        BoreGrid(LEVELS, AXES, {("top", "A"): Decimal(size)})


@pytest.mark.parametrize("levels", [(), ("top", "bottom"), ("top", "middle", "top")])
def test_fewer_than_three_levels_of_their_own_names_are_refused(levels):
    # NAVEDTRA 14076, p. 3-5, and Bloch & Hoefner, p. 256-257: at least three levels and two axes.
    with pytest.raises(PlacesNotClear, match="at least 3 levels"):
        BoreGrid(levels, AXES, {})


@pytest.mark.parametrize("axes", [(), ("A",), ("A", "A")])
def test_fewer_than_two_axes_of_their_own_names_are_refused(axes):
    with pytest.raises(PlacesNotClear, match="at least 2 axes"):
        BoreGrid(LEVELS, axes, {})


def test_asking_for_a_level_or_axis_the_bore_does_not_have_is_refused():
    grid = a_bore("- - - - - -")

    with pytest.raises(PlaceUnknown, match="“ridge” is no level of this bore"):
        grid.at_level("ridge")
    with pytest.raises(PlaceUnknown, match="“C” is no axis of this bore"):
        grid.along_axis("C")


def test_a_grid_does_not_change_with_the_mapping_it_was_made_from():
    diameters_mm = {("top", "A"): Decimal("100.00")}
    grid = BoreGrid(LEVELS, AXES, diameters_mm)

    diameters_mm["top", "A"] = Decimal("200.00")

    assert grid.at_level("top") == (Decimal("100.00"),)
    with pytest.raises(TypeError):
        grid.diameters_mm["top", "A"] = Decimal("200.00")
