"""The bands of the verdict as they are laid in the gauging page, for its script to show the verdict with no request."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any

from app.domain.band_marks import clearance_marks_mm, grid_marks_mm, leaf_marks_mm, value_marks_mm
from app.domain.bands import (
    MILLIONTHS,
    Band,
    BandsUnclear,
    Formed,
    InInches,
    InMm,
    Line,
    Number,
    Said,
    find_bands,
    millionths,
    within,
)
from app.domain.bores import entries_of
from app.domain.entries import with_entry
from app.domain.joints import is_square
from app.domain.leaf_bands import find_leaf_bands
from app.domain.limits import Characteristic
from app.domain.numbers import Length
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import PartVerdict, mates_of, terms_of
from app.domain.readings import Kind, Place, Reading
from app.domain.reasons import inch_decimals, leaf_figures
from app.domain.terms import Terms
from app.domain.units import LengthUnit
from app.web.bore_measures import bore_measures
from app.web.gauge_round import Round
from app.web.gauge_scale import box_for

KINDS = (Kind.SIZE, Kind.DIAL, Kind.PAIR)
LEAVES = {"first": "{Leaves}", "after": "{leaves}"}
BOOK_ALONE: dict[str, object] = {}
BY_CONDITIONS = "Provisional: the book looks at instrument and temperature as well."
BY_A_MATE = "Provisional: the book looks at {} as well."
Laid = dict[str, object]


@dataclass(frozen=True)
class Bench:
    """What an entry is tried out with: the round, the place, and the conditions that stand on the page."""

    round: Round
    place: Place
    characteristic: Characteristic
    temperature_c: Decimal | None
    now: datetime
    would_be: Callable[[Reading], PartVerdict] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "would_be", self.round.would_be(self.place.part))

    @property
    def terms(self) -> Terms:
        """What the characteristic is judged by."""
        part = self.round.part(self.place.part)
        renewed = self.round.renewed(part.ref)
        return terms_of(self.round.overhaul, part, self.characteristic, self.round.occasion, renewed)

    def size(self, n: int) -> Said:
        """What is said of a size of n millionths."""
        return self._said(self._reading(Kind.SIZE, value=self._length(n)))

    def leaves(self, goes: int, stops: int | None) -> Said:
        """What is said of two leaves, or of one that goes alone; the leaves themselves are left open in the words."""
        if stops is None:
            reading = self._reading(Kind.GOES, goes=self._length(goes))
        else:
            reading = self._reading(Kind.PAIR, goes=self._length(goes), does_not_go=self._length(stops))
        said, shown = self._said(reading), leaf_figures(reading, self.characteristic)
        return Said(said.verdict, said.renews, tuple((role, _left_open(text, shown)) for role, text in said.lines))

    def _length(self, n: int) -> Length:
        """A length as somebody would type it."""
        value = (Decimal(n) / MILLIONTHS).normalize()
        return Length(f"{value:f}", value, self.characteristic.unit)

    def _reading(self, kind: Kind, **content: Length) -> Reading:
        """An entry that nobody made."""
        return Reading("would-be", self.place, self.round.occasion, kind, "", "", self.now, self.now,
                       temperature_c=self.temperature_c, **content)  # type: ignore[arg-type]  # fmt: skip

    def _said(self, reading: Reading) -> Said:
        """What the verdict box would say with this entry."""
        verdict = self.would_be(reading)
        box = box_for(verdict, self.place, self.characteristic.is_grid)
        lines = [*(("reason", text) for text in box.reasons), ("leaf", box.advice),
                 *(("also", text) for text in box.also), ("source", box.source), *self._results(reading)]  # fmt: skip
        return Said(verdict.verdict, verdict.renews, tuple(line for line in lines if line[1]))

    def _results(self, reading: Reading) -> list[tuple[str, str]]:
        """The running results of a bore with this entry."""
        if not self.characteristic.is_grid:
            return []
        would_be, part = with_entry(self.round.overhaul, reading), self.terms.part
        renewed = self.round.renewed(part.ref)
        found = bore_measures(would_be, part, self.characteristic, self.round.occasion, renewed)
        return [("result", "|".join((one.verdict.value, one.name, one.figure, one.limit))) for one in found]


def _left_open(text: str, shown: str) -> str:
    """A sentence with its leaves left open, at its beginning and within it."""
    return text.replace(shown, LEAVES["first"]).replace(f"{shown[0].lower()}{shown[1:]}", LEAVES["after"])


def lay_bands(one_round: Round, place: Place, kind: Kind, temperature: str, now: datetime) -> Laid:
    """Lay the bands of a place's page out as data; nothing where the book alone judges."""
    part = one_round.part(place.part)
    characteristic = part.characteristic(place.characteristic)
    if characteristic is None or kind not in KINDS or is_square(part, characteristic.key):
        return BOOK_ALONE
    if place in dict(one_round.overhaul.looked_at(one_round.occasion)):
        return BOOK_ALONE  # which of several looks is judged is not for the page to say
    temperature_c = Decimal(temperature) if temperature else None
    bench = Bench(one_round, place, characteristic, temperature_c, now)
    try:
        found = _leaves(bench) if kind is Kind.PAIR else _sizes(bench)
    except BandsUnclear:
        return BOOK_ALONE
    about = {
        "unit": characteristic.unit.value,
        "decimals": characteristic.decimals,
        "basis": basis_of(one_round.overhaul),
        "beside": _beside(characteristic),
    }
    return about | {"provisional": _provisional(bench)} | found


def _beside(characteristic: Characteristic) -> str:
    """How the other unit stands beside a leaf's own; nothing where it does not."""
    if not characteristic.is_in_both:
        return ""
    return "mm" if characteristic.unit is LengthUnit.INCH else f"in{inch_decimals(characteristic)}"


def basis_of(overhaul: Overhaul) -> int:
    """How much stood in the overhaul when it was judged: bands and a verdict on another basis are not held together."""
    return len(overhaul.readings) + len(overhaul.looks) + len(overhaul.decisions) + len(overhaul.fittings)


def _sizes(bench: Bench) -> Laid:
    """Lay the bands of one figure out."""
    unit = bench.characteristic.unit
    ends = within(bench.characteristic.possible_mm, unit)
    marks = {millionths(mark_mm, unit) for mark_mm in _marks_mm(bench)}
    bands = find_bands(bench.size, marks, ends, bench.characteristic.decimals)
    written = _Written()
    starts = [[band.start, written.outcome(band)] for band in bands]
    return {"ends": ends, "sizes": starts, "lines": written.lines, "outcomes": written.outcomes}


def _marks_mm(bench: Bench) -> list[Decimal]:
    """Every length at which what is said may turn."""
    overhaul, occasion, place = bench.round.overhaul, bench.round.occasion, bench.place
    terms = bench.terms
    marks = value_marks_mm(terms, place.level)
    if bench.characteristic.is_grid:
        entries = entries_of(overhaul.standing(occasion), terms.part, bench.characteristic.key)
        marks = grid_marks_mm(terms, entries, (place.level, place.axis))
    own = f"{terms.part.key}.{bench.characteristic.key}"
    for each in terms.part.characteristics:
        mates = mates_of(overhaul, terms.part, each, occasion)
        if mates and each.between and own in each.between:
            limits = terms_of(overhaul, terms.part, each, occasion, bench.round.renewed(place.part)).limits
            marks += clearance_marks_mm(limits, *mates, is_outer=each.between[0] == own)
    return marks


def _leaves(bench: Bench) -> Laid:
    """Lay the bands of two leaves out."""
    unit = bench.characteristic.unit
    ends = within(bench.characteristic.possible_mm, unit)
    marks = {millionths(mark_mm, unit) for mark_mm in leaf_marks_mm(bench.terms, bench.place.level)}
    found, written = find_leaf_bands(bench.leaves, marks, ends), _Written()
    outcomes = [written.outcome(said) for said in found.said]
    table = [[outcomes[said] if said >= 0 else said for said in row] for row in found.table]
    laid = {"ends": ends, "leaves": found.starts, "table": table, "single": bench.terms.is_guarded}
    return laid | {"lines": written.lines, "outcomes": written.outcomes}


def _provisional(bench: Bench) -> str:
    """Say what else than the page holds could move the verdict; nothing where nothing could."""
    sheet, own = bench.round.overhaul.sheet, f"{bench.terms.part.key}.{bench.characteristic.key}"
    if bench.terms.is_guarded or sheet.is_corrected_to_20:
        return BY_CONDITIONS
    joined = [each.between for each in bench.terms.part.characteristics if each.between and own in each.between]
    keys = [end.rpartition(".")[0] for ends in joined for end in ends if end != own]
    mates = [part.name.lower() for part in sheet.parts if part.stage == bench.terms.part.stage and part.key in keys]
    return BY_A_MATE.format(mates[0]) if mates else ""


class _Written:
    """The sentences and outcomes written so far, each once."""

    def __init__(self) -> None:
        self.lines: list[list[str]] = []
        self.outcomes: list[list[object]] = []

    def outcome(self, said: Band | Said) -> int:
        """Write an outcome, and give its place among all."""
        lines = [
            _place(self.lines, [line.role, _text(line)] if isinstance(line, Line) else list(line))
            for line in said.lines
        ]
        return _place(self.outcomes, [said.verdict.value, said.renews, lines])


def _place(among: list[Any], one: object) -> int:
    """The place of something in a list that it is added to where it is not in it yet."""
    if one not in among:
        among.append(one)
    return among.index(one)


def _text(line: Line) -> str:
    """Write a sentence with a mark for each number that is formed: {+c} is the figure and c, {-c} c less the figure.

    Behind c stands what such a number is beside it in the other unit: {+c mm}, or {+c in4} with its decimals.
    """
    if any("{" in word for word in line.words):
        raise BandsUnclear("a sentence holds the sign that marks a number")
    numbers = [*(_number(number) for number in line.numbers), ""]
    return "".join(word + number for word, number in zip(line.words, numbers, strict=True))


def _number(number: Number) -> str:
    """Write one number of a sentence."""
    if number is None or isinstance(number, str):
        return "…" if number is None else number
    sign = "+" if number.slope > 0 else "-"
    match number:
        case Formed():
            return f"{{{sign}{number.constant}}}"
        case InMm():
            return f"{{{sign}{number.constant} mm}}"
        case InInches():
            return f"{{{sign}{number.constant} in{number.decimals}}}"
