"""The gauging page: one place of one part, its limits, its last reading, and the verdict so far."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import uuid4

from app.domain.entries import Typed, read_entry
from app.domain.errors import InputRefused
from app.domain.findings import Finding, findings_for
from app.domain.limits import Characteristic, Method, Part
from app.domain.numbers import Length, figure
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading, left
from app.web.bore_measures import BoreMeasure, bore_measures
from app.web.gauge_places import Cell, Chip, chips_of, levels_of, place_href, rows_of
from app.web.gauge_round import Round
from app.web.limit_words import in_both_units

LEAF_METHODS = (Method.FEELER,)
DIAL_METHODS = (Method.BORE_GAUGE,)
MOST_LEAVES = 20


@dataclass(frozen=True)
class GaugePage:
    """Everything the gauging page shows of one place."""

    round: Round
    part: Part
    characteristic: Characteristic | None
    place: Place
    kind: Kind
    kept: Reading | None
    verdict: PartVerdict
    chips: tuple[Chip, ...]
    levels: tuple[Chip, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]
    next_words: str
    request_id: str
    findings: tuple[Finding, ...]

    @property
    def photo_count(self) -> int:
        """How many photos of the part stand."""
        return sum(photo.stands for photo in self.round.overhaul.photos if photo.part == self.part.ref)

    @property
    def title(self) -> str:
        """The heading of the entry: ring 2, closed gap."""
        name = self.characteristic.name if self.characteristic else "condition"
        return f"{self.part.name}, {name[:1].lower()}{name[1:]}"

    @property
    def where(self) -> str:
        """Where on the part this is gauged: worst place, square in the bore."""
        if self.characteristic is None:
            return "What is seen by eye; always required."
        words = ", ".join(word for word in (self.place.level, self.place.axis, self.characteristic.where) if word)
        return f"{words[:1].upper()}{words[1:]}"

    @property
    def in_both_units(self) -> str:
        """The sizes that the sheet prints in both units, nothing where it prints none so."""
        words = "; ".join(in_both_units(self.characteristic))
        return f"{words[:1].upper()}{words[1:]}"

    @property
    def href(self) -> str:
        """The address of this place."""
        return place_href(self.round, self.part, self.place)

    @property
    def seen(self) -> Reading | None:
        """The entry at this place that the page shows, whatever others saw there."""
        return self.round.overhaul.first_looks(self.round.occasion).get(self.place)

    @property
    def count(self) -> int:
        """How many entries the overhaul holds; when more come, the page has aged."""
        return len(self.round.overhaul.readings) + len(self.round.overhaul.looks)

    @property
    def left(self) -> tuple[str, ...]:
        """The addresses of the places without an entry, in the order in which they come up after this one."""
        places = self.round.places_left(self.part, self.place)
        return tuple(place_href(self.round, self.round.part(place.part), place) for place in places)

    @property
    def kinds(self) -> tuple[tuple[Kind, str], ...]:
        """The ways this characteristic may be entered."""
        if self.characteristic is None:
            return ()
        if self.characteristic.method in LEAF_METHODS:
            return (Kind.SIZE, "One reading"), (Kind.PAIR, "Goes / does not go")
        if self.characteristic.method in DIAL_METHODS:
            return (Kind.SIZE, "Whole size"), (Kind.DIAL, "Dial")
        return ()

    def leaves(self, most: int = MOST_LEAVES) -> tuple[str, ...]:
        """The leaves of the sheet's feeler set as they are marked, where this is gauged with them in its unit."""
        found = self.characteristic
        if found is None or found.method not in LEAF_METHODS or self.kind not in (Kind.PAIR, Kind.SIZE):
            return ()
        at_hand = [leaf for leaf in self.round.overhaul.sheet.leaves if leaf.unit is found.unit]
        return tuple(leaf.typed for leaf in near_limits(at_hand, found, most))

    @property
    def kept_words(self) -> str:
        """What stands at the place in words: findings as pages say them, anything else as written."""
        if self.kept is None:
            return ""
        words = {finding.code: finding.words for finding in self.findings}
        return ", ".join(words.get(code, code) for code in self.kept.findings) or self.kept.written

    @property
    def level_index(self) -> int:
        """The number of the level on the sheet, as addresses name it."""
        return self.characteristic.levels.index(self.place.level) if self.characteristic else 0

    @property
    def axis_index(self) -> int:
        """The number of the axis on the sheet."""
        return self.characteristic.axes.index(self.place.axis) if self.characteristic else 0

    @property
    def measures(self) -> tuple[BoreMeasure, ...]:
        """What a bore's grid says so far, measure by measure."""
        renewed = self.round.renewed(self.part.ref)
        return bore_measures(self.round.overhaul, self.part, self.characteristic, self.round.occasion, renewed)

    @property
    def label(self) -> str:
        """What the figure is, and what stands there already."""
        dial = f"Dial, from {self.set_size or 'a size not given yet'}" if self.kind is Kind.DIAL else ""
        size_mm = self.kept.size_mm if self.kept else None
        kept = f". Kept: {self.write(size_mm)}" if size_mm is not None else ""
        return f"{dial or (self.characteristic.name if self.characteristic else '')}{kept}"

    def write(self, length_mm: Decimal) -> str:
        """Write a length as this characteristic is written."""
        if self.characteristic is None:
            return str(length_mm)
        return figure(length_mm, self.characteristic.unit, self.characteristic.decimals)

    @property
    def unit(self) -> str:
        """The unit a number alone is taken in."""
        return self.characteristic.unit.value if self.characteristic else ""

    @property
    def set_size(self) -> str:
        """The size a dial is set to: the last used at this bore, else the base size."""
        if self.characteristic is None:
            return ""
        used = [r.set_size for r in left(self.round.overhaul.readings) if r.place.part == self.part.ref and r.set_size]
        size = used[-1] if used else self.round.overhaul.base_size(self.part, self.characteristic)
        if size is None:
            return ""
        return size.typed if size.unit is self.characteristic.unit else self.write(size.mm)

    @property
    def last_conditions(self) -> tuple[str, str]:
        """Instrument and temperature as last entered for this kind of gauging; they seldom change within a job."""
        for reading in reversed(left(self.round.overhaul.readings)):
            other = self.round.overhaul.sheet.part(reading.place.part)
            found = other.characteristic(reading.place.characteristic) if other else None
            if (found.method if found else None) == (self.characteristic.method if self.characteristic else None):
                return reading.instrument, str(reading.temperature_c) if reading.temperature_c is not None else ""
        return "", ""


def gauge_page(one_round: Round, part: Part, place: Place, kind: str) -> GaugePage:
    """Gather the page for one place."""
    kept = one_round.entry(place)
    characteristic = part.characteristic(place.characteristic)
    return GaugePage(
        round=one_round,
        part=part,
        characteristic=characteristic,
        place=place,
        kind=_kind(kind, kept, characteristic, one_round.overhaul),
        kept=kept,
        verdict=one_round.verdict(part.ref),
        chips=chips_of(one_round, part, place),
        levels=levels_of(one_round, part, place),
        rows=rows_of(one_round, part, characteristic, place),
        next_words=_next_words(one_round, part, place),
        request_id=uuid4().hex,
        findings=findings_for(part),
    )


def empty_words(shown: GaugePage, now: datetime) -> dict[str, str]:
    """What is said beside each field of an entry that is kept with nothing in it, as the book would refuse it."""
    nothing = Typed("", shown.place, shown.round.occasion, shown.kind, unit=shown.unit)
    try:
        read_entry(shown.round.overhaul, nothing, "", now)
    except InputRefused as refusal:
        return refusal.fields
    return {}


def near_limits(leaves: list[Length], characteristic: Characteristic, most: int) -> list[Length]:
    """Choose the leaves that a gap is most likely settled by: as many as have room, nearest to a limit or new size."""
    marks_mm = [limit.size.mm for limit in characteristic.limits]
    if characteristic.new:
        marks_mm += [characteristic.new.lower.mm, characteristic.new.upper.mm]
    nearest = sorted(leaves, key=lambda leaf: min((abs(leaf.mm - mark_mm) for mark_mm in marks_mm), default=leaf.mm))
    return sorted(nearest[:most], key=lambda leaf: leaf.mm)


def _kind(asked: str, kept: Reading | None, characteristic: Characteristic | None, overhaul: Overhaul) -> Kind:
    """Choose how the place is entered: as asked, as kept, else as the same instrument was last used here."""
    if asked in list(Kind) and asked != Kind.TAKEN_BACK:
        return Kind(asked)
    if characteristic is None:
        return Kind.SEEN
    if kept is not None and kept.kind is not Kind.CANNOT:
        return Kind.PAIR if kept.kind is Kind.GOES else kept.kind
    for reading in reversed(left(overhaul.readings)):
        part = overhaul.sheet.part(reading.place.part)
        found = part.characteristic(reading.place.characteristic) if part else None
        if found is not None and found.method is characteristic.method and reading.kind is not Kind.CANNOT:
            return Kind.PAIR if reading.kind is Kind.GOES else reading.kind
    return Kind.SIZE


def _next_words(one_round: Round, part: Part, place: Place) -> str:
    """Name where Keep leads."""
    after = one_round.next_place(part, besides=place)
    if after is None:
        return "Keep"
    if after.part != place.part:
        return f"Keep, go to {one_round.part(after.part).name.lower()}"
    if after.characteristic != place.characteristic:
        found = part.characteristic(after.characteristic)
        return f"Keep, go to {found.name.lower() if found else 'condition'}"
    return "Keep, go on"


def first_place(part: Part, characteristic: str, level: int, axis: int) -> Place | None:
    """Find a place by the numbers in its address."""
    if characteristic == SEEN:
        return Place(part.ref, SEEN)
    found = part.characteristic(characteristic)
    if found is None or not (0 <= level < len(found.levels) and 0 <= axis < len(found.axes)):
        return None
    return Place(part.ref, characteristic, found.levels[level], found.axes[axis])


def occasion_of(base: str) -> Occasion:
    """The occasion an address speaks of."""
    return Occasion.AS_FITTED if base == "fit" else Occasion.AS_FOUND
