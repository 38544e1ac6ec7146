"""Hold points of boxing up: every rework gauged again, every renewed part entered and as new, mates judged again."""

from dataclasses import dataclass

from app.domain.errors import NotYet
from app.domain.limits import Part
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul, renewed_object
from app.domain.part_verdicts import PartVerdict, judge_as_fitted
from app.domain.reasons import many
from app.domain.verdicts import Judged, Verdict, heaviest


@dataclass(frozen=True)
class FittedWork:
    """What a part needs before the stage is closed, and how its as-fitted entries are judged."""

    found: PartVerdict
    renewed: str  # the object that is renewed, nothing where the part is reworked or kept
    judged: tuple[Judged, ...]
    is_entered: bool  # the new part's number is recorded, or the size that a rework made
    after: tuple[Part, ...] = ()  # parts whose rework comes first and is not gauged again and good yet

    @property
    def part(self) -> Part:
        """The part."""
        return self.found.part

    @property
    def is_renewed(self) -> bool:
        """Whether something new goes in."""
        return bool(self.renewed)

    @property
    def verdict(self) -> Verdict:
        """The verdict on the part as fitted."""
        return heaviest([judged.verdict for judged in self.judged])

    @property
    def hold(self) -> str:
        """What still holds this part open, nothing when it may be closed over."""
        if self.after:
            return order_words(self.part, self.after)
        if self.is_renewed and not self.is_entered:
            return f"{self.part.item} {self.part.name}: the new part is not entered"
        if self.verdict is not Verdict.REUSE:
            return f"{self.part.item} {self.part.name}: as fitted {self.verdict.word}"
        return ""


def needs_fitting(verdict: PartVerdict) -> bool:
    """Whether a part is worked on, or waits for a mate that is; no decision takes that hold away."""
    return verdict.verdict in (Verdict.REWORK, Verdict.RENEW) or bool(verdict.waits_for)


def fitted_work(overhaul: Overhaul) -> tuple[FittedWork, ...]:
    """List every part that must be gauged again before the machine is closed, with its as-fitted verdict."""
    return tuple(work_on(overhaul, verdict) for verdict in judge_overhaul(overhaul) if needs_fitting(verdict))


def order_words(part: Part, after: tuple[Part, ...]) -> str:
    """Say whose rework comes before a part is fitted."""
    first = many([f"{each.item} {each.name}" for each in after])
    return f"{part.item} {part.name}: not fitted before {first} is reworked, gauged again and good"


def still_before(overhaul: Overhaul, verdict: PartVerdict) -> tuple[Part, ...]:
    """The parts whose rework comes before this one is fitted, and is not gauged again and good yet."""
    return tuple(part for part in verdict.comes_after if not _is_good_again(overhaul, part))


def _is_good_again(overhaul: Overhaul, part: Part) -> bool:
    """Whether a rework is good by the part's own readings; its clearances also wait for what is fitted after it."""
    clearances = {each.key for each in part.characteristics if each.is_derived}
    own = [one.verdict for one in judge_as_fitted(overhaul, part, "") if one.place[0] not in clearances]
    return heaviest(own) is Verdict.REUSE


def require_order(overhaul: Overhaul, ref: str) -> None:
    """Refuse to fit a part, or a set with it, before the rework that comes first is gauged again and good."""
    for verdict in judge_overhaul(overhaul):
        after = still_before(overhaul, verdict) if ref in (verdict.part.ref, verdict.decided_ref) else ()
        if after:
            raise NotYet(f"{order_words(verdict.part, after)}.")


def work_on(overhaul: Overhaul, verdict: PartVerdict) -> FittedWork:
    """Judge one part as fitted."""
    renewed = renewed_object(verdict)
    fitting = overhaul.fitting(verdict.decided_ref)
    is_entered = fitting is not None and bool(fitting.number if renewed else fitting.made_to)
    judged = judge_as_fitted(overhaul, verdict.part, renewed)
    return FittedWork(verdict, renewed, judged, is_entered, still_before(overhaul, verdict))


def box_up_holds(overhaul: Overhaul) -> tuple[str, ...]:
    """Name every part that holds the machine open: what was worked on, and what is fitted only after that."""
    work = tuple(one.hold for one in fitted_work(overhaul) if one.hold)
    sound = [(v.part, still_before(overhaul, v)) for v in judge_overhaul(overhaul) if not needs_fitting(v)]
    return (*work, *(order_words(part, after) for part, after in sound if after))
