"""What a chief engineer may decide, with a reason, and what only by a concession."""

from app.domain.errors import InputRefused
from app.domain.overhaul import Concession, Decision
from app.domain.part_verdicts import PartVerdict
from app.domain.verdicts import Verdict

DECIDABLE = (Verdict.REUSE, Verdict.REWORK, Verdict.RENEW)
SHORTEST_REASON = 8
# How far a verdict goes towards taking the part out of use; what is not known stands below reuse here,
# because deciding it is always allowed.
STRENGTH = {Verdict.REUSE: 1, Verdict.REWORK: 2, Verdict.RENEW: 3}


def choices(verdict: PartVerdict) -> tuple[Verdict, ...]:
    """The verdicts that may be chosen, with or without a concession."""
    if verdict.is_absolute and verdict.machine is Verdict.RENEW:
        return (Verdict.RENEW,)
    return DECIDABLE


def needs_concession(verdict: PartVerdict, chosen: Verdict) -> bool:
    """Whether the choice uses a part outside its limit, or one that was never gauged."""
    if chosen is not Verdict.REUSE and verdict.machine is not Verdict.RENEW:
        return False
    return verdict.machine in (Verdict.RENEW, Verdict.REWORK, Verdict.NOT_GAUGED) and _is_lighter(verdict, chosen)


def _is_lighter(verdict: PartVerdict, chosen: Verdict) -> bool:
    """Whether the choice asks for less than the first verdict did."""
    return STRENGTH[chosen] < STRENGTH.get(verdict.machine, STRENGTH[Verdict.RENEW])


def check_decision(verdict: PartVerdict, decision: Decision) -> None:
    """Refuse a decision that the rules do not allow, naming the field and what is expected."""
    refused: dict[str, str] = {}
    if decision.verdict not in choices(verdict):
        refused["verdict"] = "A crack or a broken part is renewed. No concession can be granted over it."
    if len(decision.reason.strip()) < SHORTEST_REASON:
        refused["reason"] = "Give the reason in your own words; it stands on the record."
    if needs_concession(verdict, decision.verdict):
        refused |= _concession_faults(decision, decision.concession)
    if refused:
        raise InputRefused(refused)


def _concession_faults(decision: Decision, concession: Concession | None) -> dict[str, str]:
    """Say what a concession still lacks: a second person with authority, and an end."""
    if concession is None:
        return {"until_hours": f"{decision.verdict.word} here is a concession: it needs an end and a second signature."}
    faults = {}
    if concession.until_hours is None and concession.until_date is None:
        faults["until_hours"] = "A concession has an end: hours on the meter, a date, or both."
    if concession.second_person == decision.person:
        faults["second_person"] = "The second signature is another person's."
    return faults
