"""The diameters of one bore, gauged at levels and on axes; a grid that names a wrong place cannot be built."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from app.domain.errors import WearbookError
from app.domain.sizes import positive_mm

FEWEST_LEVELS = 3
FEWEST_AXES = 2

Cell = tuple[str, str]


class PlacesNotClear(WearbookError):
    """A bore is to be gauged at too few levels or axes, or two of them have one name."""


class PlaceUnknown(WearbookError):
    """A level or axis was named that this bore does not have."""


@dataclass(frozen=True)
class BoreGrid:
    """Diameters of one bore by level (first is the top) and axis; places not yet gauged are simply not there."""

    levels: tuple[str, ...]
    axes: tuple[str, ...]
    diameters_mm: Mapping[Cell, Decimal]

    def __post_init__(self) -> None:
        _require_places(self.levels, FEWEST_LEVELS, "levels")
        _require_places(self.axes, FEWEST_AXES, "axes")
        for cell, diameter_mm in self.diameters_mm.items():
            if cell not in self.cells:
                raise PlaceUnknown(
                    f"{' '.join(cell)} is no place in this bore; levels are {', '.join(self.levels)}, "
                    f"axes are {', '.join(self.axes)}"
                )
            positive_mm(diameter_mm, f"the diameter at {cell[0]}, axis {cell[1]},")
        # A private copy, so that nobody changes the grid through the mapping it was made from.
        object.__setattr__(self, "diameters_mm", MappingProxyType(dict(self.diameters_mm)))

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Every place to gauge, level by level."""
        return tuple((level, axis) for level in self.levels for axis in self.axes)

    @property
    def missing_cells(self) -> tuple[Cell, ...]:
        """The places not yet gauged, in gauging order."""
        return tuple(cell for cell in self.cells if cell not in self.diameters_mm)

    @property
    def is_complete(self) -> bool:
        """Whether every place has been gauged."""
        return not self.missing_cells

    def at_level(self, level: str) -> tuple[Decimal, ...]:
        """List the diameters gauged so far at one level."""
        _require_known(level, self.levels, "level")
        return self._gauged((level, axis) for axis in self.axes)

    def along_axis(self, axis: str) -> tuple[Decimal, ...]:
        """List the diameters gauged so far along one axis, from the top down."""
        _require_known(axis, self.axes, "axis")
        return self._gauged((level, axis) for level in self.levels)

    def _gauged(self, cells: Iterable[Cell]) -> tuple[Decimal, ...]:
        """Those of the places that have been gauged."""
        return tuple(self.diameters_mm[cell] for cell in cells if cell in self.diameters_mm)


def _require_places(places: tuple[str, ...], fewest: int, name: str) -> None:
    """Refuse too few places, and places that cannot be told apart."""
    if len(places) < fewest or len(set(places)) != len(places):
        raise PlacesNotClear(f"a bore needs at least {fewest} {name}, each with a name of its own")


def _require_known(place: str, places: tuple[str, ...], name: str) -> None:
    """Refuse a place this bore does not have."""
    if place not in places:
        raise PlaceUnknown(f"“{place}” is no {name} of this bore; there are {', '.join(places)}")
