"""The overhauls of a machine with their verdicts; a closed one is judged once and kept in mind."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from app.domain.amending import standing_amended
from app.domain.joints import along_circumference
from app.domain.limits import Characteristic, Part
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul, renewed_object, resting_on
from app.domain.part_verdicts import PartVerdict, terms_of
from app.domain.phases import phase_of
from app.domain.readings import Occasion, Place, Reading, superseded, taken_back
from app.domain.terms import Terms
from app.domain.verdicts import Verdict, heaviest
from app.store.amendments import marks_of_amendments
from app.store.book import Book
from app.store.overhaul_reading import read_overhauls
from app.store.overhauls import OverhaulSummary, get_overhaul, list_overhauls
from app.store.recent import Recent

MOST_READINGS = 20_000  # of those kept in mind
JUDGED = "closed overhauls, judged"  # as the memory of a book holds them
Key = tuple[object, ...]


class Verdicts(Mapping[str, PartVerdict]):
    """The verdicts of an overhaul by part, each worked out once it is asked for, with those that it rests on."""

    def __init__(self, overhaul: Overhaul) -> None:
        self._overhaul = overhaul
        self._refs = tuple(part.ref for part in overhaul.parts)
        self._known: dict[str, PartVerdict] = {}

    def __getitem__(self, ref: str) -> PartVerdict:
        """Give the verdict of a part; KeyError where the overhaul did not cover it."""
        if ref not in self._known and ref in self._refs:
            judged = judge_overhaul(self._overhaul, among=resting_on(self._overhaul, ref))
            self._known |= {verdict.part.ref: verdict for verdict in judged}
        return self._known[ref]

    def __iter__(self) -> Iterator[str]:
        """Go through the parts in the order of the sheet."""
        return iter(self._refs)

    def __len__(self) -> int:
        """How many parts it covered."""
        return len(self._refs)


@dataclass(frozen=True)
class PastOverhaul:
    """One overhaul, judged: its verdicts by part as signed, and the entries that count by place, as amended."""

    overhaul: Overhaul
    phase: Phase
    verdicts: Mapping[str, PartVerdict]
    entries: Mapping[Occasion, Mapping[Place, Reading]]
    struck: frozenset[str]
    judged_entries: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)  # kept once worked out

    @cached_property
    def heaviest(self) -> Verdict:
        """The verdict that outweighs all others of this overhaul."""
        return heaviest([verdict.verdict for verdict in self.verdicts.values()])

    @cached_property
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


def past_overhauls(
    book: Book, machine_id: int, stage: int | None = None, newest_first: Sequence[OverhaulSummary] | None = None
) -> tuple[PastOverhaul, ...]:
    """Every overhaul of a machine, the oldest first, the open one too; where a stage is named, at least its parts.

    Whoever has listed the overhauls already gives them.
    """
    with book.reading() as session:
        listed = list_overhauls(session, machine_id) if newest_first is None else newest_first
        summaries = tuple(reversed(listed))
        amended = marks_of_amendments(session, machine_id)
        judged: Recent[Key, PastOverhaul] = book.memory.setdefault(JUDGED, _recent())
        held = {each.id: _held(judged, _known_by(each, amended), stage) for each in summaries if not each.is_open}
        missing = [number for number, (_, past) in held.items() if past is None]
        read = {each.id: each for each in read_overhauls(session, missing, stage)}
        read |= {each.id: get_overhaul(session, each.id) for each in summaries if each.is_open}
    anew = {number: _judge(overhaul, is_whole=stage is None) for number, overhaul in read.items()}
    for number, (key, past) in held.items():
        judged.hold(key, past or anew[number])
    known = {number: past for number, (_, past) in held.items() if past is not None}
    return tuple((known | anew)[each.id] for each in summaries)


def so_far(past: Sequence[PastOverhaul], overhaul: Overhaul) -> list[PastOverhaul]:
    """Give the overhauls up to and with one, by the day they were done."""
    here = next((place for place, each in enumerate(past) if each.overhaul.id == overhaul.id), len(past) - 1)
    return list(past[: here + 1])


def _recent() -> Recent[Key, PastOverhaul]:
    """Hold the closed overhauls of a book that were judged last, whole or one stage of them."""
    return Recent(MOST_READINGS, lambda past: len(past.overhaul.readings))


def _known_by(summary: OverhaulSummary, amended: dict[int, tuple[str, ...]]) -> Key:
    """Name a closed overhaul by the digests that were signed, beside which only amendments are added."""
    return summary.id, *(signature.digest for signature in summary.signatures), *amended.get(summary.id, ())


def _held(judged: Recent[Key, PastOverhaul], known_by: Key, stage: int | None) -> tuple[Key, PastOverhaul | None]:
    """Give what is held of an overhaul, whole or of the stage, and its key; else nothing, and the key it will have."""
    for key in ((None, *known_by), (stage, *known_by)):
        if (past := judged.get(key)) is not None:
            break
    return key, past


def _judge(overhaul: Overhaul, *, is_whole: bool) -> PastOverhaul:
    """Judge an overhaul, whole or each part once it is asked for."""
    whole = {verdict.part.ref: verdict for verdict in judge_overhaul(overhaul)} if is_whole else None
    return PastOverhaul(
        overhaul,
        phase_of(overhaul),
        Verdicts(overhaul) if whole is None else whole,
        {occasion: standing_amended(overhaul, occasion) for occasion in Occasion},
        superseded(overhaul.readings) | taken_back(overhaul.looks),
    )
