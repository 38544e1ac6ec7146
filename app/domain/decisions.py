"""What a chief engineer may decide, with a reason, and what only by a concession."""

from app.domain.errors import InputRefused
from app.domain.overhaul import Concession, Decision, Overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict

DECIDABLE = (Verdict.REUSE, Verdict.REWORK, Verdict.RENEW)
SHORTEST_REASON = 8
# What a part must not have among its grounds to be used so without a concession. What is undecided is for the
# chief engineer to decide; what was not gauged nobody can vouch for; a rework is judged again before it is closed.
OUTSIDE = {
    Verdict.REUSE: (Verdict.RENEW, Verdict.REWORK, Verdict.NOT_GAUGED),
    Verdict.REWORK: (Verdict.RENEW,),
    Verdict.RENEW: (),
}


def choices(verdict: PartVerdict) -> tuple[Verdict, ...]:
    """The verdicts that may be chosen, with or without a concession."""
    return (Verdict.RENEW,) if verdict.is_absolute else DECIDABLE


def needs_concession(verdict: PartVerdict, chosen: Verdict) -> bool:
    """Whether the choice uses a part outside a limit, or one that was never gauged, whatever else outweighs that."""
    return any(judged.verdict in OUTSIDE[chosen] for judged in verdict.grounds)


def is_lighter(verdict: PartVerdict, chosen: Verdict) -> bool:
    """Whether the choice asks for less than the first verdict did, or settles one that was open."""
    return verdict.machine not in DECIDABLE or DECIDABLE.index(chosen) < DECIDABLE.index(verdict.machine)


def still_stands(overhaul: Overhaul, verdict: PartVerdict, decision: Decision) -> bool:
    """Whether a decision holds for what is entered now; one that keeps a part in use does not outlive a new entry."""
    if not is_lighter(verdict, decision.verdict):
        return True
    return not decision_faults(verdict, decision) and not _has_later_entry(overhaul, verdict, decision)


def _has_later_entry(overhaul: Overhaul, verdict: PartVerdict, decision: Decision) -> bool:
    """Whether something was entered as found, on the part or on its set, after it was decided."""
    refs = verdict.with_set.members if verdict.with_set else (verdict.part.ref,)
    found = (r for r in overhaul.readings if r.occasion is Occasion.AS_FOUND and r.place.part in refs)
    return any(reading.stored_at > decision.at for reading in found)


def check_decision(verdict: PartVerdict, decision: Decision) -> None:
    """Refuse a decision that the rules do not allow, naming the field and what is expected."""
    refused = decision_faults(verdict, decision)
    if refused:
        raise InputRefused(refused)


def decision_faults(verdict: PartVerdict, decision: Decision) -> dict[str, str]:
    """Say field by field what the rules do not allow."""
    if decision.verdict not in DECIDABLE:
        return {"verdict": "Choose REUSE, REWORK or RENEW."}
    refused: dict[str, str] = {}
    if decision.verdict not in choices(verdict):
        refused["verdict"] = "A crack or a broken part is renewed. No concession can be granted over it."
    if len(decision.reason.strip()) < SHORTEST_REASON:
        refused["reason"] = "Give the reason in your own words; it stands on the record."
    if decision.concession is not None:
        refused |= _concession_faults(decision, decision.concession)
    elif needs_concession(verdict, decision.verdict):
        refused["until_hours"] = (
            f"{decision.verdict.word} here is a concession: it needs an end and a second signature."
        )
    return refused


def _concession_faults(decision: Decision, concession: Concession) -> dict[str, str]:
    """Say what a concession still lacks: a second person with authority, and an end."""
    faults = {}
    if decision.verdict is Verdict.RENEW:
        faults["until_hours"] = "A renewed part needs no concession: leave its end empty."
    elif concession.until_hours is None and concession.until_date is None:
        faults["until_hours"] = "A concession has an end: hours on the meter, a date, or both."
    if concession.second_person.strip() in ("", decision.person):
        faults["second_person"] = "The second signature is another person's."
    return faults
