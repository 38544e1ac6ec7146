"""The chief engineer decides: what the story tells, then what follows from it, and nothing is left open."""

from datetime import UTC

from app.actions.overhauls import TypedDecision, decide
from app.demonstration.openings import Choice
from app.demonstration.visit import PASSWORDS, Visit
from app.domain.limits import PartKind
from app.domain.overhaul_verdicts import judge_overhaul, to_settle
from app.domain.part_verdicts import PartVerdict
from app.domain.people import Role
from app.domain.verdicts import Verdict

HONE_TO = "Hone to "
MINUTES_A_DECISION = 9


def decide_all(visit: Visit) -> None:
    """Enter every decision of this opening."""
    for choice in visit.opening.choices:
        _decide(visit, choice)
    for choice in _mates_of_honed(judge_overhaul(visit.overhaul())):
        _decide(visit, choice)
    for verdict in to_settle(judge_overhaul(visit.overhaul())):
        _decide(visit, Choice(verdict.part.ref, Verdict.RENEW, "Not shown to be within its limit: renewed."))


def made_to(verdict: PartVerdict) -> str:
    """Give the size a cylinder is honed to, as the sheet says it; nothing where it is not honed."""
    if verdict.part.kind is not PartKind.CYLINDER or verdict.verdict is not Verdict.REWORK:
        return ""
    advice = [judged.advice for judged in verdict.judged if judged.verdict is Verdict.REWORK]
    sizes = [words.removeprefix(HONE_TO).rstrip(".") for words in advice if words.startswith(HONE_TO)]
    return sizes[0] if sizes else ""


def _mates_of_honed(verdicts: tuple[PartVerdict, ...]) -> list[Choice]:
    """A bore honed to an oversize takes rings and a piston of that size."""
    honed = {verdict.part.stage: made_to(verdict) for verdict in verdicts if made_to(verdict)}
    mates = [v for v in verdicts if v.part.stage in honed and v.verdict is not Verdict.RENEW]
    rings = {v.part.stage: v for v in reversed(mates) if v.part.kind is PartKind.RING}
    pistons = [v for v in mates if v.part.kind is PartKind.PISTON]
    return [
        Choice(v.part.ref, Verdict.RENEW, f"The bore is honed to {honed[v.part.stage]}: {what} of that size.")
        for what, chosen in (("a ring set", rings.values()), ("a piston", pistons))
        for v in chosen
    ]


def _decide(visit: Visit, choice: Choice) -> None:
    """Enter one decision; a concession brings the other chief engineer to the desk."""
    visit.clock.after(MINUTES_A_DECISION)
    is_concession = choice.term is not None or choice.term_hours > 0
    second = _other_chief(visit) if is_concession else ""
    typed = TypedDecision(
        ref=choice.ref,
        verdict=choice.verdict,
        reason=choice.reason,
        until_hours=str(visit.overhaul().hours + choice.term_hours) if choice.term_hours else "",
        until_date=(visit.clock.now + choice.term).date().isoformat() if choice.term else "",
        second_person=second,
        second_password=PASSWORDS.get(second, ""),
    )
    decide(visit.book, visit.chief, visit.overhaul_id, typed, UTC, visit.clock.now)


def _other_chief(visit: Visit) -> str:
    """The chief engineer who is not the one of this opening."""
    chiefs = (p.name for p in visit.crew.values() if p.role is Role.CHIEF and p.name != visit.chief.name)
    return next(chiefs)
