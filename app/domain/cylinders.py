"""What a fully gauged bore shows: wear, ovality, taper, overall and mean; a missing place leaves the measure absent."""

from decimal import Decimal

from app.domain.bore_grid import BoreGrid
from app.domain.bore_so_far import (
    largest_so_far_mm,
    ovality_so_far_mm,
    overall_so_far_mm,
    smallest_so_far_mm,
    taper_so_far_mm,
    wear_so_far_mm,
)
from app.domain.handbook import BLOCH_HOEFNER, Basis, RuleOfThumb

OVERALL_RULE = RuleOfThumb(
    "overall difference at which to rebore", Decimal("0.00075"), Basis.BORE, f"{BLOCH_HOEFNER}, p. 259"
)
OVALITY_RULE = RuleOfThumb(
    "out-of-round", Decimal("0.001"), Basis.BORE, f"{BLOCH_HOEFNER}, p. 259", at_most_mm=Decimal("0.3810")
)
TAPER_RULE = RuleOfThumb("taper", Decimal("0.0005"), Basis.STROKE, f"{BLOCH_HOEFNER}, p. 259")
STANDARD_RING_OVERSIZE_RULE = RuleOfThumb(
    "oversize up to which standard rings may be used", Decimal("0.003"), Basis.BORE, "NAVEDTRA 14076"
)
# A ridge of 0.007 to 0.010 in at the end of ring travel calls for reboring, by Bloch & Hoefner, p. 259.
RIDGE_RANGE_MM = (Decimal("0.1778"), Decimal("0.2540"))


def largest_mm(grid: BoreGrid) -> Decimal | None:
    """Give the largest diameter of a fully gauged bore, or None while a place is missing."""
    return largest_so_far_mm(grid) if grid.is_complete else None


def smallest_mm(grid: BoreGrid) -> Decimal | None:
    """Give the smallest diameter of a fully gauged bore, or None while a place is missing."""
    return smallest_so_far_mm(grid) if grid.is_complete else None


def wear_mm(grid: BoreGrid, base_mm: Decimal) -> Decimal | None:
    """Give the wear of a bore.

    Formula: wear = largest diameter - base size

    Parameters:
        grid [mm]: the diameters of the bore.
        base_mm [mm]: the size the bore was made or last reworked to.

    Returns:
        the wear [mm], or None while a place is missing; below zero if the bore reads under its base size.

    Safe side: larger.
    Valid: a fully gauged bore; wear often is greatest in the middle, never assume the top.

    >>> diameters = {(level, axis): Decimal("100.04") for level in ("top", "middle", "bottom") for axis in ("A", "B")}
    >>> worn = BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters | {("middle", "A"): Decimal("100.12")})
    >>> wear_mm(worn, Decimal("100.00"))
    Decimal('0.12')

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 256-257.
    """
    wear = wear_so_far_mm(grid, base_mm)
    return wear if grid.is_complete else None


def ovality_at_mm(grid: BoreGrid, level: str) -> Decimal | None:
    """Give the ovality at one level.

    Formula: ovality = largest - smallest diameter at the level; with two axes |A - B|

    Parameters:
        grid [mm]: the diameters of the bore.
        level [-]: the level.

    Returns:
        the ovality there [mm], or None while a diameter of that level is missing.

    Safe side: larger; with more than two axes it is at least the difference at 90 degrees.
    Valid: every axis gauged at that level.

    >>> diameters = {("middle", "A"): Decimal("100.12"), ("middle", "B"): Decimal("100.06")}
    >>> ovality_at_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters), "middle")
    Decimal('0.06')

    Sources:
        1. NAVEDTRA 14076, p. 3-5.
    """
    diameters_mm = grid.at_level(level)
    return max(diameters_mm) - min(diameters_mm) if len(diameters_mm) == len(grid.axes) else None


def ovality_mm(grid: BoreGrid) -> Decimal | None:
    """Give the ovality of a bore.

    Formula: ovality = largest over levels of (largest - smallest diameter at the level)

    Parameters:
        grid [mm]: the diameters of the bore.

    Returns:
        the ovality [mm], or None while a place is missing.

    Safe side: larger.
    Valid: a fully gauged bore.

    >>> diameters = {(level, axis): Decimal("100.06") for level in ("top", "middle", "bottom") for axis in ("A", "B")}
    >>> ovality_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters | {("top", "A"): Decimal("100.09")}))
    Decimal('0.03')

    Sources:
        1. NAVEDTRA 14076, p. 3-5.
    """
    return ovality_so_far_mm(grid) if grid.is_complete else None


def taper_mm(grid: BoreGrid) -> Decimal | None:
    """Give the taper of a bore.

    Formula: taper = largest over axes of (largest - smallest diameter along the axis)

    Parameters:
        grid [mm]: the diameters of the bore.

    Returns:
        the taper [mm], or None while a place is missing.

    Safe side: larger; the middle counts as much as the ends.
    Valid: a fully gauged bore.

    >>> diameters = {(level, axis): Decimal("100.04") for level in ("top", "middle", "bottom") for axis in ("A", "B")}
    >>> taper_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters | {("middle", "A"): Decimal("100.12")}))
    Decimal('0.08')

    Sources:
        1. NAVEDTRA 14076, p. 3-5.
    """
    return taper_so_far_mm(grid) if grid.is_complete else None


def overall_mm(grid: BoreGrid) -> Decimal | None:
    """Give the overall difference of a bore.

    Formula: overall = largest - smallest of all diameters

    Parameters:
        grid [mm]: the diameters of the bore.

    Returns:
        the overall difference [mm], or None while a place is missing.

    Safe side: larger.
    Valid: a fully gauged bore.

    >>> diameters = {(level, axis): Decimal("100.03") for level in ("top", "middle", "bottom") for axis in ("A", "B")}
    >>> overall_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters | {("middle", "A"): Decimal("100.12")}))
    Decimal('0.09')

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 259.
    """
    return overall_so_far_mm(grid) if grid.is_complete else None


def mean_diameter_at_mm(grid: BoreGrid, level: str) -> Decimal | None:
    """Give the mean diameter at one level, which is what a ring's circumference follows.

    Formula: mean = sum of the diameters at the level / number of axes

    Parameters:
        grid [mm]: the diameters of the bore.
        level [-]: the level.

    Returns:
        the mean diameter there [mm], or None while a diameter of that level is missing.

    Safe side: neither; for wear the largest diameter counts, for a ring's gap the mean.
    Valid: every axis gauged at that level, axes evenly spread.

    >>> diameters = {("middle", "A"): Decimal("100.12"), ("middle", "B"): Decimal("100.06")}
    >>> mean_diameter_at_mm(BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters), "middle")
    Decimal('100.09')

    Sources:
        1. Geometry: to first order a slightly oval bore has the circumference of its mean diameter.
    """
    diameters_mm = grid.at_level(level)
    return sum(diameters_mm, Decimal(0)) / len(diameters_mm) if len(diameters_mm) == len(grid.axes) else None
