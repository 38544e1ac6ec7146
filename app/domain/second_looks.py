"""Second looks: a place gauged again by another person; both readings stand, and a rule says which one is judged.

Where two looks agree, or differ and no third is there yet, the less favourable one is judged. Where they differ and a
third is there, the one in the middle of the three is.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from app.domain.characteristic_verdicts import judge_characteristic
from app.domain.comparison import Ends, Span, apart_mm, ends_mm, expanded_mm, span_of
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet, Part
from app.domain.measured import Gauging
from app.domain.numbers import from_mm_words
from app.domain.readings import Kind, Place, Reading, left
from app.domain.sights import HEAVIEST_FIRST, MOST_OTHERS, Sights
from app.domain.slips import wears_larger
from app.domain.terms import Terms

COMPARED = (Kind.SIZE, Kind.DIAL, Kind.PAIR, Kind.GOES, Kind.SEEN)


@dataclass(frozen=True)
class Looks:
    """The reading at a place and the looks of others at it, each with what it says of the size."""

    gauging: Gauging
    readings: tuple[Reading, ...]  # the first, then those of the others in the order they came
    ends: tuple[Ends, ...]

    @cached_property
    def spans(self) -> tuple[Span, ...]:
        """What each says of the size; how uncertain it is need not be known of two of which one is judged."""
        return tuple(span for reading in self.readings if (span := span_of(self.gauging, reading)) is not None)

    @property
    def off_mm(self) -> Decimal:
        """By how much the first two may differ by their instruments alone."""
        return expanded_mm(*self.spans[:2])

    @property
    def agree(self) -> bool:
        """Whether the first two differ by no more than that."""
        return apart_mm(*self.spans[:2]) <= self.off_mm

    @property
    def asks_third(self) -> bool:
        """Whether the two differ and nobody else has looked yet."""
        return not self.agree and len(self.readings) == MOST_OTHERS

    @property
    def judged(self) -> Reading:
        """The reading that is judged: the middle one of three of which two differ, else the least favourable."""
        if len(self.readings) > MOST_OTHERS and not self.agree:
            in_order = sorted(range(len(self.readings)), key=lambda index: self.spans[index].middle_mm)
            return self.readings[in_order[1]]
        return min(self.readings, key=self._favour)

    def _favour(self, reading: Reading) -> tuple[int, Decimal, Decimal]:
        """Order readings, the least favourable first: by what each would be judged, then by wear; bores by wear."""
        characteristic = self.gauging.characteristic
        is_larger = wears_larger(characteristic)
        middle_mm = Span(*self.ends[self.readings.index(reading)], Decimal(0)).middle_mm
        worn = {True: -middle_mm, False: middle_mm, None: Decimal(0)}[is_larger]
        if characteristic.is_grid:
            return 0, Decimal(0), worn
        alone = replace(characteristic, levels=("",), axes=("",))
        judged = judge_characteristic(
            Terms(self.gauging.sheet, self.gauging.part, alone, alone.limits), {("", ""): reading}
        )
        margins = [one.margin_mm for one in judged if one.margin_mm is not None]
        return min(HEAVIEST_FIRST.index(one.verdict) for one in judged), min(margins, default=Decimal(0)), worn

    def say(self, reading: Reading) -> str:
        """Put one reading into words."""
        return reading.written

    @property
    def words(self) -> str:
        """Who read what, whether they agree, and what is judged."""
        by = "; ".join(f"{reading.measured_by} {self.say(reading)}" for reading in self.readings)
        return f"{by}. {self.outcome}"

    @property
    def outcome(self) -> str:
        """Whether the looks agree, and which one is judged."""
        characteristic = self.gauging.characteristic
        off = f"{from_mm_words(self.off_mm, characteristic.unit, characteristic.decimals + 1)} {characteristic.unit}"
        judged = f"{self.judged.written} is judged"
        if self.agree:
            return f"They agree within {off}; {judged}, the less favourable."
        if self.asks_third:
            return (
                f"They differ by more than {off}: a third look is asked for. Until then {judged}, the less favourable."
            )
        return f"Two differ by more than {off}; {judged}, the middle one of three."


def looks_at(sheet: LimitSheet, part: Part, first: Reading, looks: tuple[Reading, ...]) -> Looks | Sights | None:
    """Collect the looks at an entry; None where nobody else has looked, or where either is nothing to compare."""
    others: dict[str, Reading] = {}
    for look in left(looks):
        is_here = (look.place, look.occasion) == (first.place, first.occasion)
        if is_here and not _is_same_hand(look, first):
            others[look.entered_by] = look
    readings = (first, *list(others.values())[:MOST_OTHERS])
    characteristic = part.characteristic(first.place.characteristic)
    if characteristic is None:
        seen = tuple(reading for reading in readings if reading.kind is Kind.SEEN)
        return Sights(part, seen) if len(readings) == len(seen) > 1 else None
    gauging = Gauging(sheet, part, characteristic)
    ends = tuple(found for reading in readings if (found := ends_mm(gauging, reading)) is not None)
    return Looks(gauging, readings, ends) if len(readings) == len(ends) > 1 else None


def is_unseen(first: Reading | None, seen: str | None, person: str) -> bool:
    """Whether somebody else's entry stands at a place without having been seen: a new one is a look beside it."""
    if first is None or seen is None or seen == first.id or person in people_of(first):
        return False
    return first.kind in COMPARED


def people_of(reading: Reading) -> frozenset[str]:
    """Whoever measured and whoever typed it in."""
    return frozenset({reading.measured_by, reading.entered_by})


def _is_same_hand(one: Reading, other: Reading) -> bool:
    """Whether anybody had a hand in both."""
    hands = one.measured_by, one.entered_by
    return other.measured_by in hands or other.entered_by in hands


def all_looks(
    sheet: LimitSheet, standing: Mapping[Place, Reading], looks: tuple[Reading, ...]
) -> Iterator[tuple[Place, Looks | Sights]]:
    """Walk through the places of one occasion at which others have looked too."""
    by_place: dict[Place, list[Reading]] = {}
    for look in looks:
        by_place.setdefault(look.place, []).append(look)
    for place, here in by_place.items():
        part, first = sheet.part(place.part), standing.get(place)
        found = looks_at(sheet, part, first, tuple(here)) if part and first else None
        if found is not None:
            yield place, found


def _is_alike(first: Reading, look: Reading) -> bool:
    """Whether two entries can be compared: two sizes, or what was seen twice."""
    return first.kind in COMPARED and look.kind in COMPARED and (first.kind is Kind.SEEN) is (look.kind is Kind.SEEN)


def check_look(sheet: LimitSheet, part: Part, first: Reading | None, look: Reading, looks: tuple[Reading, ...]) -> str:
    """Give the earlier look of the same person that a new one supersedes, if any; InputRefused where none is wanted."""
    if first is None or not _is_alike(first, look):
        raise InputRefused({"kind": "There is nothing here yet to take a second look at."})
    if people_of(look) & people_of(first):
        raise InputRefused({"kind": f"A second look is another person's than {first.measured_by}'s."})
    before = tuple(one for one in left(looks) if (one.place, one.occasion) == (look.place, look.occasion))
    mine = [one for one in before if one.entered_by == look.entered_by]
    found = looks_at(sheet, part, first, before)
    if found is not None and not mine and not found.asks_third:
        raise InputRefused({"kind": f"No further look is asked for. {found.outcome}"})
    if not mine and any(people_of(one) & people_of(look) for one in before):
        raise InputRefused({"kind": "A third look is another person's than the second."})
    return mine[-1].id if mine else ""
