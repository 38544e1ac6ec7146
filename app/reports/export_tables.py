"""An export as tables: what was measured, judged, decided, done and signed, one row each."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from app.domain.amended_verdicts import amended_verdicts, verdicts_by
from app.domain.approvals import NOT_APPROVED
from app.domain.canonical import moment_text
from app.domain.findings import find_finding
from app.domain.overhaul import Concession, Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.readings import Kind, Reading, left, superseded, taken_back
from app.domain.steps import steps_of

Cell = str | int | Decimal | None
Row = tuple[Cell, ...]

OPENING = ("machine", "serial", "overhaul", "operating_hours", "from_paper")
COLUMNS: dict[str, tuple[str, ...]] = {
    "readings": (
        *OPENING, "stage", "item", "part", "characteristic", "level", "axis", "occasion", "kind", "as_written",
        "size_mm", "goes_mm", "does_not_go_mm", "instrument", "temperature_c", "measured_by", "entered_by",
        "measured_at_utc", "stored_at_utc", "is_superseded", "supersedes", "is_second_look", "reason", "correction",
        "amended_to", "id",
    ),
    "verdicts": (
        *OPENING, "item", "part", "verdict", "first_verdict", "renews", "reason", "source", "by_amended_values",
    ),
    "decisions": (
        *OPENING, "ref", "verdict", "renews", "reason", "person", "at_utc", "concession_until", "second_signature",
    ),
    "steps": (*OPENING, "phase", "step", "value", "person", "at_utc"),
    "fittings": (*OPENING, "ref", "number", "batch", "made_to", "person", "at_utc"),
    "amendments": (
        *OPENING, "part", "reading", "what", "old", "new", "reason", "proposed_by", "proposed_at_utc", "standing",
        "verdicts", "answered_by", "answered_at_utc", "sha256",
    ),
    "signatures": (*OPENING, "meaning", "person", "at_utc", "sha256"),
}  # fmt: skip


def table_rows(name: str, overhauls: Iterable[Overhaul]) -> Iterator[Row]:
    """Give the rows of one table for every overhaul."""
    return (row for overhaul in overhauls for row in ROWS[name](overhaul))


def _opening(overhaul: Overhaul) -> Row:
    """Which opening a row belongs to."""
    machine, origin = overhaul.machine, f"{overhaul.origin}: {overhaul.paper}" if overhaul.is_from_paper else ""
    return machine.tag, machine.serial, overhaul.number, overhaul.hours, origin


def _readings(overhaul: Overhaul) -> Iterator[Row]:
    """Every entry ever made, superseded ones and second looks too."""
    looks = {look.supersedes for look in left(overhaul.looks)} | taken_back(overhaul.looks)
    struck = superseded(overhaul.readings) | looks
    for reading in (*overhaul.readings, *overhaul.looks):
        lengths = [each.mm if each else None for each in (reading.goes, reading.does_not_go)]
        moments = moment_text(reading.measured_at), moment_text(reading.stored_at)
        yield (
            *_opening(overhaul), *_place(overhaul, reading), reading.occasion.value, reading.kind.value,
            _written(overhaul, reading), reading.size_mm, *lengths, reading.instrument, reading.temperature_c,
            reading.measured_by, reading.entered_by, *moments, "yes" if reading.id in struck else "no",
            reading.supersedes, "yes" if reading.is_second_look else "no", reading.reason,
            reading.correction, "; ".join(each.new for each in overhaul.amendments_of(reading.id) if each.is_signed),
            reading.id,
        )  # fmt: skip


def _place(overhaul: Overhaul, reading: Reading) -> Row:
    """Where a reading belongs, by the names of the sheet."""
    place, part = reading.place, overhaul.sheet.part(reading.place.part)
    characteristic = part.characteristic(place.characteristic) if part else None
    what = characteristic.name if characteristic else "condition by eye"
    if part is None:
        return None, place.part, "", place.characteristic, place.level, place.axis
    return part.stage, part.item, part.name, what, place.level, place.axis


def _written(overhaul: Overhaul, reading: Reading) -> str:
    """A reading as the record writes it."""
    part = overhaul.sheet.part(reading.place.part)
    if reading.kind is not Kind.SEEN or part is None:
        return reading.written
    found = [find_finding(part, code) for code in reading.findings]
    return ", ".join(each.words if each else code for each, code in zip(found, reading.findings, strict=True))


def _verdicts(overhaul: Overhaul) -> Iterator[Row]:
    """The verdict of every part with what decides it."""
    amended = amended_verdicts(overhaul)
    for verdict in judge_overhaul(overhaul):
        deciding = verdict.deciding
        reason = verdict.set_reason or deciding.reason
        words = verdict.verdict.word, verdict.machine.word
        again = "; ".join(each.words for each in amended if each.part.ref == verdict.part.ref)
        yield (
            *_opening(overhaul), verdict.part.item, verdict.part.name, *words, verdict.renews, reason, deciding.source,
            again,
        )  # fmt: skip


def _decisions(overhaul: Overhaul) -> Iterator[Row]:
    """Every decision, with its concession."""
    for one in overhaul.decisions:
        end = one.concession
        granted = (_end(end), end.second_person) if end else ("", "")
        by = one.person, moment_text(one.at)
        yield *_opening(overhaul), one.ref, one.verdict.word, one.renews, one.reason, *by, *granted


def _end(concession: Concession) -> str:
    """The end of a concession, its day as files have days."""
    hours, day = concession.until_hours, concession.until_date
    return " or ".join([*([f"{hours} h"] if hours is not None else []), *([day.isoformat()] if day else [])])


def _steps(overhaul: Overhaul) -> Iterator[Row]:
    """Every step confirmed, with its value."""
    for one in overhaul.confirmations:
        words = {step.key: step.words for step in steps_of(overhaul, one.phase)}
        yield (
            *_opening(overhaul),
            one.phase.value,
            words.get(one.step, one.step),
            one.value,
            one.person,
            moment_text(one.at),
        )


def _fittings(overhaul: Overhaul) -> Iterator[Row]:
    """Every part that went in, and every size made."""
    for one in overhaul.fittings:
        made = f"{one.made_to.typed} {one.made_to.unit}" if one.made_to else ""
        yield *_opening(overhaul), one.ref, one.number, one.batch, made, one.person, moment_text(one.at)


def _amendments(overhaul: Overhaul) -> Iterator[Row]:
    """Every amendment, with its answer where it has one."""
    for one in overhaul.amendments:
        told = one.part, one.reading, one.what, one.old, one.new, one.reason, one.person, moment_text(one.at)
        given = one.answer
        answer = (given.person, moment_text(given.at), given.digest) if given else ("", "", "")
        yield (
            *_opening(overhaul),
            *told,
            one.standing,
            "; ".join(each.named for each in verdicts_by(overhaul, one)),
            *answer,
        )


def _signatures(overhaul: Overhaul) -> Iterator[Row]:
    """Every signature with the digest of what was signed, every witness, and who approved the limits if anybody."""
    for each in overhaul.approvals:
        meaning = f"limits approved: {overhaul.sheet.title}"
        yield *_opening(overhaul), meaning, each.person, moment_text(each.at), each.digest
    if not overhaul.approvals:
        yield *_opening(overhaul), f"{NOT_APPROVED}: {overhaul.sheet.title}", "", "", ""
    for one in overhaul.signatures:
        yield *_opening(overhaul), one.meaning.value, one.person, moment_text(one.at), one.digest
    for seen in overhaul.witnesses:
        by = f"{seen.name}, {seen.body}; entered by {seen.person}"
        yield *_opening(overhaul), f"witnessed: {seen.meaning}", by, moment_text(seen.at), seen.digest


ROWS = {
    "readings": _readings,
    "verdicts": _verdicts,
    "decisions": _decisions,
    "steps": _steps,
    "fittings": _fittings,
    "amendments": _amendments,
    "signatures": _signatures,
}
