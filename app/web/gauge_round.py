"""A round of gauging: as found over every part in the scope, or as fitted over every part that was worked on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from app.domain.entries import with_entry
from app.domain.errors import NotThere
from app.domain.holds import FittedWork, fitted_work, work_on
from app.domain.limits import Part
from app.domain.overhaul import Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul, untouched_by
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import Occasion, Place, Reading

ENTERED_IN = {Occasion.AS_FOUND: (Phase.GAUGE, Phase.DECIDE), Occasion.AS_FITTED: (Phase.BOX_UP,)}


@dataclass(frozen=True)
class Round:
    """The parts of one round in order, what has been entered, and the verdict on each."""

    overhaul: Overhaul
    occasion: Occasion
    work: tuple[FittedWork, ...] = ()

    @cached_property
    def verdicts(self) -> tuple[PartVerdict, ...]:
        """The verdict on each part; where only the next place is looked for, nobody asks."""
        if self.occasion is Occasion.AS_FOUND:
            return judge_overhaul(self.overhaul)
        return tuple(_fitted(one) for one in self.work)

    @property
    def base(self) -> str:
        """The part of the address that names the round."""
        return "gauge" if self.occasion is Occasion.AS_FOUND else "fit"

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts of this round."""
        if self.occasion is Occasion.AS_FOUND:
            return self.overhaul.parts
        return tuple(one.part for one in self.work)

    def part(self, ref: str) -> Part:
        """One part; NotThere when it is not of this round."""
        found = next((part for part in self.parts if part.ref == ref), None)
        if found is None:
            raise NotThere("This part is not gauged in this round.")
        return found

    def verdict(self, ref: str) -> PartVerdict:
        """The verdict on one part; NotThere when it is not of this round."""
        part = self.part(ref)
        return next(verdict for verdict in self.verdicts if verdict.part.ref == part.ref)

    def renewed(self, ref: str) -> str:
        """What is new of a part of this round and judged by its new range, nothing where it was kept."""
        return next((one.renewed for one in self.work if one.part.ref == ref), "")

    def held(self, ref: str) -> str:
        """Say what a part of this round waits for in the order of the work, nothing where it may be fitted."""
        return next((one.hold for one in self.work if one.part.ref == ref and one.after), "")

    @cached_property
    def differing(self) -> tuple[Place, ...]:
        """The places at which two differ and a third look is asked for."""
        return self.overhaul.differing(self.occasion)

    def entry(self, place: Place) -> Reading | None:
        """The entry that counts at a place."""
        return self.overhaul.standing(self.occasion).get(place)

    def missing(self) -> Iterator[Place]:
        """The places without an entry, part by part."""
        for part in self.parts:
            yield from self._missing_of(part)

    def next_place(self, after: Part | None = None, besides: Place | None = None) -> Place | None:
        """The next place to gauge."""
        return next(self._left(after, besides), None)

    def places_left(self, after: Part | None = None, besides: Place | None = None) -> list[Place]:
        """The places without an entry: first what is left of this part, then the parts after it, then those before."""
        return list(self._left(after, besides))

    def _left(self, after: Part | None, besides: Place | None) -> Iterator[Place]:
        """The places without an entry, going round from a part, found one by one as they are asked for."""
        if self.occasion is Occasion.AS_FOUND and not self.overhaul.missing:
            return
        here = next((at for at, part in enumerate(self.parts) if after is not None and part.ref == after.ref), 0)
        for part in (*self.parts[here:], *self.parts[:here]):
            yield from (place for place in self._missing_of(part) if place != besides)

    def _missing_of(self, part: Part) -> Iterator[Place]:
        """The places of a part without an entry."""
        entered = self.overhaul.standing(self.occasion)
        return (place for place in part.required if place not in entered)

    def would_be(self, ref: str) -> Callable[[Reading], PartVerdict]:
        """A part's verdict with one more entry on it, asked many times over; what stays is judged once."""
        if self.occasion is Occasion.AS_FITTED:
            found = next(one.found for one in self.work if one.part.ref == ref)
            return lambda reading: _fitted(work_on(with_entry(self.overhaul, reading), found))
        known = untouched_by(self.overhaul, ref)
        return lambda reading: next(
            verdict for verdict in judge_overhaul(with_entry(self.overhaul, reading), known) if verdict.part.ref == ref
        )


def begin_round(overhaul: Overhaul, occasion: Occasion) -> Round:
    """Gather a round of gauging."""
    if occasion is Occasion.AS_FOUND:
        return Round(overhaul, occasion)
    work = tuple(sorted(fitted_work(overhaul), key=lambda one: bool(one.after)))  # what is held comes last
    return Round(overhaul, occasion, work)


def _fitted(work: FittedWork) -> PartVerdict:
    """Show a part by its verdict as fitted."""
    return replace(work.found, judged=work.judged, own=work.verdict, machine=work.verdict, with_set=None,
                   set_reason="", waits_for=(), decision=None)  # fmt: skip
