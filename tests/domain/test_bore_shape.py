"""The shape of a bore is read from the diameters, never assumed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.bore_grid import BoreGrid, PlaceUnknown
from app.domain.bore_shape import Shape, shape, shape_along

SIZES_MM = st.decimals(min_value=99, max_value=101, places=1)


def a_bore(axis_a, axis_b):
    """Build a bore from the diameters along two axes, top first, '-' for a place not yet gauged."""
    columns = {"A": axis_a.split(), "B": axis_b.split()}
    levels = tuple(f"level {number}" for number in range(len(columns["A"])))
    diameters_mm = {
        (level, axis): Decimal(size)
        for axis, sizes in columns.items()
        for level, size in zip(levels, sizes, strict=True)
        if size != "-"
    }
    return BoreGrid(levels, ("A", "B"), diameters_mm)


@pytest.mark.parametrize(
    ("along", "expected"),
    [
        ("100.0 100.0 100.0", Shape.EVEN),
        ("100.0 100.1 100.2", Shape.TAPER),
        ("100.2 100.1 100.0", Shape.TAPER),
        ("100.2 100.2 100.0", Shape.TAPER),
        ("100.0 100.1 100.0", Shape.BARREL),
        ("100.0 100.01 100.009", Shape.BARREL),
        ("100.1 100.0 100.1", Shape.HOURGLASS),
        ("100.0 100.1 100.1 100.0", Shape.BARREL),
        ("100.0 100.1 100.0 100.1", Shape.MIXED),
        ("100.1 100.0 100.1 100.0 100.1", Shape.MIXED),
    ],
)
def test_the_shape_along_an_axis_has_its_name(along, expected):
    grid = a_bore(along, along)

    assert shape_along(grid, "A") is expected
    assert shape(grid) is expected


def test_the_worked_bore_is_a_barrel():
    # Worked case, nominal 100.000 mm; arithmetic from the stated inputs.
    assert shape(a_bore("100.09 100.12 100.04", "100.05 100.06 100.03")) is Shape.BARREL


def test_equal_diameters_written_with_other_digits_are_even():
    assert shape(a_bore("100 100.0 100.00", "100.000 100 100")) is Shape.EVEN


def test_axes_of_different_shape_make_a_mixed_bore():
    grid = a_bore("100.0 100.1 100.0", "100.1 100.0 100.1")

    assert (shape_along(grid, "A"), shape_along(grid, "B")) == (Shape.BARREL, Shape.HOURGLASS)
    assert shape(grid) is Shape.MIXED


def test_a_missing_place_leaves_the_shape_unnamed_and_the_other_axis_named():
    grid = a_bore("100.0 - 100.0", "100.0 100.1 100.0")

    assert (shape(grid), shape_along(grid, "A"), shape_along(grid, "B")) == (None, None, Shape.BARREL)


def test_an_axis_the_bore_does_not_have_is_refused():
    with pytest.raises(PlaceUnknown):
        shape_along(a_bore("100 100 100", "100 100 100"), "C")


@given(st.lists(SIZES_MM, min_size=3, max_size=5))
def test_turning_a_bore_upside_down_never_changes_its_shape(sizes_mm):
    upright, turned = (" ".join(map(str, order)) for order in (sizes_mm, sizes_mm[::-1]))

    assert shape(a_bore(upright, upright)) is shape(a_bore(turned, turned))
