"""The shape a worn bore has along its length, read from the diameters alone."""

from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from app.domain.bore_grid import BoreGrid


class Shape(StrEnum):
    """How the diameter runs from the top to the bottom; the value is the word shown on pages."""

    EVEN = "even"
    TAPER = "taper"
    BARREL = "barrel"
    HOURGLASS = "hourglass"
    MIXED = "mixed"


# What a bore does on the way down once its level stretches are left out: True widens, False narrows.
_SHAPES = {
    (): Shape.EVEN,
    (True,): Shape.TAPER,
    (False,): Shape.TAPER,
    (True, False): Shape.BARREL,
    (False, True): Shape.HOURGLASS,
}


def shape_along(grid: BoreGrid, axis: str) -> Shape | None:
    """Name the shape along one axis, or give None while a diameter of that axis is missing.

    >>> diameters = {("top", "A"): Decimal(100), ("middle", "A"): Decimal("100.1"), ("bottom", "A"): Decimal(100)}
    >>> print(shape_along(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters), "A"))
    barrel
    """
    diameters_mm = grid.along_axis(axis)
    return _shape_of(diameters_mm) if len(diameters_mm) == len(grid.levels) else None


def shape(grid: BoreGrid) -> Shape | None:
    """Name the shape all axes share, mixed where they differ, or give None while a place is missing."""
    if not grid.is_complete:
        return None
    shapes = {_shape_of(grid.along_axis(axis)) for axis in grid.axes}
    return shapes.pop() if len(shapes) == 1 else Shape.MIXED


def _shape_of(diameters_mm: tuple[Decimal, ...]) -> Shape:
    """Name the shape of diameters in order from the top down, compared exactly."""
    turns: list[bool] = []
    for above_mm, below_mm in pairwise(diameters_mm):
        widens = below_mm > above_mm
        if below_mm != above_mm and turns[-1:] != [widens]:
            turns.append(widens)
    return _SHAPES.get(tuple(turns), Shape.MIXED)
