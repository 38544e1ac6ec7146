"""One re-judged opening as it is written out: what stands in the JSON, and in the rows of the table."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from app.domain.overhaul_verdicts import renewed_object
from app.domain.part_verdicts import PartVerdict
from app.domain.verdicts import Judged, Verdict, heaviest

VERDICT_COLUMNS = (
    "overhaul", "machine", "hours", "date", "item", "part", "name", "verdict", "renews", "measure", "figure", "reason",
    "source", "advice", "also", "set_reason", "waits_for", "as_fitted", "as_fitted_reason", "refused_lines",
    "superseded_lines",
)  # fmt: skip
REFUSED_COLUMNS = ("line", "what", "overhaul", "part", "characteristic", "column", "typed", "words")


@dataclass(frozen=True)
class SetAside:
    """An entry that does not count, with its line: refused, or superseded by a later one of the same place."""

    line: int
    what: str
    overhaul: str
    part: str
    characteristic: str
    column: str
    typed: str
    words: str


@dataclass(frozen=True)
class RejudgedOpening:
    """One opening of old paper with its verdicts."""

    name: str
    machine: str
    hours: Decimal | None
    day: date | None
    scope: str
    first_line: int
    last_line: int
    reading_count: int
    verdicts: tuple[PartVerdict, ...]
    as_fitted: Mapping[str, tuple[Judged, ...]] = field(default_factory=dict)  # part reference to what was judged
    refused_lines: Mapping[str, Sequence[int]] = field(default_factory=dict)  # part reference, "" where none is known
    superseded_lines: Mapping[str, Sequence[int]] = field(default_factory=dict)

    @property
    def counts(self) -> Counter[Verdict]:
        """How many parts have each verdict."""
        return Counter(verdict.verdict for verdict in self.verdicts)


def counts_in_words(counts: Mapping[Verdict, int]) -> dict[str, int]:
    """Write how many parts have each verdict, every verdict named."""
    return {verdict.word: counts.get(verdict, 0) for verdict in Verdict}


def opening_document(opening: RejudgedOpening) -> dict[str, object]:
    """Give an opening as it stands in the JSON."""
    return {
        "overhaul": opening.name,
        "machine": opening.machine,
        "hours": _hours(opening),
        "date": _day(opening),
        "scope": opening.scope,
        "lines": [opening.first_line, opening.last_line],
        "readings": opening.reading_count,
        "refused_lines": _lines(opening.refused_lines),
        "superseded_lines": _lines(opening.superseded_lines),
        "summary": counts_in_words(opening.counts),
        "parts": [_part_document(opening, verdict) for verdict in opening.verdicts],
    }


def _part_document(opening: RejudgedOpening, verdict: PartVerdict) -> dict[str, object]:
    """Give one part as it stands in the JSON."""
    fitted = opening.as_fitted.get(verdict.part.ref)
    return {
        "item": verdict.part.item,
        "part": verdict.part.ref,
        "name": verdict.part.name,
        "stage": verdict.part.stage,
        "verdict": verdict.verdict.word,
        "renews": renewed_object(verdict),
        "set_reason": verdict.set_reason,
        "waits_for": [part.ref for part in verdict.waits_for],
        "reasons": [_reason(judged) for judged in verdict.reasons],
        "as_fitted": {"verdict": _word(fitted), "reasons": [_reason(judged) for judged in fitted]} if fitted else None,
        "refused_lines": list(opening.refused_lines.get(verdict.part.ref, ())),
        "superseded_lines": list(opening.superseded_lines.get(verdict.part.ref, ())),
    }


def _lines(by_part: Mapping[str, Sequence[int]]) -> list[int]:
    """List the lines of all parts in their order."""
    return sorted(line for lines in by_part.values() for line in lines)


def _reason(judged: Judged) -> dict[str, object]:
    """Give one reason as it stands in the JSON."""
    characteristic, level = judged.place
    return {
        "verdict": judged.verdict.word,
        "characteristic": characteristic,
        "level": level,
        "measure": judged.measure,
        "figure": judged.figure,
        "reason": judged.reason,
        "source": judged.source,
        "advice": judged.advice,
        "renews": judged.renews,
    }


def opening_rows(opening: RejudgedOpening) -> Iterator[tuple[object, ...]]:
    """Give one row a part, in the order of the verdict columns."""
    head = (opening.name, opening.machine, _hours(opening), _day(opening))
    for verdict in opening.verdicts:
        yield (*head, *_part_cells(opening, verdict))


def _part_cells(opening: RejudgedOpening, verdict: PartVerdict) -> tuple[object, ...]:
    """Give what the row of a part says: what decides, and beside it all else that is not good."""
    deciding, part = verdict.deciding, verdict.part
    also = [judged.reason for judged in verdict.reasons if judged is not deciding and judged.verdict != Verdict.REUSE]
    fitted = opening.as_fitted.get(part.ref, ())
    return (
        part.item,
        part.ref,
        part.name,
        verdict.verdict.word,
        renewed_object(verdict),
        deciding.measure,
        deciding.figure,
        deciding.reason,
        deciding.source,
        deciding.advice,
        " ".join(also),
        verdict.set_reason,
        " ".join(mate.ref for mate in verdict.waits_for),
        _word(fitted) if fitted else "",
        " ".join(judged.reason for judged in fitted if judged.verdict is heaviest([one.verdict for one in fitted])),
        " ".join(map(str, opening.refused_lines.get(part.ref, ()))),
        " ".join(map(str, opening.superseded_lines.get(part.ref, ()))),
    )


def _word(judged: tuple[Judged, ...]) -> str:
    """Write the verdict that several together give."""
    return heaviest([one.verdict for one in judged]).word


def _hours(opening: RejudgedOpening) -> str:
    """Write the hours, every digit as they were given."""
    return "" if opening.hours is None else f"{opening.hours:f}"


def _day(opening: RejudgedOpening) -> str:
    """Write the day."""
    return opening.day.isoformat() if opening.day else ""
