"""One stage of the record as a document: every entry with unit, instrument and person, and what was done about it."""

from collections.abc import Callable
from datetime import datetime

from app.domain.corrections import why_corrected
from app.domain.limits import Part
from app.domain.overhaul import Decision
from app.domain.people import initials_of
from app.domain.readings import Kind, Reading
from app.reports.drawings import section_svg
from app.reports.record_sheets import RecordPart, RecordRow, StageSheet, written

Moment = Callable[[datetime], str]
Document = dict[str, object]


def stage_document(sheet: StageSheet, write: Moment, is_from_paper: bool = False) -> Document:
    """Lay one stage out."""
    stage = sheet.stage
    label = f"Stage {stage.number} in section, lined by verdict: " + "; ".join(
        f"{part.verdict.part.item} {part.verdict.part.name} {part.verdict.verdict.word}" for part in sheet.parts
    )
    return {
        "title": f"Stage {stage.number}",
        "note": f"bore {stage.bore.typed}" + (f", stroke {stage.stroke.typed}" if stage.stroke else ""),
        "section": {"svg": section_svg(sheet.layout, label), "alt": label},
        "parts": [_part(part, write, is_from_paper) for part in sheet.parts],
        "decisions": [
            [name, first, decision.verdict.word, _reason(decision), f"{decision.person}, {write(decision.at)}"]
            for name, first, decision in sheet.decisions
        ],
        "corrections": [_correction(what, old, new, write) for what, old, new in sheet.corrections],
        "looks": [[what, said, "; ".join(_by(each, write) for each in read)] for what, said, read in sheet.looks],
        "fittings": [
            [name, f.number, f.batch, f.made_to.typed if f.made_to else "", f"{f.person}, {write(f.at)}"]
            for name, f in sheet.fittings
        ],
    }


def _part(part: RecordPart, write: Moment, is_from_paper: bool) -> Document:
    """One part: its verdict and why, what was seen, and every place gauged."""
    verdict = part.verdict
    by = f"Done so by the paper; the sheet: {verdict.machine.word}." if is_from_paper else ""
    decided = f" {by or f'Decided by {verdict.decision.person}.'}" if verdict.decision else ""
    return {
        "name": f"{verdict.part.item} {verdict.part.name}",
        "word": verdict.verdict.word,
        "renews": verdict.renews,
        "reason": (verdict.set_reason or verdict.deciding.reason) + decided,
        "amended": [{"words": each.words, "differs": each.differs, "reason": each.reason} for each in part.amended],
        "rows": [_row(row, verdict.part, write) for row in (part.condition, *part.measured)],
        "worked_out": part.worked_out,
        "limits": list(part.limits_of_worked_out),
    }


def _row(row: RecordRow, part: Part, write: Moment) -> Document:
    """One place with every entry ever made there, those superseded marked as such."""
    entries = [*row.struck, row.found, *row.fitted_struck, row.fitted]
    return {
        "what": row.what,
        "new": row.new,
        "limits": list(row.limits),
        "found": _entries(row.struck, row.found, part, row.found_notes),
        "fitted": _entries(row.fitted_struck, row.fitted, part, row.fitted_notes),
        "by": [_by(each, write) for each in entries if each is not None] or ["no entry"],
    }


def _entries(
    struck: tuple[Reading, ...], standing: Reading | None, part: Part, notes: tuple[str, ...]
) -> list[Document]:
    """The entries of one occasion, the one that was signed last, and what amendments say of it."""
    entries = [(each, True) for each in struck] + ([(standing, False)] if standing else [])
    told = [{"words": _words(each, part), "is_struck": is_struck} for each, is_struck in entries]
    return [*told, *({"words": note, "is_struck": False} for note in notes)]


def _words(reading: Reading, part: Part) -> str:
    """A reading in words: what was seen as it is called, a size as typed with its unit."""
    return written(reading, part) if reading.kind is Kind.SEEN else reading.written


def _by(reading: Reading, write: Moment) -> str:
    """With what, at which temperature, by whom and when."""
    warm = f", {reading.temperature_c} °C" if reading.temperature_c is not None else ""
    typed = "" if reading.measured_by == reading.entered_by else f" (typed in by {initials_of(reading.entered_by)})"
    who = f"{initials_of(reading.measured_by)}{typed} {write(reading.measured_at)}"
    return f"{reading.occasion}: {reading.instrument or 'by eye'}{warm}; {who}"


def _reason(decision: Decision) -> str:
    """The reason of a decision, with its concession."""
    if decision.concession is None:
        return decision.reason
    end = decision.concession
    return f"{decision.reason} Concession until {end.words}; second signature {end.second_person}."


def _correction(what: str, old: Reading, new: Reading, write: Moment) -> list[str]:
    """What an entry was and is, why, and who changed it when."""
    return [what, old.written, new.written, why_corrected(new), f"{initials_of(new.entered_by)} {write(new.stored_at)}"]
