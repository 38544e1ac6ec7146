"""The verdict on a clearance worked out from two gauged parts: too little seizes, too much is worn."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain import reasons
from app.domain.budget import Budget, Contribution
from app.domain.characteristic_verdicts import NOT_PROVEN, Outcome
from app.domain.clearances import Clearance
from app.domain.judgement import compare, margin_mm
from app.domain.limits import Limit, Side
from app.domain.measured import Gauging, at_twenty, budget_of, guard_mm
from app.domain.numbers import figure
from app.domain.readings import Reading
from app.domain.terms import Terms
from app.domain.verdicts import Judged, Verdict


@dataclass(frozen=True)
class Mate:
    """One of the two sizes of a clearance: how it is gauged, its readings, and whether every place has one."""

    gauging: Gauging
    readings: tuple[Reading, ...]
    is_complete: bool

    @property
    def name(self) -> str:
        """The size as a sentence names it: cylinder bore; a word that both names share stands once."""
        part, size = self.gauging.part.name.lower(), self.gauging.characteristic.name.lower()
        return size if size.split()[0] in part.split() else f"{part} {size}"

    @property
    def sizes_mm(self) -> tuple[Decimal, ...]:
        """The sizes read, at 20 °C where the sheet asks for it."""
        known = [(r.size_mm, r.temperature_c) for r in self.readings]
        return tuple(at_twenty(self.gauging, mm, at).size_mm for mm, at in known if mm is not None)

    @property
    def budget(self) -> Budget | None:
        """The uncertainty of its readings, by the first."""
        first = next((r for r in self.readings if r.size_mm is not None), None)
        return budget_of(self.gauging, first, first.size_mm or Decimal(0)) if first else None


def judge_clearance(terms: Terms, outer: Mate, inner: Mate) -> tuple[Judged, ...]:
    """Judge a clearance against each of its limits, once both sizes are gauged everywhere.

    Before that it says nothing: the size that is missing holds its own part, and judging both again is asked for
    when either is renewed or reworked.
    """
    if not (outer.is_complete and inner.is_complete):
        return ()
    return tuple(_judge(terms, outer, inner, limit) for limit in terms.limits)


def clearance_of(outer: Mate, inner: Mate) -> Clearance:
    """Give the least and the largest clearance of two fully gauged sizes."""
    return Clearance(min(outer.sizes_mm) - max(inner.sizes_mm), max(outer.sizes_mm) - min(inner.sizes_mm))


def _judge(terms: Terms, outer: Mate, inner: Mate, limit: Limit) -> Judged:
    """Judge one end of the clearance: the largest against an upper limit, the least against a lower one."""
    clearance, characteristic = clearance_of(outer, inner), terms.characteristic
    value = clearance.largest_mm if limit.side is Side.UPPER else clearance.least_mm
    budget = both(outer.budget, inner.budget) if terms.is_guarded else None
    stands = compare(value, limit, guard_mm(terms.sheet, budget))
    found = Outcome(stands, margin_mm(value, limit), terms.proves(budget), terms.room(value, limit))
    words = _words(terms, outer, inner, limit, value)
    reason = reasons.against_limit(words, stands, margin_mm(value, limit), limit, characteristic)
    if found.verdict is Verdict.UNDECIDED and not found.is_proven:
        reason = f"{reason} {NOT_PROVEN}"
    return Judged(
        found.verdict or limit.outcome,
        characteristic.name,
        f"clearance {figure(value, characteristic.unit, characteristic.decimals)}",
        reason,
        source=reasons.cited(terms.sheet, limit.source or characteristic.source),
        renews=limit.renews if found.verdict is None else "",
        advice=limit.action if found.verdict is None else "",
        margin_mm=found.margin_mm,
        room=found.room,
        place=(characteristic.key, ""),
    )


def _words(terms: Terms, outer: Mate, inner: Mate, limit: Limit, value_mm: Decimal) -> str:
    """Write the clearance with the two sizes it comes from."""
    is_upper = limit.side is Side.UPPER
    big, small = (max(outer.sizes_mm), min(inner.sizes_mm)) if is_upper else (min(outer.sizes_mm), max(inner.sizes_mm))
    first, last = ("largest", "smallest") if is_upper else ("smallest", "largest")
    high, low, between = (reasons.size(mm, terms.characteristic) for mm in (big, small, value_mm))
    return f"{terms.characteristic.name}: {first} {outer.name} {high} less {last} {inner.name} {low}, {between},"


def both(first: Budget | None, second: Budget | None) -> Budget | None:
    """Join the budgets of two instruments; nothing cancels between them."""
    if first is None or second is None:
        return None
    named = [("outer", first), ("inner", second)]
    return Budget(tuple(Contribution(f"{side}: {c.name}", c.u_mm) for side, b in named for c in b.contributions))
