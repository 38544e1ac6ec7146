"""The gauging page: one place of one part, its limits, its last reading, and the verdict so far."""

from dataclasses import dataclass
from decimal import Decimal
from uuid import uuid4

from app.domain.findings import Finding, findings_for
from app.domain.limits import Characteristic, Method, Part
from app.domain.numbers import figure
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading
from app.domain.verdicts import Judged, Verdict
from app.web.gauge_places import Cell, Chip, chips_of, levels_of, rows_of, short
from app.web.gauge_round import Round
from app.web.part_tags import place_words

LEAF_METHODS = (Method.FEELER,)
DIAL_METHODS = (Method.BORE_GAUGE,)


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
    def title(self) -> str:
        """The heading of the entry: ring 2, closed gap."""
        name = self.characteristic.name if self.characteristic else "condition"
        return f"{self.part.name}, {name[:1].lower()}{name[1:]}"

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

    @property
    def level_index(self) -> int:
        """The number of the level on the sheet, as addresses name it."""
        return self.characteristic.levels.index(self.place.level) if self.characteristic else 0

    @property
    def axis_index(self) -> int:
        """The number of the axis on the sheet."""
        return self.characteristic.axes.index(self.place.axis) if self.characteristic else 0

    @property
    def measures(self) -> tuple[Judged, ...]:
        """What a bore's grid says so far, measure by measure."""
        if self.characteristic is None or not self.characteristic.is_grid:
            return ()
        return tuple(j for j in self.verdict.judged if j.margin_mm is not None)

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
        used = [r.set_size.typed for r in self.round.overhaul.readings if r.place.part == self.part.ref and r.set_size]
        base = self.round.overhaul.base_size(self.part, self.characteristic)
        return used[-1] if used else base.typed if base else ""

    @property
    def last_conditions(self) -> tuple[str, str]:
        """Instrument and temperature as last entered for this kind of gauging; they seldom change within a job."""
        for reading in reversed(self.round.overhaul.readings):
            other = self.round.overhaul.sheet.part(reading.place.part)
            found = other.characteristic(reading.place.characteristic) if other else None
            if (found.method if found else None) == (self.characteristic.method if self.characteristic else None):
                return reading.instrument, str(reading.temperature_c) if reading.temperature_c is not None else ""
        return "", ""


def gauge_page(one_round: Round, part: Part, place: Place, kind: str) -> GaugePage:
    """Gather the page for one place."""
    kept = one_round.entry(place)
    characteristic = part.characteristic(place.characteristic)
    after = one_round.next_place(part)
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
        next_words=_next_words(one_round, place, after),
        request_id=uuid4().hex,
        findings=findings_for(part),
    )


def _kind(asked: str, kept: Reading | None, characteristic: Characteristic | None, overhaul: Overhaul) -> Kind:
    """Choose how the place is entered: as asked, as kept, else as the same instrument was last used here."""
    if asked in list(Kind):
        return Kind(asked)
    if characteristic is None:
        return Kind.SEEN
    if kept is not None and kept.kind is not Kind.CANNOT:
        return Kind.PAIR if kept.kind is Kind.GOES else kept.kind
    for reading in reversed(overhaul.readings):
        part = overhaul.sheet.part(reading.place.part)
        found = part.characteristic(reading.place.characteristic) if part else None
        if found is not None and found.method is characteristic.method and reading.kind is not Kind.CANNOT:
            return Kind.PAIR if reading.kind is Kind.GOES else reading.kind
    return Kind.SIZE


def _next_words(one_round: Round, place: Place, after: Place | None) -> str:
    """Name where Keep leads."""
    left = [one for one in one_round.missing() if one != place]
    if after == place:
        here = next((one for one in left if one.part == place.part), left[0] if left else None)
        after = here
    if after is None or not left:
        return "Keep"
    part = one_round.verdict(after.part).part
    if after.part != place.part:
        return f"Keep, go to {part.name.lower()}"
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


def kept_words(one_round: Round, reading_id: str) -> str:
    """Say what was just kept and its verdict, as the next page shows it."""
    reading = next((r for r in one_round.overhaul.readings if r.id == reading_id), None)
    if reading is None or reading.occasion is not one_round.occasion:
        return ""
    verdict = next((v for v in one_round.verdicts if v.part.ref == reading.place.part), None)
    if verdict is None:
        return ""
    place = place_words(verdict.part, reading.place.characteristic, reading.place.level, reading.place.axis)
    word = "" if verdict.own is Verdict.NOT_GAUGED else f". {verdict.part.name}: {verdict.verdict.word}"
    shown = short(reading, verdict.part, verdict.part.characteristic(reading.place.characteristic))
    return f"{place} kept {shown}{word}"


def occasion_of(base: str) -> Occasion:
    """The occasion an address speaks of."""
    return Occasion.AS_FITTED if base == "fit" else Occasion.AS_FOUND
