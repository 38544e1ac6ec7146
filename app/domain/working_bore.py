"""The working of a bore: each measure with the diameters it comes from."""

from decimal import Decimal

from app.domain.bore_grid import BoreGrid
from app.domain.bore_shape import shape
from app.domain.cylinders import mean_diameter_at_mm
from app.domain.working_steps import WorkingStep, plain

SOURCE = "Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 256-257"


def bore_steps(grid: BoreGrid, base_mm: Decimal) -> tuple[WorkingStep, ...]:
    """Work wear, ovality, taper, overall difference and shape out of the diameters gauged so far."""
    if not grid.diameters_mm:
        return ()
    steps = [_missing(grid), _wear(grid, base_mm), _ovality(grid), _taper(grid), _overall(grid)]
    found = shape(grid)
    if found is not None:
        lines = (f"Shape along the bore: {found.value}.", *_means(grid))
        steps.append(WorkingStep("Shape and mean diameters", lines))
    return tuple(step for step in steps if step.lines)


def _missing(grid: BoreGrid) -> WorkingStep:
    """Name what is missing; a missing place is never taken as nothing."""
    places = tuple(f"Not gauged: {level}, {axis}." for level, axis in grid.missing_cells)
    return WorkingStep("Missing diameters", places)


def _wear(grid: BoreGrid, base_mm: Decimal) -> WorkingStep:
    """Wear counts from the base size to the largest diameter."""
    largest = max(grid.diameters_mm.values())
    line = f"Largest − base size = {plain(largest)} − {plain(base_mm)} = {plain(largest - base_mm)} mm."
    return WorkingStep("Wear", (line,), SOURCE)


def _ovality(grid: BoreGrid) -> WorkingStep:
    """Ovality is the largest difference of the axes at one level."""
    lines = tuple(_spread(level, grid.at_level(level)) for level in grid.levels if len(grid.at_level(level)) > 1)
    return WorkingStep("Ovality, level by level; the largest counts", lines, SOURCE)


def _taper(grid: BoreGrid) -> WorkingStep:
    """Taper is the largest difference along one axis."""
    lines = tuple(_spread(axis, grid.along_axis(axis)) for axis in grid.axes if len(grid.along_axis(axis)) > 1)
    return WorkingStep("Taper, axis by axis; the largest counts", lines, SOURCE)


def _overall(grid: BoreGrid) -> WorkingStep:
    """The overall difference takes all diameters together."""
    sizes = tuple(grid.diameters_mm.values())
    return WorkingStep("Overall difference", (_spread("All", sizes),) if len(sizes) > 1 else (), SOURCE)


def _spread(name: str, sizes: tuple[Decimal, ...]) -> str:
    """Write the largest less the smallest."""
    return f"{name.capitalize()}: {plain(max(sizes))} − {plain(min(sizes))} = {plain(max(sizes) - min(sizes))} mm."


def _means(grid: BoreGrid) -> tuple[str, ...]:
    """The mean of the axes at each level, which a ring's circumference follows."""
    return tuple(
        f"Mean diameter, {level}: ({' + '.join(plain(d) for d in grid.at_level(level))}) / {len(grid.axes)} "
        f"= {plain(mean)} mm."
        for level, mean in means_of(grid).items()
    )


def means_of(grid: BoreGrid) -> dict[str, Decimal]:
    """Give the mean diameter of every level that is fully gauged."""
    means = {level: mean_diameter_at_mm(grid, level) for level in grid.levels}
    return {level: mean for level, mean in means.items() if mean is not None}
