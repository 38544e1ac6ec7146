"""The overhauls of a machine with their verdicts; a closed one is judged once and kept in mind."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from app.domain.amending import standing_amended
from app.domain.joints import along_circumference
from app.domain.limits import Characteristic, Part
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul, renewed_object
from app.domain.part_verdicts import PartVerdict, terms_of
from app.domain.phases import phase_of
from app.domain.readings import Occasion, Place, Reading, superseded, taken_back
from app.domain.terms import Terms
from app.domain.verdicts import Verdict, heaviest
from app.store.amendments import marks_of_amendments
from app.store.book import Book
from app.store.overhaul_reading import read_overhaul
from app.store.overhauls import OverhaulSummary, get_overhaul, list_overhauls
from app.store.recent import Recent

MOST_READINGS = 20_000  # of those kept in mind
JUDGED = "closed overhauls, judged"  # as the memory of a book holds them


@dataclass(frozen=True)
class PastOverhaul:
    """One overhaul, judged: its verdicts by part as signed, and the entries that count by place, as amended."""

    overhaul: Overhaul
    phase: Phase
    verdicts: Mapping[str, PartVerdict]
    entries: Mapping[Occasion, Mapping[Place, Reading]]
    struck: frozenset[str]
    judged_entries: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)  # kept once worked out

    @property
    def heaviest(self) -> Verdict:
        """The verdict that outweighs all others of this overhaul."""
        return heaviest([verdict.verdict for verdict in self.verdicts.values()])

    @property
    def heaviest_count(self) -> int:
        """How many parts have the heaviest verdict."""
        return sum(verdict.verdict is self.heaviest for verdict in self.verdicts.values())

    @property
    def is_decided(self) -> bool:
        """Whether the chief engineer has signed the decisions, or it came in from paper, as it was done."""
        return self.overhaul.is_from_paper or self.overhaul.signature(Meaning.DECIDED) is not None

    def part(self, ref: str) -> Part | None:
        """Find a part as this overhaul's own sheet has it, if the opening covered it."""
        verdict = self.verdicts.get(ref)
        return verdict.part if verdict else None

    def entry(self, occasion: Occasion, place: Place) -> Reading | None:
        """The entry that counts at a place, as it is judged: a gap along the circumference."""
        reading = self.entries[occasion].get(place)
        return along_circumference(self.part(place.part), reading) if reading else None

    def terms(self, part: Part, characteristic: Characteristic, occasion: Occasion) -> Terms:
        """What a characteristic was judged by here: wear limits as found, the new range where a new part went in."""
        return terms_of(self.overhaul, part, characteristic, occasion, renewed_object(self.verdicts[part.ref]))

    def new_life(self, ref: str) -> str:
        """Say how a part's next life begins here, nothing where the part simply stays in."""
        verdict = self.verdicts.get(ref)
        if self.overhaul.is_from_paper and verdict and verdict.decision is None:
            return ""  # the paper does not say what was done with it
        if verdict is None or not self.is_decided or verdict.verdict not in (Verdict.RENEW, Verdict.REWORK):
            return ""
        if verdict.verdict is Verdict.REWORK:
            return "reworked"
        return "set renewed" if verdict.with_set and not self.overhaul.is_from_paper else "renewed"


def past_overhauls(book: Book, machine_id: int, stage: int | None = None) -> tuple[PastOverhaul, ...]:
    """Every overhaul of a machine, the oldest first, the open one too; where a stage is named, at least its parts."""
    with book.reading() as session:
        summaries = list_overhauls(session, machine_id)
        amended = marks_of_amendments(session, machine_id)
    return tuple(_judged(book, summary, amended.get(summary.id, ()), stage) for summary in reversed(summaries))


def so_far(past: Sequence[PastOverhaul], overhaul: Overhaul) -> list[PastOverhaul]:
    """Give the overhauls up to and with one, by the day they were done."""
    here = next((place for place, each in enumerate(past) if each.overhaul.id == overhaul.id), len(past) - 1)
    return list(past[: here + 1])


def _recent() -> Recent[tuple[object, ...], PastOverhaul]:
    """Hold the closed overhauls of a book that were judged last, whole or one stage of them."""
    return Recent(MOST_READINGS, lambda past: len(past.overhaul.readings))


def _judged(book: Book, summary: OverhaulSummary, amended: tuple[str, ...], stage: int | None) -> PastOverhaul:
    """Judge an overhaul; a closed one is known by the digests that were signed, and only amendments are added."""
    if summary.is_open:
        with book.reading() as session:
            return _judge(get_overhaul(session, summary.id))
    judged: Recent[tuple[object, ...], PastOverhaul] = book.memory.setdefault(JUDGED, _recent())
    known_by = (summary.id, *(signature.digest for signature in summary.signatures), *amended)
    key = next((key for each in (None, stage) if judged.get(key := (each, *known_by))), (stage, *known_by))
    found = judged.get(key)
    if found is None:
        with book.reading() as session:
            found = _judge(read_overhaul(session, summary.id, stage))
    judged.hold(key, found)
    return found


def _judge(overhaul: Overhaul) -> PastOverhaul:
    """Judge an overhaul."""
    return PastOverhaul(
        overhaul,
        phase_of(overhaul),
        {verdict.part.ref: verdict for verdict in judge_overhaul(overhaul)},
        {occasion: standing_amended(overhaul, occasion) for occasion in Occasion},
        superseded(overhaul.readings) | taken_back(overhaul.looks),
    )
