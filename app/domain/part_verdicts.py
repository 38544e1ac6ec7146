"""The verdict of a part from its own entries: heaviest of what was seen and what was gauged."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.characteristic_verdicts import Terms, judge_characteristic, limits_as_found, limits_as_new
from app.domain.findings import WHOLE_VALVE, Finding, find_finding
from app.domain.limits import Characteristic, Part, PartKind, PartSet
from app.domain.numbers import Length
from app.domain.overhaul import Decision, Overhaul
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading
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
    waits_for: tuple[Part, ...] = ()
    decision: Decision | None = None

    @property
    def verdict(self) -> Verdict:
        """What is done: the chief engineer's decision where there is one, else the first verdict."""
        return self.decision.verdict if self.decision else self.machine

    @property
    def deciding(self) -> Judged:
        """The one that decides: heaviest, then the widest renewal, then the least margin."""
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
    def is_absolute(self) -> bool:
        """Whether no concession may be granted: a crack, a broken part."""
        return any(judged.is_absolute for judged in self.judged)

    @property
    def reasons(self) -> tuple[Judged, ...]:
        """All that was judged, what decides first."""
        return tuple(sorted(self.judged, key=_rank))


def _rank(judged: Judged) -> tuple[int, int, Decimal]:
    """Order what was judged: heaviest, widest renewal, least margin."""
    order = (Verdict.RENEW, Verdict.UNDECIDED, Verdict.NOT_GAUGED, Verdict.REWORK, Verdict.REUSE)
    margin = judged.margin_mm if judged.margin_mm is not None else Decimal("Infinity")
    return order.index(judged.verdict), 0 if judged.renews == WHOLE_VALVE else 1, margin


def widest_renewal(judged: tuple[Judged, ...]) -> str:
    """Name what is renewed; a whole valve includes its plate and springs."""
    objects = [one.renews for one in sorted(judged, key=_rank) if one.verdict is Verdict.RENEW and one.renews]
    return objects[0] if objects else ""


def judge_part(overhaul: Overhaul, part: Part) -> PartVerdict:
    """Judge one part as found, by itself."""
    judged = judge_as_found(overhaul, part)
    own = heaviest([one.verdict for one in judged])
    return PartVerdict(part, judged, own, own)


def terms_of(
    overhaul: Overhaul, part: Part, characteristic: Characteristic, occasion: Occasion, is_renewed: bool
) -> Terms:
    """Give what a characteristic is judged by on an occasion: wear limits as found, the new range when renewed."""
    if occasion is Occasion.AS_FOUND:
        limits, base = limits_as_found(part, characteristic), overhaul.base_size(part, characteristic)
        return Terms(overhaul.sheet, part, characteristic, limits, base)
    as_new = limits_as_new(part, characteristic, grown_mm(overhaul, part, characteristic))
    limits = as_new if is_renewed else limits_as_found(part, characteristic)
    return Terms(overhaul.sheet, part, characteristic, limits, base_as_fitted(overhaul, part, characteristic))


def base_as_fitted(overhaul: Overhaul, part: Part, characteristic: Characteristic) -> Length | None:
    """The size wear counts from after the work: what it was made to now, the sheet's for a new part, else as before."""
    fitting = overhaul.fitting(part.ref)
    if fitting is None:
        return overhaul.base_size(part, characteristic)
    return fitting.made_to or characteristic.base_size


def grown_mm(overhaul: Overhaul, part: Part, characteristic: Characteristic) -> Decimal:
    """How far the new sizes have moved: a bore's with its own base size, a piston's with that of its cylinder."""
    mates = [(part, characteristic)]
    if part.kind is PartKind.PISTON:
        beside = [m for m in overhaul.sheet.parts if m.stage == part.stage and m.key in part.judge_again_after]
        mates = [(mate, bore) for mate in beside if mate.kind is PartKind.CYLINDER for bore in mate.characteristics]
    sizes = [(base_as_fitted(overhaul, mate, bore), bore.base_size) for mate, bore in mates]
    return next((now.mm - first.mm for now, first in sizes if now and first), Decimal(0))


def judge_as_found(overhaul: Overhaul, part: Part) -> tuple[Judged, ...]:
    """Judge everything found on a part against its wear limits."""
    return _judge_all(overhaul, part, Occasion.AS_FOUND, is_renewed=False)


def judge_as_fitted(overhaul: Overhaul, part: Part, is_renewed: bool) -> tuple[Judged, ...]:
    """Judge a part after the work: a renewed one against its new range, a reworked one against its limits."""
    return _judge_all(overhaul, part, Occasion.AS_FITTED, is_renewed)


def _judge_all(overhaul: Overhaul, part: Part, occasion: Occasion, is_renewed: bool) -> tuple[Judged, ...]:
    """Judge what was seen and every characteristic of a part on one occasion."""
    entries = overhaul.standing(occasion)
    judged = [judge_sight(part, entries.get(Place(part.ref, SEEN)))]
    for characteristic in part.characteristics:
        terms = terms_of(overhaul, part, characteristic, occasion, is_renewed)
        judged += judge_characteristic(terms, entries_of(entries, part, characteristic.key))
    return tuple(judged)


def entries_of(entries: dict[Place, Reading], part: Part, characteristic: str) -> dict[tuple[str, str], Reading]:
    """Pick the entries of one characteristic, by level and axis."""
    return {
        (place.level, place.axis): reading
        for place, reading in entries.items()
        if place.part == part.ref and place.characteristic == characteristic
    }


def judge_sight(part: Part, reading: Reading | None) -> Judged:
    """Judge what was seen by eye; it is always required."""
    if reading is None:
        return Judged(Verdict.NOT_GAUGED, "condition", "", "Condition not looked at yet; it is required.")
    if reading.kind is Kind.CANNOT:
        return Judged(Verdict.NOT_GAUGED, "condition", "cannot see", f"Condition could not be seen: {reading.reason}")
    found = [finding for code in reading.findings if (finding := find_finding(part, code)) is not None]
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
