"""Measures of a bore while it is still being gauged: from the places gauged so far, each can only grow."""

from collections.abc import Iterable
from decimal import Decimal

from app.domain.bore_grid import BoreGrid
from app.domain.sizes import positive_mm


def largest_so_far_mm(grid: BoreGrid) -> Decimal | None:
    """Give the largest diameter gauged so far, or None before the first.

    >>> largest_so_far_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), {("top", "A"): Decimal("100.09")}))
    Decimal('100.09')
    """
    return max(grid.diameters_mm.values(), default=None)


def smallest_so_far_mm(grid: BoreGrid) -> Decimal | None:
    """Give the smallest diameter gauged so far, or None before the first.

    >>> smallest_so_far_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), {("top", "A"): Decimal("100.09")}))
    Decimal('100.09')
    """
    return min(grid.diameters_mm.values(), default=None)


def wear_so_far_mm(grid: BoreGrid, base_mm: Decimal) -> Decimal | None:
    """Give the wear from the places gauged so far.

    Formula: wear = largest diameter so far - base size

    Parameters:
        grid [mm]: the diameters gauged so far.
        base_mm [mm]: the size the bore was made or last reworked to.

    Returns:
        the wear so far [mm], or None before the first reading; below zero if the bore reads under its base size.

    Safe side: larger; a place still to be gauged can only add to it, so over the limit stays over.
    Valid: for showing while gauging; it never proves that a bore is good.

    >>> grid = BoreGrid(("top", "middle", "bottom"), ("A", "B"), {("top", "A"): Decimal("100.09")})
    >>> wear_so_far_mm(grid, Decimal("100.00"))
    Decimal('0.09')

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 256-257.
    """
    positive_mm(base_mm, "the base size")
    largest_mm = largest_so_far_mm(grid)
    return None if largest_mm is None else largest_mm - base_mm


def ovality_so_far_mm(grid: BoreGrid) -> Decimal | None:
    """Give the ovality from the places gauged so far.

    Formula: ovality = largest over levels of (largest - smallest diameter at the level)

    Parameters:
        grid [mm]: the diameters gauged so far.

    Returns:
        the ovality so far [mm], or None until one level has two diameters.

    Safe side: larger; a place still to be gauged can only add to it.
    Valid: for showing while gauging; with more than two axes it is at least the difference at 90 degrees.

    >>> diameters = {("top", "A"): Decimal("100.09"), ("top", "B"): Decimal("100.05")}
    >>> ovality_so_far_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters))
    Decimal('0.04')

    Sources:
        1. NAVEDTRA 14076, p. 3-5.
    """
    return _largest_spread_mm(grid.at_level(level) for level in grid.levels)


def taper_so_far_mm(grid: BoreGrid) -> Decimal | None:
    """Give the taper from the places gauged so far.

    Formula: taper = largest over axes of (largest - smallest diameter along the axis)

    Parameters:
        grid [mm]: the diameters gauged so far.

    Returns:
        the taper so far [mm], or None until one axis has two diameters.

    Safe side: larger; a place still to be gauged can only add to it.
    Valid: for showing while gauging; the middle counts as much as the ends.

    >>> diameters = {("top", "A"): Decimal("100.09"), ("middle", "A"): Decimal("100.12")}
    >>> taper_so_far_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters))
    Decimal('0.03')

    Sources:
        1. NAVEDTRA 14076, p. 3-5.
    """
    return _largest_spread_mm(grid.along_axis(axis) for axis in grid.axes)


def overall_so_far_mm(grid: BoreGrid) -> Decimal | None:
    """Give the overall difference from the places gauged so far.

    Formula: overall = largest - smallest of all diameters so far

    Parameters:
        grid [mm]: the diameters gauged so far.

    Returns:
        the overall difference so far [mm], or None until two places have been gauged.

    Safe side: larger; a place still to be gauged can only add to it.
    Valid: for showing while gauging.

    >>> diameters = {("top", "A"): Decimal("100.09"), ("bottom", "B"): Decimal("100.03")}
    >>> overall_so_far_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters))
    Decimal('0.06')

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 259.
    """
    return _largest_spread_mm([tuple(grid.diameters_mm.values())])


def _largest_spread_mm(groups_mm: Iterable[tuple[Decimal, ...]]) -> Decimal | None:
    """Find the largest spread among the groups that hold at least two diameters."""
    return max((max(group) - min(group) for group in groups_mm if len(group) > 1), default=None)
