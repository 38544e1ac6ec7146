"""The verdict of a part from its own entries: heaviest of what was seen and what was gauged."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.bores import base_on, bore_of, entries_of, moved_with_bore
from app.domain.characteristic_verdicts import judge_characteristic
from app.domain.clearance_verdicts import Mate, judge_clearance
from app.domain.errors import LimitMissing
from app.domain.findings import WHOLE_VALVE, Finding, find_finding
from app.domain.limits import Characteristic, Limit, Part, PartSet
from app.domain.measured import Gauging
from app.domain.occasion_limits import (
    asked_at,
    is_ring_gap,
    limits_as_found,
    limits_as_made,
    limits_as_new,
    limits_in_bore,
    stays_in,
)
from app.domain.overhaul import Decision, Overhaul
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading
from app.domain.terms import Terms
from app.domain.verdicts import Judged, Verdict, heaviest


@dataclass(frozen=True)
class PartVerdict:
    """A part's verdict with everything it rests on."""

    part: Part
    judged: tuple[Judged, ...]
    own: Verdict  # from this part's own entries
    machine: Verdict  # after the rule of its set
    with_set: PartSet | None = None  # the set that takes this part along
    set_reason: str = ""
    set_judged: tuple[Judged, ...] = ()  # everything that a decision on it rests on, where that is more than its own
    waits_for: tuple[Part, ...] = ()
    comes_after: tuple[Part, ...] = ()  # the parts reworked at this opening whose rework comes before this is fitted
    decision: Decision | None = None

    @property
    def verdict(self) -> Verdict:
        """What is done: the chief engineer's decision where there is one, else the first verdict."""
        return self.decision.verdict if self.decision else self.machine

    @property
    def deciding(self) -> Judged:
        """The one that decides: heaviest, then the widest renewal, then the least room left."""
        return min(self.judged, key=_rank)

    @property
    def renews(self) -> str:
        """What is renewed, when something is."""
        if self.verdict is not Verdict.RENEW:
            return ""
        if self.decision and self.decision.renews:
            return self.decision.renews
        return "" if self.with_set else widest_renewal(self.judged)

    @property
    def decided_ref(self) -> str:
        """What a decision on this part is taken on: its set where it goes with one, else the part itself."""
        return self.with_set.ref if self.with_set else self.part.ref

    @property
    def grounds(self) -> tuple[Judged, ...]:
        """Everything such a decision rests on: what was judged on the part, or on every member of its set."""
        return self.set_judged or self.judged

    @property
    def is_absolute(self) -> bool:
        """Whether no concession may be granted: a crack or a broken part, of this part or of a member of its set."""
        return any(judged.is_absolute for judged in self.grounds)

    @property
    def reasons(self) -> tuple[Judged, ...]:
        """All that was judged, what decides first."""
        return tuple(sorted(self.judged, key=_rank))


def _rank(judged: Judged) -> tuple[int, int, Decimal]:
    """Order what was judged: heaviest, widest renewal, the least room left to its limit."""
    order = (Verdict.RENEW, Verdict.UNDECIDED, Verdict.NOT_GAUGED, Verdict.REWORK, Verdict.REUSE)
    room = judged.room if judged.room is not None else Decimal("Infinity")
    return order.index(judged.verdict), 0 if judged.renews == WHOLE_VALVE else 1, room


def widest_renewal(judged: tuple[Judged, ...]) -> str:
    """Name what is renewed; a whole valve includes its plate and springs."""
    objects = [one.renews for one in sorted(judged, key=_rank) if one.verdict is Verdict.RENEW and one.renews]
    return objects[0] if objects else ""


def judge_part(overhaul: Overhaul, part: Part) -> PartVerdict:
    """Judge one part as found, by itself."""
    judged = judge_as_found(overhaul, part)
    own = heaviest([one.verdict for one in judged])
    return PartVerdict(part, judged, own, own)


def terms_of(overhaul: Overhaul, part: Part, characteristic: Characteristic, occasion: Occasion, renewed: str) -> Terms:
    """Give what a characteristic is judged by on an occasion: wear limits as found, the new range of what is renewed.

    `renewed` names the object that was renewed, nothing where none was.
    """
    base = base_on(overhaul, part, characteristic, occasion)
    limits = _limits_on(overhaul, part, characteristic, occasion, renewed)
    is_new = bool(renewed) and occasion is Occasion.AS_FITTED
    by_level = _new_gaps(overhaul, part, characteristic) if is_new else asked_at(part, characteristic)
    return Terms(overhaul.sheet, part, characteristic, limits, base, by_level)


def _new_gaps(overhaul: Overhaul, part: Part, characteristic: Characteristic) -> dict[str, tuple[Limit, ...]]:
    """The range of a new ring's gap at each level of a worn bore; nothing where the bore tells nothing about it."""
    found = bore_of(overhaul, part, Occasion.AS_FITTED) if is_ring_gap(part, characteristic) else None
    if found is None:
        return {}
    return {level: limits_in_bore(part, characteristic, found.room_at(level)) for level in characteristic.levels}


def _limits_on(
    overhaul: Overhaul, part: Part, characteristic: Characteristic, occasion: Occasion, renewed: str
) -> tuple[Limit, ...]:
    """Choose the limits of an occasion; a position made to another size is held against the new range at that size."""
    moved_mm = moved_with_bore(overhaul, part, characteristic, occasion)
    if occasion is Occasion.AS_FOUND:
        return limits_as_found(part, characteristic, moved_mm)
    if renewed and not stays_in(part, characteristic, renewed):
        return limits_as_new(part, characteristic, moved_mm)
    fitting = overhaul.fitting(part.ref)
    is_made = characteristic.is_grid and fitting is not None and fitting.made_to is not None
    return (limits_as_made if is_made else limits_as_found)(part, characteristic, moved_mm)


def judge_as_found(overhaul: Overhaul, part: Part) -> tuple[Judged, ...]:
    """Judge everything found on a part against its wear limits."""
    return _judge_all(overhaul, part, Occasion.AS_FOUND, "")


def judge_as_fitted(overhaul: Overhaul, part: Part, renewed: str) -> tuple[Judged, ...]:
    """Judge a part after the work: what was renewed against its new range, what was kept or reworked by its limits."""
    return _judge_all(overhaul, part, Occasion.AS_FITTED, renewed)


def _judge_all(overhaul: Overhaul, part: Part, occasion: Occasion, renewed: str) -> tuple[Judged, ...]:
    """Judge what was seen and every characteristic of a part on one occasion."""
    entries = overhaul.standing(occasion)
    judged = [judge_sight(part, entries.get(Place(part.ref, SEEN)))]
    for characteristic in part.characteristics:
        terms = terms_of(overhaul, part, characteristic, occasion, renewed)
        mates = mates_of(overhaul, part, characteristic, occasion)
        if mates is not None:
            judged += judge_clearance(terms, *mates)
        else:
            judged += judge_characteristic(terms, entries_of(entries, part, characteristic.key))
    return tuple(judged)


def mates_of(
    overhaul: Overhaul, part: Part, characteristic: Characteristic, occasion: Occasion
) -> tuple[Mate, Mate] | None:
    """Find the two gauged sizes that a clearance is worked out from; None for what is gauged itself."""
    if characteristic.between is None:
        return None
    outer, inner = (_mate(overhaul, part.stage, name, occasion) for name in characteristic.between)
    return outer, inner


def _mate(overhaul: Overhaul, stage: int, name: str, occasion: Occasion) -> Mate:
    """Find one size of a clearance; as fitted falls back on as found, place by place, where a part was not touched."""
    key, _, of = name.rpartition(".")
    part = overhaul.sheet.part(f"{stage}.{key}")
    characteristic = part.characteristic(of) if part else None
    if part is None or characteristic is None:
        raise LimitMissing(f"the sheet names “{name}” for a clearance and does not hold it")
    entries = entries_of(overhaul.standing(Occasion.AS_FOUND), part, of)
    if occasion is Occasion.AS_FITTED:
        entries |= entries_of(overhaul.standing(Occasion.AS_FITTED), part, of)
    readings = tuple(entries[place] for place in characteristic.places if place in entries)
    is_complete = len(readings) == len(characteristic.places) and all(r.size_mm is not None for r in readings)
    return Mate(Gauging(overhaul.sheet, part, characteristic), readings, is_complete)


def judge_sight(part: Part, reading: Reading | None) -> Judged:
    """Judge what was seen by eye; it is always required."""
    if reading is None:
        return Judged(Verdict.NOT_GAUGED, "condition", "", "Condition not looked at yet; it is required.")
    if reading.kind is Kind.CANNOT:
        return Judged(Verdict.NOT_GAUGED, "condition", "cannot see", f"Condition could not be seen: {reading.reason}")
    found = [find_finding(part, code) or Finding(code, code, Verdict.UNDECIDED) for code in reading.findings]
    return _judge_findings(found, reading.reason)


def _judge_findings(found: list[Finding], note: str) -> Judged:
    """Combine what was seen; the heaviest decides, a whole valve before its plate."""
    verdict = heaviest([finding.verdict for finding in found])
    heavy = sorted((f for f in found if f.verdict is verdict), key=lambda f: f.renews != WHOLE_VALVE)
    words = ", ".join(finding.words for finding in found)
    return Judged(
        verdict,
        "condition",
        words,
        f"Seen: {words}." + (f" Note: {note}" if note else ""),
        source="" if verdict is Verdict.REUSE else "Common practice, no source",
        renews=heavy[0].renews if heavy else "",
        advice=" ".join(dict.fromkeys(f.advice for f in found if f.advice)),
        is_absolute=any(finding.is_absolute for finding in found),
    )
