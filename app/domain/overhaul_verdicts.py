"""The verdicts of an overhaul as a whole: sets go as one, mates wait for each other, decisions stand beside."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from app.domain.decisions import still_stands
from app.domain.findings import RING_SET, WHOLE_VALVE
from app.domain.limits import Part, PartKind, PartSet
from app.domain.overhaul import Decision, Overhaul
from app.domain.part_verdicts import PartVerdict, judge_part
from app.domain.readings import Occasion, Place, could_not_be_gauged
from app.domain.reasons import cited, many
from app.domain.verdicts import Judged, Verdict, heaviest

UNSETTLED = (Verdict.UNDECIDED, Verdict.NOT_GAUGED)


@dataclass(frozen=True)
class SetVerdict:
    """A set's verdict: the heaviest of its members', and the decision on the set where there is one."""

    part_set: PartSet
    members: tuple[PartVerdict, ...]
    machine: Verdict
    reason: str
    decision: Decision | None = None

    @property
    def verdict(self) -> Verdict:
        """What is done with the set."""
        return self.decision.verdict if self.decision else self.machine


def judge_overhaul(
    overhaul: Overhaul, known: Mapping[str, PartVerdict] | None = None, among: frozenset[str] | None = None
) -> tuple[PartVerdict, ...]:
    """Judge every part in the scope: by itself, unless it is known already, then with its set, then with its mates.

    Where parts are named, those alone; they are all that their verdicts rest on.
    """
    if overhaul.is_from_paper:
        return _as_done(overhaul, known, among)
    known, parts = known or {}, [part for part in overhaul.parts if among is None or part.ref in among]
    verdicts = {part.ref: known.get(part.ref) or judge_part(overhaul, part) for part in parts}
    for part_set in overhaul.sets:
        if not verdicts.keys() >= set(part_set.members):
            continue
        verdicts |= _with_set(overhaul, part_set, verdicts)
    decided = verdicts | {ref: replace(v, decision=d) for ref, v in verdicts.items() if (d := _decision(overhaul, v))}
    decided = _renewed_with(overhaul, decided)
    reworked = [v.part for v in decided.values() if v.part.rework_before and v.verdict is Verdict.REWORK]
    return tuple(_in_order(verdict, decided, reworked) for verdict in decided.values())


def resting_on(overhaul: Overhaul, ref: str) -> frozenset[str]:
    """Name the parts in the scope that a part's verdict rests on, itself too.

    They are its set, what it is renewed with or judged again after, whose rework comes before it, and theirs in turn.
    """
    parts, found, left = {part.ref: part for part in overhaul.parts}, set[str](), [ref]
    while left:
        part = parts.get(left.pop())
        if part is None or part.ref in found:
            continue
        found.add(part.ref)
        part_set = overhaul.sheet.set_of(part.ref)
        left += part_set.members if part_set else ()
        left += [f"{part.stage}.{key}" for key in (*part.renew_with, *mate_keys(part))]
        left += [each.ref for each in overhaul.parts if part.key in each.rework_before and each.stage == part.stage]
    return frozenset(found)


def _as_done(
    overhaul: Overhaul, known: Mapping[str, PartVerdict] | None, among: frozenset[str] | None
) -> tuple[PartVerdict, ...]:
    """Judge an overhaul from paper by the sheet alone, and put beside it what was done with each part.

    What was done then is a fact: it renews no set and lapses with no entry, however the sheet judges.
    """
    by_sheet = judge_overhaul(replace(overhaul, decisions=(), paper=""), known, among)
    return tuple(replace(verdict, decision=overhaul.decision(verdict.part.ref)) for verdict in by_sheet)


def _in_order(verdict: PartVerdict, verdicts: dict[str, PartVerdict], reworked: list[Part]) -> PartVerdict:
    """Say after which mates a part is judged again, and after whose rework the sheet has it reworked or fitted."""
    part, waits_for = verdict.part, _waits_for(verdict.part, verdicts)
    comes_after = tuple(each for each in reworked if part.stage == each.stage and part.key in each.rework_before)
    if not (waits_for or comes_after):
        return verdict
    return replace(verdict, waits_for=waits_for, comes_after=comes_after)


def _renewed_with(overhaul: Overhaul, verdicts: dict[str, PartVerdict]) -> dict[str, PartVerdict]:
    """Renew what the sheet renews with another part, and its set with it, until nothing more follows."""
    for verdict in verdicts.values():
        mates = [verdicts.get(f"{verdict.part.stage}.{key}") for key in verdict.part.renew_with]
        mate = next((m.part for m in mates if m is not None and m.verdict is Verdict.RENEW), None)
        if mate is not None and verdict.machine is not Verdict.RENEW:
            return _renewed_with(overhaul, verdicts | _following(overhaul, verdict, mate, verdicts))
    return verdicts


def _following(
    overhaul: Overhaul, verdict: PartVerdict, mate: Part, verdicts: dict[str, PartVerdict]
) -> dict[str, PartVerdict]:
    """Renew a part because its mate is renewed; a member of a set takes the set along."""
    part_set = overhaul.sheet.set_of(verdict.part.ref)
    members = part_set.members if part_set else (verdict.part.ref,)
    reason = f"{mate.name}: renewed, and this goes with it."
    together = [verdicts[ref] for ref in members if ref in verdicts]
    # The sheet's rule is among the grounds, so that it is not set aside without a concession.
    rule = Judged(Verdict.RENEW, "mate", "", reason, source=cited(overhaul.sheet, ""))
    grounds = (rule, *(judged for each in together for judged in each.judged))
    renewed = [
        replace(each, machine=Verdict.RENEW, with_set=part_set, set_reason=reason, set_judged=grounds)
        for each in together
    ]
    return {each.part.ref: replace(each, decision=_decision(overhaul, each)) for each in renewed}


def _decision(overhaul: Overhaul, verdict: PartVerdict) -> Decision | None:
    """The decision that holds for a part: its set's where it goes with the set, else its own."""
    decision = overhaul.decision(verdict.decided_ref)
    return decision if decision and still_stands(overhaul, verdict, decision) else None


def lapsed_decisions(overhaul: Overhaul, verdicts: tuple[PartVerdict, ...]) -> tuple[PartVerdict, ...]:
    """The parts and sets, each once, whose decision no longer stands, since an entry came after it."""
    lapsed = {v.decided_ref: v for v in verdicts if v.decision is None and overhaul.decision(v.decided_ref)}
    return tuple(lapsed.values())


def _with_set(overhaul: Overhaul, part_set: PartSet, verdicts: dict[str, PartVerdict]) -> dict[str, PartVerdict]:
    """Renew every member of a set of which one is to be renewed; the reason names the one."""
    members = [verdicts[ref] for ref in part_set.members]
    guilty = [m for m in members if _first(overhaul, m) is Verdict.RENEW]
    if not guilty:
        return {}
    how = "renewed" if any(m.own is Verdict.RENEW for m in guilty) else "renewed by decision"
    reason = f"{many([m.part.name for m in guilty])}: {how}, so is the whole set of {len(members)}."
    judged = tuple(judged for member in members for judged in member.judged)
    together = [
        replace(m, machine=Verdict.RENEW, with_set=part_set, set_reason=reason, set_judged=judged) for m in members
    ]
    return {member.part.ref: member for member in together}


def _first(overhaul: Overhaul, member: PartVerdict) -> Verdict:
    """A member's verdict before its set is looked at; a decision to renew one renews the set."""
    decision = overhaul.decision(member.part.ref)
    return decision.verdict if decision and decision.verdict is Verdict.RENEW else member.own


def _waits_for(part: Part, verdicts: dict[str, PartVerdict]) -> tuple[Part, ...]:
    """The mates that are reworked or renewed, after which this part is judged again."""
    mates = (verdicts.get(f"{part.stage}.{key}") for key in mate_keys(part))
    return tuple(m.part for m in mates if m is not None and m.verdict in (Verdict.REWORK, Verdict.RENEW))


def untouched_by(overhaul: Overhaul, ref: str) -> dict[str, PartVerdict]:
    """Judge, each by itself, the parts of which an entry on this one says nothing: no clearance joins them."""
    stage, _, key = ref.partition(".")
    others = [part for part in overhaul.parts if part.ref != ref]
    apart = [part for part in others if str(part.stage) != stage or key not in _clearance_keys(part)]
    return {part.ref: judge_part(overhaul, part) for part in apart}


def _clearance_keys(part: Part) -> tuple[str, ...]:
    """Name the parts that the clearances of a part are worked out from."""
    return tuple(end.rpartition(".")[0] for c in part.characteristics for end in c.between or ())


def mate_keys(part: Part) -> tuple[str, ...]:
    """Name the parts a part is judged again after: those the sheet names, and the other part of each clearance."""
    ends = [key for key in _clearance_keys(part) if key != part.key]
    return tuple(dict.fromkeys((*part.judge_again_after, *ends)))


def judge_sets(overhaul: Overhaul, verdicts: tuple[PartVerdict, ...]) -> tuple[SetVerdict, ...]:
    """Judge each set whose members are all among these verdicts."""
    by_ref = {verdict.part.ref: verdict for verdict in verdicts}
    whole = [part_set for part_set in overhaul.sets if by_ref.keys() >= set(part_set.members)]
    return tuple(_judge_set(part_set, by_ref) for part_set in whole)


def _judge_set(part_set: PartSet, by_ref: dict[str, PartVerdict]) -> SetVerdict:
    """Judge one set: renew if any member is, else undecided, not gauged, rework, reuse in this order."""
    members = tuple(by_ref[ref] for ref in part_set.members)
    machine = heaviest([member.machine for member in members])
    reason = next((m.set_reason for m in members if m.set_reason), f"{part_set.name}: {machine.word}.")
    decision = members[0].decision if members and members[0].with_set else None
    return SetVerdict(part_set, members, machine, reason, decision)


def is_with_the_set(verdict: PartVerdict) -> bool:
    """Whether a part is renewed only because its set is, its own reading being good or missing."""
    return verdict.with_set is not None and verdict.own is not Verdict.RENEW and verdict.verdict is Verdict.RENEW


def to_settle(verdicts: tuple[PartVerdict, ...]) -> tuple[PartVerdict, ...]:
    """The parts that a chief engineer must decide before signing."""
    return tuple(verdict for verdict in verdicts if verdict.verdict in UNSETTLED)


def by_weight(verdicts: tuple[PartVerdict, ...]) -> tuple[PartVerdict, ...]:
    """Sort for review: unsettled first, then renew, then rework, then reuse, each in item order."""
    order = (Verdict.UNDECIDED, Verdict.NOT_GAUGED, Verdict.RENEW, Verdict.REWORK, Verdict.REUSE)
    return tuple(sorted(verdicts, key=lambda v: (order.index(v.verdict), v.part.stage, v.part.index)))


def ungauged_parts(overhaul: Overhaul) -> tuple[Part, ...]:
    """The parts that still want an entry somewhere; they hold the fitter's signature."""
    return tuple(part for part in overhaul.parts if missing_places(overhaul, part))


def cannot_gauge_count(overhaul: Overhaul) -> int:
    """How many places carry a "cannot gauge" with its reason."""
    return sum(could_not_be_gauged(reading) for reading in overhaul.standing(Occasion.AS_FOUND).values())


def renewed_object(verdict: PartVerdict) -> str:
    """Say what is renewed, as the verdict names it: RENEW (ring set)."""
    if verdict.verdict is not Verdict.RENEW:
        return ""
    if verdict.with_set is not None:
        return RING_SET
    whole = WHOLE_VALVE if verdict.part.kind is PartKind.VALVE else verdict.part.name.lower()
    return verdict.renews or whole


def missing_places(overhaul: Overhaul, part: Part) -> tuple[Place, ...]:
    """The places of a part that have no entry as found, in the order of gauging."""
    return tuple(place for place in overhaul.missing if place.part == part.ref)


def is_gauged(overhaul: Overhaul, part: Part) -> bool:
    """Whether a part has an entry everywhere; "cannot gauge" is an entry."""
    return not missing_places(overhaul, part)
