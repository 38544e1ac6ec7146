"""The history of a part's characteristic over all overhauls: every entry as written, judged by the sheet of its day."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from app.actions.machines import MachineState, machine_state
from app.actions.part_lives import PartLife, part_lives
from app.actions.past_overhauls import PastOverhaul, past_overhauls
from app.actions.trend_ahead import look_along
from app.actions.trends import Gauged, Trend, at_place, life_readings, limits_then
from app.actions.verdicts_then import verdict_of_last, verdict_then
from app.domain.bores import entries_of
from app.domain.characteristic_verdicts import grid_of, judge_characteristic, measure_mm
from app.domain.corrections import put_right_by
from app.domain.errors import NotThere
from app.domain.limits import Characteristic, Limit, Measure, Part
from app.domain.part_verdicts import judge_sight
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading, taken_back
from app.domain.verdicts import Verdict, heaviest
from app.store.book import Book


@dataclass(frozen=True)
class PastEntry:
    """One entry with the verdict it led to; none where a later entry struck it through or a whole bore is judged."""

    past: PastOverhaul
    reading: Reading
    is_standing: bool
    limits: tuple[Limit, ...] = ()
    verdict: Verdict | None = None
    is_taken_back: bool = False
    struck_by: Reading | None = None  # the entry that put it right


@dataclass(frozen=True)
class BoreMeasures:
    """What a bore's diameters come to at one opening, with the limits of its day and the verdict they led to."""

    past: PastOverhaul
    occasion: Occasion
    measures: tuple[tuple[Limit, Decimal | None], ...]  # each limit with what it compares [mm]
    verdict: Verdict
    entries: tuple[PastEntry, ...]


@dataclass(frozen=True)
class PartHistory:
    """Everything ever entered for one characteristic of a part; None stands for the condition seen by eye."""

    state: MachineState
    parts: tuple[Part, ...]
    part: Part
    characteristic: Characteristic | None
    entries: tuple[PastEntry, ...]  # the newest first
    bore: tuple[BoreMeasures, ...]  # the newest first
    trends: tuple[Trend, ...]
    lives: tuple[PartLife, ...] = ()  # of the position, the oldest first

    @property
    def places(self) -> tuple[tuple[str, str], ...]:
        """Every level and axis: those of the sheet now, and those that only an earlier sheet had."""
        now = self.characteristic.places if self.characteristic else ()
        entered = ((entry.reading.place.level, entry.reading.place.axis) for entry in reversed(self.entries))
        return tuple(dict.fromkeys((*now, *entered)))


def part_history(book: Book, tag: str, ref: str, key: str) -> PartHistory:
    """Gather the history of a part's characteristic; without one, of the first there is."""
    state = machine_state(book, tag)
    past = past_overhauls(book, state.machine.id, _stage_of(ref), state.overhauls)
    parts = parts_of(state, past)
    part = next((part for part in parts if part.ref == ref), None) if ref else parts[0]
    if part is None:
        raise NotThere(f"{state.machine.tag} has no part “{ref[:40]}”.")
    characteristic = _characteristic(part, key)
    entries = tuple(entry for each in reversed(past) for entry in _entries(each, part.ref, characteristic))
    grid = characteristic if characteristic and characteristic.is_grid else None
    bore = tuple(row for each in reversed(past) for row in _bore_rows(each, part.ref, grid.key)) if grid else ()
    trends = tuple(_trends(past, part, characteristic)) if characteristic else ()
    lives = part_lives(past, part.ref)
    return PartHistory(state, parts, part, characteristic, entries, bore, trends, lives)


def _stage_of(ref: str) -> int | None:
    """Name the stage that a part is of, by its reference; None where it names none."""
    stage = ref.partition(".")[0]
    return int(stage) if re.fullmatch("[1-9]", stage) else None


def parts_of(state: MachineState, past: Sequence[PastOverhaul]) -> tuple[Part, ...]:
    """Every part of the machine: those of its sheet now, and those that only an earlier sheet had."""
    parts = {
        part.ref: part for sheet in (state.sheet, *(p.overhaul.sheet for p in past)) for part in reversed(sheet.parts)
    }
    now = {part.ref: part for part in state.sheet.parts}
    return tuple(sorted((parts | now).values(), key=lambda part: (part.stage, part.index, part.key)))


def _characteristic(part: Part, key: str) -> Characteristic | None:
    """Choose the characteristic asked for; the condition by eye is none."""
    if key == SEEN or not (key or part.characteristics):
        return None
    if not key:
        return part.characteristics[0]
    found = part.characteristic(key)
    if found is None:
        raise NotThere(f"{part.item} {part.name} has no characteristic “{key[:40]}”.")
    return found


def _entries(past: PastOverhaul, ref: str, characteristic: Characteristic | None) -> Iterator[PastEntry]:
    """Every entry of one opening, the newest first."""
    part, key = past.part(ref), characteristic.key if characteristic else SEEN
    gone = taken_back(past.overhaul.readings)
    for reading in reversed(past.overhaul.readings):
        is_here = (reading.place.part, reading.place.characteristic) == (ref, key)
        if part is None or not is_here or reading.kind is Kind.TAKEN_BACK:
            continue
        if reading.id in past.struck:
            by = put_right_by(past.overhaul.readings, reading)
            yield PastEntry(past, reading, False, is_taken_back=reading.id in gone, struck_by=by)
        else:
            yield _judged_once(past, part, reading)


def _judged_once(past: PastOverhaul, part: Part, reading: Reading) -> PastEntry:
    """Judge one entry by itself, or give what was judged before of one that is closed."""
    key = f"{reading.id} alone"
    if key not in past.judged_entries:
        past.judged_entries[key] = judged_entry(past, part, reading)
    entry: PastEntry = past.judged_entries[key]
    return entry


def judged_entry(past: PastOverhaul, part: Part, reading: Reading) -> PastEntry:
    """Judge one entry by itself; a bore's diameters are judged together and not one by one."""
    place = reading.place
    characteristic = part.characteristic(place.characteristic)
    if characteristic is None:
        return PastEntry(past, reading, True, (), judge_sight(part, reading).verdict)
    terms = past.terms(part, characteristic, reading.occasion)
    if characteristic.is_grid:
        return PastEntry(past, reading, True, terms.limits)
    alone = replace(terms, characteristic=replace(characteristic, levels=(place.level,), axes=(place.axis,)))
    judged = judge_characteristic(alone, {(place.level, place.axis): reading})
    return PastEntry(past, reading, True, terms.limits, heaviest([one.verdict for one in judged]))


def _bore_rows(past: PastOverhaul, ref: str, key: str) -> Iterator[BoreMeasures]:
    """What the diameters of one opening came to, after the work and before it."""
    part = past.part(ref)
    characteristic = part.characteristic(key) if part else None
    if part is None or characteristic is None:
        return
    for occasion in (Occasion.AS_FITTED, Occasion.AS_FOUND):
        if entries_of(dict(past.entries[occasion]), part, key):
            measures = tuple((limit, _measure(past, ref, key, limit, occasion)) for limit in characteristic.limits)
            entries = tuple(e for e in _entries(past, ref, characteristic) if e.reading.occasion is occasion)
            yield BoreMeasures(past, occasion, measures, verdict_then(past, ref, key, occasion), entries)


def _trends(past: Sequence[PastOverhaul], part: Part, characteristic: Characteristic) -> Iterator[Trend]:
    """A bore has a trend for each measure, everything else one for each place."""
    if characteristic.is_grid:
        for limit in characteristic.limits:
            word = characteristic.name if limit.measure is Measure.VALUE else str(limit.measure)
            gauged = _bore_measure(part, characteristic, limit)
            yield _trend(past, part, characteristic, limit, word.capitalize(), gauged, "")
        return
    limits = [limit for limit in characteristic.limits if limit.measure is Measure.VALUE]
    for level, axis in characteristic.places:
        title = f"{characteristic.name}, {level}" if level else characteristic.name
        gauged = at_place(Place(part.ref, characteristic.key, level, axis))
        yield _trend(past, part, characteristic, limits[0] if limits else None, title, gauged, level)


def _trend(
    past: Sequence[PastOverhaul],
    part: Part,
    characteristic: Characteristic,
    limit: Limit | None,
    title: str,
    gauged: Gauged,
    level: str,
) -> Trend:
    """Follow one size of the part."""
    limits = limits_then(past, part, characteristic.key, limit.measure, limit.side) if limit else ()
    measure = limit.measure if limit else Measure.VALUE
    readings = life_readings(past, part.ref, gauged)
    verdict = verdict_of_last(past, readings, [part.ref], characteristic.key, measure)
    ahead = look_along(past, part, characteristic.key, level, limit, readings)
    return Trend(title, characteristic, readings, limits, verdict, measure is Measure.VALUE, ahead)


def _bore_measure(part: Part, characteristic: Characteristic, limit: Limit) -> Gauged:
    """Look at one measure of a bore."""
    return lambda past, occasion: _measure(past, part.ref, characteristic.key, limit, occasion)


def _measure(past: PastOverhaul, ref: str, key: str, limit: Limit, occasion: Occasion) -> Decimal | None:
    """Work one measure of a bore out from the diameters of one opening."""
    part = past.part(ref)
    characteristic = part.characteristic(key) if part else None
    if part is None or characteristic is None or not characteristic.is_grid:
        return None
    terms = past.terms(part, characteristic, occasion)
    grid = grid_of(characteristic, entries_of(dict(past.entries[occasion]), part, key))
    return measure_mm(limit, grid, terms.base_mm)
