"""What the record of an overhaul shows: a cover, and one sheet a stage with every entry."""

from dataclasses import dataclass

from app.domain.amended_verdicts import AmendedVerdict, amended_verdicts
from app.domain.findings import find_finding
from app.domain.limits import Characteristic, Part, Side, Stage
from app.domain.overhaul import Decision, Fitting, Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import Kind, Occasion, Place, Reading, superseded
from app.domain.reasons import as_printed
from app.domain.verdicts import Judged
from app.reports.part_tags import stage_layout
from app.reports.section import SectionLayout

BESIDE = {Side.UPPER: "at most", Side.LOWER: "at least"}


@dataclass(frozen=True)
class RecordRow:
    """One place on the record: what was struck through, what stands, as found and as fitted."""

    what: str
    new: str
    limits: tuple[str, ...]
    found: Reading | None
    struck: tuple[Reading, ...]
    fitted: Reading | None
    fitted_struck: tuple[Reading, ...]
    found_notes: tuple[str, ...] = ()  # what amendments say of what stands
    fitted_notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class RecordPart:
    """One part on the record with its rows and its verdict."""

    verdict: PartVerdict
    rows: tuple[RecordRow, ...]
    amended: tuple[AmendedVerdict, ...] = ()  # what the sheet says of it by the amended values

    @property
    def condition(self) -> RecordRow:
        """What was seen by eye."""
        return self.rows[0]

    @property
    def measured(self) -> tuple[RecordRow, ...]:
        """What was gauged."""
        return self.rows[1:]

    @property
    def worked_out(self) -> str:
        """A bore's measures and a pair's clearance in one line, each with its limit."""
        return " ".join(j.reason for j in self.verdict.judged if j.margin_mm is not None and self._is_worked_out(j))

    @property
    def limits_of_worked_out(self) -> tuple[str, ...]:
        """The limits, with their sources, of what is worked out: a bore's measures and the clearances of two parts."""
        worked_out = [each for each in self.verdict.part.characteristics if each.is_grid or each.is_derived]
        return tuple(
            f"{each.name}, {limit.measure} {BESIDE[limit.side]} "
            f"{as_printed(limit.size, each)}{'' if '=' in limit.size.typed else f' {each.unit.value}'}, {limit.source}"
            for each in worked_out
            for limit in each.limits
        )

    def _is_worked_out(self, judged: Judged) -> bool:
        """Whether a judgement is worked out: a bore's measure, or a clearance of two parts."""
        characteristic = self.verdict.part.characteristic(judged.place[0])
        return characteristic is not None and (characteristic.is_grid or characteristic.is_derived)


@dataclass(frozen=True)
class StageSheet:
    """The sheet of one stage."""

    stage: Stage
    layout: SectionLayout
    parts: tuple[RecordPart, ...]
    corrections: tuple[tuple[str, Reading, Reading], ...]
    decisions: tuple[tuple[str, str, Decision], ...]
    fittings: tuple[tuple[str, Fitting], ...]
    looks: tuple[tuple[str, str, tuple[Reading, ...]], ...]  # the place, what several persons read there, and each


def stage_sheets(overhaul: Overhaul) -> tuple[StageSheet, ...]:
    """Lay out the sheet of every stage in the scope."""
    verdicts, amended = judge_overhaul(overhaul), amended_verdicts(overhaul)
    return tuple(_sheet(overhaul, stage, verdicts, amended) for stage in overhaul.stages)


def _sheet(
    overhaul: Overhaul, stage: Stage, verdicts: tuple[PartVerdict, ...], amended: tuple[AmendedVerdict, ...]
) -> StageSheet:
    """Lay out one stage."""
    mine = tuple(verdict for verdict in verdicts if verdict.part.stage == stage.number)
    names = {verdict.part.ref: f"{verdict.part.item} {verdict.part.name}" for verdict in mine}
    names |= {s.ref: s.name for s in overhaul.sets if s.stage == stage.number}
    first = {v.part.ref: v.machine.word for v in mine} | {v.with_set.ref: v.machine.word for v in mine if v.with_set}
    return StageSheet(
        stage,
        stage_layout(overhaul, stage, verdicts, for_record=True),
        tuple(
            RecordPart(v, rows_of(overhaul, v.part), tuple(each for each in amended if each.part.ref == v.part.ref))
            for v in mine
        ),
        _corrections(overhaul, stage),
        tuple((names[d.ref], first.get(d.ref, ""), d) for d in overhaul.decisions if d.ref in names),
        tuple((names[f.ref], f) for f in overhaul.fittings if f.ref in names),
        tuple(look for verdict in mine for look in looks_of(overhaul, verdict.part)),
    )


def looks_of(overhaul: Overhaul, part: Part) -> tuple[tuple[str, str, tuple[Reading, ...]], ...]:
    """Name each place of a part that several persons looked at, what they read and what is judged, with the entries."""
    found = ((o, place, looks) for o in Occasion for place, looks in overhaul.looked_at(o) if place.part == part.ref)
    return tuple(
        (
            f"{part.item} {part.name}, {_what(part.characteristic(place.characteristic), place)}, {occasion}",
            looks.words,
            looks.readings,
        )
        for occasion, place, looks in found
    )


def rows_of(overhaul: Overhaul, part: Part) -> tuple[RecordRow, ...]:
    """Lay out every place of a part."""
    return tuple(_row(overhaul, part, place) for place in part.required)


def _row(overhaul: Overhaul, part: Part, place: Place) -> RecordRow:
    """Lay out one place with all that was ever entered there."""
    characteristic = part.characteristic(place.characteristic)
    struck = superseded(overhaul.readings)
    here = [r for r in overhaul.readings if r.place == place and r.kind is not Kind.TAKEN_BACK]
    by_occasion = {
        occasion: (
            next((r for r in here if r.occasion is occasion and r.id not in struck), None),
            tuple(r for r in here if r.occasion is occasion and r.id in struck),
        )
        for occasion in Occasion
    }
    found, fitted = by_occasion[Occasion.AS_FOUND], by_occasion[Occasion.AS_FITTED]
    return RecordRow(
        _what(characteristic, place), new_words(characteristic), limit_lines(characteristic), *found, *fitted,
        _notes(overhaul, found[0]), _notes(overhaul, fitted[0]),
    )  # fmt: skip


def _notes(overhaul: Overhaul, standing: Reading | None) -> tuple[str, ...]:
    """What the amendments of an entry say, signed or not."""
    return tuple(each.note for each in overhaul.amendments_of(standing.id)) if standing else ()


def _what(characteristic: Characteristic | None, place: Place) -> str:
    """Name the place: closed gap, worst place."""
    name = characteristic.name if characteristic else "condition by eye"
    return ", ".join(word for word in (name, place.level, place.axis) if word)


def new_words(characteristic: Characteristic | None) -> str:
    """Write the range of a new part."""
    if characteristic is None or characteristic.new is None:
        return ""
    ends = [as_printed(size, characteristic) for size in (characteristic.new.lower, characteristic.new.upper)]
    return (" to " if any("=" in end for end in ends) else "–").join(ends)


def limit_lines(characteristic: Characteristic | None) -> tuple[str, ...]:
    """Write each limit with its side; a bore's stand with what is worked out from it."""
    if characteristic is None or characteristic.is_grid:
        return ()
    return tuple(
        f"{BESIDE[limit.side]} {as_printed(limit.size, characteristic)}, {limit.source}"
        for limit in characteristic.limits
    )


def written(reading: Reading, part: Part) -> str:
    """Write a reading for the record: findings in words, sizes as typed, without the unit that the sheet has anyway."""
    if reading.kind is Kind.SEEN:
        words = [finding.words for code in reading.findings if (finding := find_finding(part, code))]
        return ", ".join(words) + (f" ({reading.reason})" if reading.reason else "")
    if reading.kind is Kind.CANNOT:
        return reading.written
    characteristic = part.characteristic(reading.place.characteristic)
    unit = f" {characteristic.unit}" if characteristic else ""
    short = reading.written.replace(f"{unit},", ",").replace(f"{unit} on", " on").removesuffix(unit)
    return short.replace("does not go", "not") + (f" ({reading.reason})" if reading.reason else "")


def _corrections(overhaul: Overhaul, stage: Stage) -> tuple[tuple[str, Reading, Reading], ...]:
    """Pair every struck-through entry of a stage with the one that superseded it."""
    by_id = {reading.id: reading for reading in overhaul.readings}
    pairs = []
    for reading in overhaul.readings:
        part = overhaul.sheet.part(reading.place.part)
        if reading.supersedes in by_id and part is not None and part.stage == stage.number:
            what = _what(part.characteristic(reading.place.characteristic), reading.place)
            pairs.append((f"{part.item} {part.name}, {what}", by_id[reading.supersedes], reading))
    return tuple(pairs)
