"""What the readings of one characteristic say, against its limits as found or its new range as fitted."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from app.domain import reasons
from app.domain.bore_grid import BoreGrid
from app.domain.bore_so_far import (
    largest_so_far_mm,
    ovality_so_far_mm,
    overall_so_far_mm,
    smallest_so_far_mm,
    taper_so_far_mm,
    wear_so_far_mm,
)
from app.domain.budget import Budget
from app.domain.errors import LimitMissing
from app.domain.joints import along_circumference, joint_words, square_to_cut
from app.domain.judgement import Against, compare, compare_goes, compare_leaves, margin_mm
from app.domain.leaf_advice import ERRORS_COUNT, leaf_advice
from app.domain.limits import Characteristic, Limit, Measure, Rule, Side
from app.domain.measured import Gauging, at_twenty, budget_of, difference_budget, guard_mm, leaf_errors_mm
from app.domain.numbers import figure, sum_of_leaves
from app.domain.readings import Kind, Reading
from app.domain.terms import Terms
from app.domain.verdicts import Judged, Verdict

NOT_PROVEN = "The sheet asks for the guarded rule: without an uncertainty nothing is proven within a limit."
Entries = dict[tuple[str, str], Reading]  # level and axis to the entry that counts there


def judge_characteristic(terms: Terms, entries: Entries) -> tuple[Judged, ...]:
    """Judge everything one characteristic's entries say; places without an entry are named."""
    if not terms.characteristic.is_grid:
        return _judge_levels(terms, entries)
    place = terms.characteristic.key, ""
    return tuple(replace(judged, place=place) for judged in _judge_grid(terms, entries))


def _judge_levels(terms: Terms, entries: Entries) -> tuple[Judged, ...]:
    """Judge each level of a characteristic by itself."""
    judged: list[Judged] = []
    for level, axis in terms.characteristic.places:
        name = f"{terms.characteristic.name}, {level}" if level else terms.characteristic.name
        place = terms.characteristic.key, level
        judged += [replace(one, place=place) for one in _judge_level(terms, name, entries.get((level, axis)))]
    return tuple(judged)


def _judge_level(terms: Terms, name: str, reading: Reading | None) -> list[Judged]:
    """Judge what stands at one level."""
    if reading is None:
        return [Judged(Verdict.NOT_GAUGED, name, "", f"No reading yet: {name.lower()}.")]
    return [_cannot(name, reading)] if reading.kind is Kind.CANNOT else _judge_reading(terms, name, reading)


def _cannot(name: str, reading: Reading) -> Judged:
    """An entry that says why there is no reading."""
    return Judged(
        Verdict.NOT_GAUGED, name, "cannot gauge", f"{name.capitalize()} could not be gauged: {reading.reason}"
    )


def _judge_reading(terms: Terms, name: str, reading: Reading) -> list[Judged]:
    """Judge one reading against every limit; without any limit it is kept for the record."""
    limits = terms.limits_at(reading.place.level)
    if not limits:
        words = f"{name.capitalize()}: {reading.written}. The sheet gives no limit."
        return [Judged(Verdict.REUSE, name, _figure(reading, terms.characteristic), words)]
    judge = _judge_size if reading.kind in (Kind.SIZE, Kind.DIAL) else _judge_leaves
    judged = [judge(terms, name, along_circumference(terms.part, reading), limit) for limit in limits]
    gauged = joint_words(terms.part, reading)
    return [replace(one, reason=f"{one.reason}{gauged}") for one in judged] if gauged else judged


def _judge_size(terms: Terms, name: str, reading: Reading, limit: Limit) -> Judged:
    """Judge one value, at 20 °C and with a guard band where the sheet asks for them."""
    read_mm = reading.size_mm or Decimal(0)
    size_mm = at_twenty(terms.gauging, read_mm, reading.temperature_c).size_mm
    budget = budget_of(terms.gauging, reading, size_mm) if terms.is_guarded else None
    stands = compare(size_mm, limit, guard_mm(terms.sheet, budget))
    whole = reading.value if reading.kind is Kind.SIZE else None
    words = reasons.as_read(whole, terms.characteristic) if whole else reasons.size(read_mm, terms.characteristic)
    if size_mm != read_mm:
        words = f"{words}, at 20 °C {reasons.size(size_mm, terms.characteristic)},"
    reason = reasons.against_limit(words, stands, margin_mm(size_mm, limit), limit, terms.characteristic)
    found = Outcome(stands, margin_mm(size_mm, limit), terms.proves(budget), terms.room(size_mm, limit))
    return _judged(terms, name, _figure(reading, terms.characteristic), reason, limit, found)


def _judge_leaves(terms: Terms, name: str, reading: Reading, limit: Limit) -> Judged:
    """Judge a gap by the leaves that go and do not go; under the guarded rule the leaves' own errors count."""
    goes_mm = reading.goes.mm if reading.goes else Decimal(0)
    not_mm = reading.does_not_go.mm if reading.does_not_go else None
    errors = leaf_errors_mm(terms.gauging, reading)
    low_mm, high_mm = errors or (Decimal(0), Decimal(0))
    stands = (
        compare_goes(goes_mm - low_mm, limit)
        if not_mm is None
        else compare_leaves(goes_mm, not_mm, limit, terms.makeable_mm, (low_mm, high_mm))
    )
    reason = reasons.leaves_against_limit(reading, stands, limit, terms.characteristic)
    end_mm = not_mm if limit.side is Side.UPPER and not_mm is not None else goes_mm
    found = Outcome(stands, None, errors is not None, terms.room(end_mm, limit))
    judged = _judged(terms, name, _figure(reading, terms.characteristic), reason, limit, found)
    if stands is not Against.UNPROVEN or (not_mm is not None and not goes_mm <= limit.size.mm < not_mm):
        return judged
    if terms.sheet.rule is Rule.GUARDED:
        return replace(judged, advice=ERRORS_COUNT)
    return replace(judged, advice=_advice(terms, reading, limit))


def _advice(terms: Terms, reading: Reading, limit: Limit) -> str:
    """Name the leaf that settles a gap, in the thickness that stands on it; a gap stays as it was gauged for that."""
    goes, stops = (leaf and sum_of_leaves(leaf) for leaf in (reading.goes, reading.does_not_go))
    as_gauged = square_to_cut(terms.part, terms.characteristic.key, limit)
    goes_mm = goes.mm if goes else Decimal(0)
    return leaf_advice(goes_mm, stops.mm if stops else None, as_gauged, terms.characteristic, terms.makeable_mm)


@dataclass(frozen=True)
class Outcome:
    """How a comparison came out: how it stands, by what margin, and whether standing within is proven."""

    stands: Against
    margin_mm: Decimal | None
    is_proven: bool = True
    room: Decimal | None = None  # the share of the way from new to the limit that is left

    @property
    def verdict(self) -> Verdict | None:
        """What it comes to; nothing where the limit itself says what follows."""
        if self.stands is Against.FAILS:
            return None
        is_good = self.stands is Against.CONFORMS and self.is_proven
        return Verdict.REUSE if is_good else Verdict.UNDECIDED


def _judged(terms: Terms, name: str, shown: str, reason: str, limit: Limit, found: Outcome) -> Judged:
    """Put a comparison into a verdict with its source; the limit says what follows when it is passed."""
    fails = found.stands is Against.FAILS
    is_value = limit.measure is Measure.VALUE
    if is_value and not terms.characteristic.is_grid and len(terms.characteristic.levels) > 1:
        reason = f"{name.capitalize()}: {reason[0].lower()}{reason[1:]}"
    if found.stands is Against.CONFORMS and not found.is_proven:
        reason = f"{reason} {NOT_PROVEN}"
    return Judged(
        found.verdict or limit.outcome,
        name if is_value else str(limit.measure),
        shown,
        reason,
        source=reasons.cited(terms.sheet, limit.source or terms.characteristic.source),
        renews=limit.renews if fails else "",
        advice=limit.action if fails else "",
        margin_mm=found.margin_mm,
        room=found.room,
    )


def _figure(reading: Reading, characteristic: Characteristic) -> str:
    """Write the deciding number short enough for a tag."""
    write: Callable[[Decimal], str] = lambda mm: figure(mm, characteristic.unit, characteristic.decimals)  # noqa: E731
    if reading.size_mm is not None:
        return write(reading.size_mm)
    goes = f"goes {write(reading.goes.mm)}" if reading.goes else ""
    return f"{goes}, not {write(reading.does_not_go.mm)}" if reading.does_not_go else goes


def grid_of(characteristic: Characteristic, entries: Entries, gauging: Gauging | None = None) -> BoreGrid:
    """Lay the diameters gauged so far out by level and axis; at 20 °C where the gauging asks for it."""
    sizes = {cell: size_mm for cell, reading in entries.items() if (size_mm := reading.size_mm) is not None}
    if gauging is not None:
        sizes = {cell: at_twenty(gauging, mm, entries[cell].temperature_c).size_mm for cell, mm in sizes.items()}
    return BoreGrid(characteristic.levels, characteristic.axes, sizes)


def measure_budget(terms: Terms, limit: Limit, entries: Entries) -> Budget | None:
    """The uncertainty of a bore's measure: of one reading for a size or its wear, of two for a difference."""
    if limit.measure not in (Measure.VALUE, Measure.WEAR):
        return difference_budget(terms.gauging)
    worst = max(entries.values(), key=lambda reading: reading.size_mm or Decimal(0), default=None)
    return budget_of(terms.gauging, worst, worst.size_mm or Decimal(0)) if worst else None


def measure_mm(limit: Limit, grid: BoreGrid, base_mm: Decimal | None) -> Decimal | None:
    """Give what a limit compares, from the diameters gauged so far; a bound on the diameter looks at its own end."""
    match limit.measure:
        case Measure.WEAR:
            if base_mm is None:
                raise LimitMissing("the sheet gives no base size that wear could count from")
            return wear_so_far_mm(grid, base_mm)
        case Measure.OVALITY:
            return ovality_so_far_mm(grid)
        case Measure.TAPER:
            return taper_so_far_mm(grid)
        case Measure.OVERALL:
            return overall_so_far_mm(grid)
        case _:
            return largest_so_far_mm(grid) if limit.side is Side.UPPER else smallest_so_far_mm(grid)


def _judge_grid(terms: Terms, entries: Entries) -> tuple[Judged, ...]:
    """Judge a bore's measures; beyond a limit stays beyond it, within one counts only when every place is gauged."""
    grid = grid_of(terms.characteristic, entries, terms.gauging)
    judged = [
        *(_cannot(f"bore {' '.join(cell)}", r) for cell, r in entries.items() if r.kind is Kind.CANNOT),
        *_missing_cells(grid, entries),
    ]
    for limit in terms.limits:
        budget = measure_budget(terms, limit, entries) if terms.is_guarded else None
        judged += _judge_measure(terms, grid, limit, budget)
    return tuple(judged)


def _missing_cells(grid: BoreGrid, entries: Entries) -> list[Judged]:
    """Name the places of a bore that have no diameter, and no word why not."""
    said = {cell for cell, reading in entries.items() if reading.kind is Kind.CANNOT}
    missing = [" ".join(cell) for cell in grid.missing_cells if cell not in said]
    if not missing:
        return []
    words = f"{len(missing)} of {len(grid.cells)} diameters not gauged yet: {reasons.many(missing)}."
    return [Judged(Verdict.NOT_GAUGED, "diameter", "", words)]


def measures_so_far(terms: Terms, entries: Entries) -> tuple[tuple[Limit, Decimal, Verdict], ...]:
    """Give each measure of a bore as it stands, with the verdict it already carries, for showing while gauging."""
    grid = grid_of(terms.characteristic, entries, terms.gauging)
    found = []
    for limit in terms.limits:
        value = measure_mm(limit, grid, terms.base_mm)
        budget = measure_budget(terms, limit, entries) if terms.is_guarded else None
        stands = compare(value, limit, guard_mm(terms.sheet, budget)) if value is not None else Against.UNPROVEN
        is_asked_for_nothing = limit.outcome is Verdict.UNDECIDED and stands is not Against.FAILS
        if value is not None and not is_asked_for_nothing:
            verdict = Outcome(stands, None, terms.proves(budget)).verdict or limit.outcome
            is_open = not grid.is_complete and stands is not Against.FAILS
            found.append((limit, value, Verdict.NOT_GAUGED if is_open else verdict))
    return tuple(found)


def _judge_measure(terms: Terms, grid: BoreGrid, limit: Limit, budget: Budget | None) -> list[Judged]:
    """Judge one measure of a bore, once it fails or every place is gauged."""
    value = measure_mm(limit, grid, terms.base_mm)
    if value is None:
        return []
    stands = compare(value, limit, guard_mm(terms.sheet, budget))
    if stands is not Against.FAILS and not grid.is_complete:
        return []
    shown = figure(value, terms.characteristic.unit, terms.characteristic.decimals)
    short = {Measure.VALUE: "", Measure.OVERALL: "overall "}.get(limit.measure, f"{limit.measure} ")
    name = terms.characteristic.name if limit.measure is Measure.VALUE else str(limit.measure)
    words = f"{name.capitalize()} {reasons.size(value, terms.characteristic)}"
    margin = margin_mm(value, limit)
    reason = reasons.against_limit(words, stands, margin, limit, terms.characteristic)
    return [
        _judged(
            terms,
            name,
            short + shown,
            reason,
            limit,
            Outcome(stands, margin, terms.proves(budget), terms.room(value, limit)),
        )
    ]
