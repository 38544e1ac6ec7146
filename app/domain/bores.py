"""The bore that a part runs in: the size it counts from, its diameters, and how much room it leaves a ring."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from app.domain.bore_grid import BoreGrid
from app.domain.characteristic_verdicts import grid_of
from app.domain.cylinders import mean_diameter_at_mm
from app.domain.limits import Characteristic, Part, PartKind
from app.domain.measured import Gauging
from app.domain.numbers import Length
from app.domain.occasion_limits import UNWORN, Room
from app.domain.overhaul import Overhaul
from app.domain.readings import Occasion, Place, Reading


@dataclass(frozen=True)
class GaugedBore:
    """A fully gauged bore: its cylinder, its diameters and the size that its wear counts from."""

    cylinder: Part
    grid: BoreGrid
    base_mm: Decimal

    @property
    def means(self) -> dict[str, Decimal]:
        """The mean diameter [mm] at each level, which a ring's circumference follows."""
        means = {level: mean_diameter_at_mm(self.grid, level) for level in self.grid.levels}
        return {level: mean for level, mean in means.items() if mean is not None}

    def room_at(self, level: str) -> Room:
        """Find the room where a gap is taken: at a level of the bore, at its unworn end, else at its worst place."""
        means = self.means
        tightest_mm = min(means.values())
        here_mm = means.get(level, tightest_mm if UNWORN in level.lower() else max(means.values()))
        return Room(max(here_mm - self.base_mm, Decimal(0)), here_mm - tightest_mm)


def bore_of(overhaul: Overhaul, ring: Part, occasion: Occasion) -> GaugedBore | None:
    """Find the fully gauged bore that a ring runs in; as fitted falls back on as found."""
    for part in overhaul.parts:
        bore = next((c for c in part.characteristics if c.is_grid), None)
        if part.stage != ring.stage or part.key not in ring.judge_again_after or bore is None:
            continue
        gauging = Gauging(overhaul.sheet, part, bore)
        for when in (occasion, Occasion.AS_FOUND):
            grid = grid_of(bore, entries_of(overhaul.standing(when), part, bore.key), gauging)
            base = base_on(overhaul, part, bore, when)
            if grid.is_complete and base is not None:
                return GaugedBore(part, grid, base.mm)
    return None


def base_on(overhaul: Overhaul, part: Part, characteristic: Characteristic, occasion: Occasion) -> Length | None:
    """The size wear counts from; after the work what it was made to now, the sheet's for a new part, else as before."""
    fitting = overhaul.fitting(part.ref)
    if occasion is Occasion.AS_FOUND or fitting is None:
        return overhaul.base_size(part, characteristic)
    return fitting.made_to or characteristic.base_size


def moved_with_bore(overhaul: Overhaul, part: Part, characteristic: Characteristic, occasion: Occasion) -> Decimal:
    """How far sizes have moved from the sheet's: a bore's with its base size, a piston's diameter with its bore's."""
    for mate, bore in _bores(overhaul, part, characteristic):
        now = base_on(overhaul, mate, bore, occasion)
        if now and bore.base_size:
            return now.mm - bore.base_size.mm
    return Decimal(0)


def _bores(overhaul: Overhaul, part: Part, characteristic: Characteristic) -> list[tuple[Part, Characteristic]]:
    """The bore that a characteristic's sizes move with: its own, or for a piston's diameter that of its cylinder."""
    if part.kind is not PartKind.PISTON:
        return [(part, characteristic)]
    mates = [m for m in overhaul.sheet.parts if m.stage == part.stage and m.key in part.judge_again_after]
    bores = [(mate, bore) for mate in mates if mate.kind is PartKind.CYLINDER for bore in mate.characteristics]
    return [(mate, bore) for mate, bore in bores if _runs_in(characteristic, bore)]


def _runs_in(characteristic: Characteristic, bore: Characteristic) -> bool:
    """Whether a size of a piston is the diameter that runs in a bore: within a tenth of it, unlike groove or pin."""
    sizes = [limit.size for limit in characteristic.limits] + ([characteristic.new.upper] if characteristic.new else [])
    base_mm = bore.base_size.mm if bore.base_size else Decimal(0)
    return bool(sizes) and all(abs(size.mm - base_mm) * 10 <= base_mm for size in sizes)


def entries_of(entries: Mapping[Place, Reading], part: Part, characteristic: str) -> dict[tuple[str, str], Reading]:
    """Pick the entries of one characteristic, by level and axis."""
    found = part.characteristic(characteristic)
    places = [(cell, Place(part.ref, characteristic, *cell)) for cell in found.places] if found else []
    return {cell: entries[place] for cell, place in places if place in entries}
