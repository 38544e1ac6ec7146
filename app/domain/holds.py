"""Hold points of boxing up: every rework gauged again, every renewed part entered and as new, mates judged again."""

from dataclasses import dataclass

from app.domain.limits import Part
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict, judge_as_fitted
from app.domain.verdicts import Judged, Verdict, heaviest


@dataclass(frozen=True)
class FittedWork:
    """What a part needs before the stage is closed, and how its as-fitted entries are judged."""

    found: PartVerdict
    is_renewed: bool
    judged: tuple[Judged, ...]
    is_entered: bool  # the new part's number is recorded, or the size that a rework made

    @property
    def part(self) -> Part:
        """The part."""
        return self.found.part

    @property
    def verdict(self) -> Verdict:
        """The verdict on the part as fitted."""
        return heaviest([judged.verdict for judged in self.judged])

    @property
    def hold(self) -> str:
        """What still holds this part open, nothing when it may be closed over."""
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
    return tuple(_work(overhaul, verdict) for verdict in judge_overhaul(overhaul) if needs_fitting(verdict))


def _work(overhaul: Overhaul, verdict: PartVerdict) -> FittedWork:
    """Judge one part as fitted."""
    is_renewed = verdict.verdict is Verdict.RENEW
    fitting = overhaul.fitting(verdict.decided_ref)
    is_entered = fitting is not None and bool(fitting.number if is_renewed else fitting.made_to)
    judged = judge_as_fitted(overhaul, verdict.part, is_renewed)
    return FittedWork(verdict, is_renewed, judged, is_entered)


def box_up_holds(overhaul: Overhaul) -> tuple[str, ...]:
    """Name every part that holds the machine open."""
    return tuple(work.hold for work in fitted_work(overhaul) if work.hold)
