"""How rings, bores and the other parts of the invented machines wear, from the size as fitted and the hours since."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, pi

RUNNING_IN_WEAR = 0.4  # the wear of so many thousand steady hours comes on top while surfaces bed in
RUNNING_IN_KH = 0.3  # how quickly bedding in dies away, in thousand hours


def steady_kh(hours: float) -> float:
    """Give the thousand hours of steady wear that have gone on since fitting, bedding in included."""
    thousand_hours = hours / 1000
    return thousand_hours + RUNNING_IN_WEAR * (1 - exp(-thousand_hours / RUNNING_IN_KH))


@dataclass(frozen=True)
class Life:
    """One size of one fitted part, growing or shrinking steadily from the day it was fitted."""

    fitted_mm: float
    rate_mm: float  # per thousand hours of steady wear, negative where the size shrinks
    since_hours: float

    def size_mm(self, hours: float) -> float:
        """Give the size at a reading of the meter."""
        return self.fitted_mm + self.rate_mm * steady_kh(hours - self.since_hours)


@dataclass(frozen=True)
class BoreLife:
    """One bore since it was made to its size: it wears unevenly along its length and across its axes."""

    made_to_mm: float
    rate_mm: float  # growth of the diameter at the worst place, per thousand hours of steady wear
    since_hours: float
    levels: Mapping[str, float]  # the share of that growth at each level
    axes: Mapping[str, float]  # and on each axis

    def diameter_mm(self, level: str, axis: str, hours: float) -> float:
        """Give one diameter at a reading of the meter."""
        worst_mm = self.rate_mm * steady_kh(hours - self.since_hours)
        return self.made_to_mm + worst_mm * self.levels[level] * self.axes[axis]

    def mean_diameter_mm(self, level: str, hours: float) -> float:
        """Give the mean of the axes at one level: a ring's gap follows it."""
        return sum(self.diameter_mm(level, axis, hours) for axis in self.axes) / len(self.axes)

    @property
    def worst_level(self) -> str:
        """The level that wears most."""
        return max(self.levels, key=self.levels.__getitem__)

    @property
    def best_level(self) -> str:
        """The level that wears least."""
        return min(self.levels, key=self.levels.__getitem__)


@dataclass(frozen=True)
class RingLife:
    """One ring since it was fitted: its gap opens with its own radial face wear and with the bore around it."""

    fitted_gap_mm: float
    fitted_bore_mm: float  # the mean diameter that this gap was gauged in
    face_rate_mm: float  # radial face wear per thousand hours of steady wear
    since_hours: float

    def gap_mm(self, mean_diameter_mm: float, hours: float) -> float:
        """Give the closed gap in a bore of this mean diameter, at a reading of the meter."""
        face_wear_mm = self.face_rate_mm * steady_kh(hours - self.since_hours)
        return self.fitted_gap_mm + pi * (mean_diameter_mm - self.fitted_bore_mm) + 2 * pi * face_wear_mm
