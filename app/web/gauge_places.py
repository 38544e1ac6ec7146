"""The places of a part as targets: chips for its characteristics, cells for a bore's grid."""

from dataclasses import dataclass, replace

from app.domain.findings import findings_for
from app.domain.limits import Characteristic, Part
from app.domain.numbers import figure
from app.domain.readings import Kind, Place, Reading
from app.web.gauge_round import Round

NOTHING = "—"  # stands where no entry does


@dataclass(frozen=True)
class Chip:
    """One place of the part as a small target: what, what stands there, where it leads."""

    name: str
    figure: str
    href: str
    is_current: bool
    is_kept: bool
    differs: bool = False

    @property
    def spoken(self) -> str:
        """What it says to whoever cannot see it."""
        stands = "not gauged" if self.figure == NOTHING else self.figure
        return f"{self.name}: {stands}{', differ: two looks' if self.differs else ''}"


@dataclass(frozen=True)
class Cell:
    """One cell of a bore's grid."""

    figure: str
    href: str
    is_current: bool
    spoken: str
    differs: bool = False


def place_href(one_round: Round, part: Part, place: Place) -> str:
    """The address of a place's page; level and axis go by their number on the sheet."""
    base = f"/overhauls/{one_round.overhaul.id}/{one_round.base}/{part.ref}/{place.characteristic}"
    characteristic = part.characteristic(place.characteristic)
    if characteristic is None or len(characteristic.places) == 1:
        return base
    return f"{base}?level={characteristic.levels.index(place.level)}&axis={characteristic.axes.index(place.axis)}"


def chips_of(one_round: Round, part: Part, current: Place) -> tuple[Chip, ...]:
    """The characteristics of a part as targets, its condition first."""
    by_characteristic: dict[str, list[Place]] = {}
    for place in part.required:
        by_characteristic.setdefault(place.characteristic, []).append(place)
    return tuple(_chip(one_round, part, places, current) for places in by_characteristic.values())


def levels_of(one_round: Round, part: Part, current: Place) -> tuple[Chip, ...]:
    """The levels at which one characteristic is gauged, where there are several and they make no grid."""
    characteristic = part.characteristic(current.characteristic)
    if characteristic is None or characteristic.is_grid or len(characteristic.levels) == 1:
        return ()
    chips = []
    for level, axis in characteristic.places:
        place = Place(part.ref, characteristic.key, level, axis)
        entry = one_round.entry(place)
        shown = short(entry, part, characteristic) if entry else NOTHING
        chip = Chip(level, shown, place_href(one_round, part, place), place == current, entry is not None)
        chips.append(replace(chip, differs=place in one_round.differing))
    return tuple(chips)


def _chip(one_round: Round, part: Part, places: list[Place], current: Place) -> Chip:
    """Lay one characteristic's target out: its reading, or how many of its places have one."""
    characteristic = part.characteristic(places[0].characteristic)
    entries = [one_round.entry(place) for place in places]
    done = sum(entry is not None for entry in entries)
    first = next((place for place, entry in zip(places, entries, strict=True) if entry is None), places[0])
    shown = f"{done} of {len(places)}" if len(places) > 1 else NOTHING
    if len(places) == 1 and entries[0] is not None:
        shown = short(entries[0], part, characteristic)
    name = characteristic.name if characteristic else "Condition"
    is_current = current.characteristic == places[0].characteristic
    differs = any(place in one_round.differing for place in places)
    return Chip(name, shown, place_href(one_round, part, first), is_current, done == len(places), differs)


def short(entry: Reading, part: Part, characteristic: Characteristic | None) -> str:
    """Write an entry short enough for a chip."""
    if entry.kind is Kind.CANNOT:
        return "cannot"
    if characteristic is None:
        words = {finding.code: finding.words for finding in findings_for(part)}
        return words.get(entry.findings[0], entry.findings[0]) + (" …" if len(entry.findings) > 1 else "")
    if entry.size_mm is not None:
        return figure(entry.size_mm, characteristic.unit, characteristic.decimals)
    stops = f"–{entry.does_not_go.value}" if entry.does_not_go else " goes"
    return f"{entry.goes.value if entry.goes else ''}{stops}"


def rows_of(
    one_round: Round, part: Part, characteristic: Characteristic | None, current: Place
) -> tuple[tuple[str, tuple[Cell, ...]], ...]:
    """The grid of a bore, level by level."""
    if characteristic is None or not characteristic.is_grid:
        return ()
    rows = []
    for level in characteristic.levels:
        places = [Place(part.ref, characteristic.key, level, axis) for axis in characteristic.axes]
        rows.append((level, tuple(_cell(one_round, part, characteristic, place, current) for place in places)))
    return tuple(rows)


def _cell(one_round: Round, part: Part, characteristic: Characteristic, place: Place, current: Place) -> Cell:
    """One cell of the grid."""
    entry = one_round.entry(place)
    shown = short(entry, part, characteristic) if entry else NOTHING
    differs = place in one_round.differing
    said = f"{shown}, differ: two looks" if differs else shown if entry else "not gauged"
    spoken = f"{place.level}, {place.axis}: {said}"
    return Cell(shown, place_href(one_round, part, place), place == current, spoken, differs)
