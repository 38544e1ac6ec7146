"""The whole working of a part's verdict, step by step, from readings to what is done with it."""

from collections.abc import Mapping
from decimal import Decimal

from app.domain.bores import bore_of, entries_of
from app.domain.characteristic_verdicts import Entries, grid_of, measure_budget, measure_mm
from app.domain.clearance_verdicts import Mate, clearance_of
from app.domain.hot_gap import WorkingConditions
from app.domain.joints import along_circumference, joint_lines
from app.domain.limits import Limit, Measure, Part, PartKind, Rule, Side
from app.domain.measured import at_twenty, budget_of, guard_mm, leaf_errors_mm
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import is_with_the_set
from app.domain.part_verdicts import PartVerdict, mates_of, terms_of
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading
from app.domain.temperature import EXPANSION, Material
from app.domain.terms import Terms
from app.domain.working_bore import bore_steps
from app.domain.working_rings import RingInBore, ring_steps
from app.domain.working_sizes import ILAC, between_step, leaves_step, reading_step, size_step
from app.domain.working_steps import WorkingStep, plain

PART_RULE = (
    "RENEW if anything seen or gauged says so; else UNDECIDED if anything is; else NOT GAUGED if anything is missing; "
    "else REWORK; else REUSE."
)
TWO_LOOKS = "JCGM 100:2008 (GUM), 5.1.2; which one is judged: common practice, no source"
Fitted = Mapping[Place, Decimal]  # the sizes as fitted at the last opening, which began the lives of the parts


def working_of(
    overhaul: Overhaul, verdict: PartVerdict, occasion: Occasion, renewed: str, fitted: Fitted
) -> tuple[WorkingStep, ...]:
    """Give every step from the readings of a part to its verdict."""
    steps = [_rule(overhaul)]
    entries = overhaul.standing(occasion)
    for characteristic in verdict.part.characteristics:
        terms = terms_of(overhaul, verdict.part, characteristic, occasion, renewed)
        mine = entries_of(entries, verdict.part, characteristic.key)
        mates = mates_of(overhaul, verdict.part, characteristic, occasion)
        steps += _clearance(terms, *mates) if mates else []
        steps += _bore(terms, mine) if characteristic.is_grid else _levels(terms, mine)
        steps += _ring(overhaul, verdict.part, terms, mine, occasion, fitted)
    steps += _looks(overhaul, verdict.part, occasion)
    return (*steps, *_together(verdict))


def _rule(overhaul: Overhaul) -> WorkingStep:
    """Name the decision rule of the sheet."""
    sheet = overhaul.sheet
    if sheet.rule is Rule.SIMPLE:
        line = "Simple acceptance: a reading within its limit conforms; at the limit the risk is up to one half."
        return WorkingStep(f"Decision rule of sheet {sheet.title}", (line,), ILAC)
    lines = (
        f"Guarded acceptance ({sheet.guard.value}): within the limit by the guard band w it conforms, beyond by w it "
        "does not; between them neither is proven. On the acceptance limit itself it is accepted (JCGM 106, 8.3).",
        "Sizes are brought to 20 °C." if sheet.is_corrected_to_20 else "Sizes count as read.",
    )
    return WorkingStep(f"Decision rule of sheet {sheet.title}", lines, "ILAC-G8:09/2019, 4.2.3")


def _looks(overhaul: Overhaul, part: Part, occasion: Occasion) -> list[WorkingStep]:
    """Show what several persons read at one place, and which reading is judged."""
    found = [(place, looks) for place, looks in overhaul.looked_at(occasion) if place.part == part.ref]
    names = {SEEN: "condition"} | {characteristic.key: characteristic.name for characteristic in part.characteristics}
    return [
        WorkingStep(
            f"Second look: {', '.join(w for w in (names[place.characteristic], place.level, place.axis) if w)}",
            (*(f"{look.measured_by}: {looks.say(look)}." for look in looks.readings), looks.outcome),
            TWO_LOOKS,
        )
        for place, looks in found
    ]


def _levels(terms: Terms, entries: Entries) -> list[WorkingStep]:
    """Work out a characteristic level by level."""
    steps: list[WorkingStep] = []
    for level, axis in terms.characteristic.places:
        name = f"{terms.characteristic.name}, {level}" if level else terms.characteristic.name
        reading = entries.get((level, axis))
        if reading is None:
            steps.append(WorkingStep(name, ("No reading.",)))
        elif reading.kind is Kind.CANNOT:
            steps.append(WorkingStep(name, (f"Cannot be gauged: {reading.reason}",)))
        else:
            steps += _gauged(terms, name, reading)
    return steps


def _gauged(terms: Terms, name: str, reading: Reading) -> list[WorkingStep]:
    """Work out one reading: as it was read, then against each limit, then between a lower and an upper one."""
    along, limits = along_circumference(terms.part, reading), terms.limits_at(reading.place.level)
    steps = [_read(terms, name, reading), *(_against(terms, name, along, limit) for limit in limits)]
    ends = [next((x.size.mm for x in limits if x.side is side), None) for side in (Side.LOWER, Side.UPPER)]
    if along.size_mm is None or ends[0] is None or ends[1] is None:
        return steps
    at_20 = at_twenty(terms.gauging, along.size_mm, reading.temperature_c)
    budget = budget_of(terms.gauging, reading, at_20.size_mm)
    return [*steps, between_step(name, at_20.size_mm, (ends[0], ends[1]), budget)] if budget else steps


def _read(terms: Terms, name: str, reading: Reading) -> WorkingStep:
    """Show a reading, and how it was brought to 20 °C."""
    size_mm = along_circumference(terms.part, reading).size_mm
    warmth = at_twenty(terms.gauging, size_mm, reading.temperature_c) if size_mm is not None else None
    return reading_step(name, reading, warmth, size_mm, joint_lines(terms.part, reading))


def _against(terms: Terms, name: str, reading: Reading, limit: Limit) -> WorkingStep:
    """Compare one reading with one limit."""
    if reading.size_mm is not None:
        at_20 = at_twenty(terms.gauging, reading.size_mm, reading.temperature_c)
        budget = budget_of(terms.gauging, reading, at_20.size_mm)
        return size_step(name, at_20.size_mm, limit, budget, guard_mm(terms.sheet, budget))
    return leaves_step(name, reading, limit, terms.makeable_mm, leaf_errors_mm(terms.gauging, reading))


def _bore(terms: Terms, entries: Entries) -> list[WorkingStep]:
    """Work out a bore: every reading, every measure, every limit."""
    grid, base_mm = grid_of(terms.characteristic, entries, terms.gauging), _base_mm(terms)
    steps = [_read(terms, " ".join(cell), reading) for cell, reading in entries.items() if reading.size_mm is not None]
    steps += bore_steps(grid, base_mm)
    for limit in terms.limits:
        value = measure_mm(limit, grid, base_mm)
        if value is not None:
            name = "Diameter" if limit.measure is Measure.VALUE else limit.measure.value.capitalize()
            budget = measure_budget(terms, limit, entries)
            steps.append(size_step(name, value, limit, budget, guard_mm(terms.sheet, budget)))
    return steps


def _clearance(terms: Terms, outer: Mate, inner: Mate) -> list[WorkingStep]:
    """Work out a clearance from the ends of both sizes, then compare it with each limit."""
    name = terms.characteristic.name
    if not (outer.is_complete and inner.is_complete):
        return [WorkingStep(name, (f"Waits until {outer.name} and {inner.name} are gauged everywhere.",))]
    clearance = clearance_of(outer, inner)
    lines = (
        f"Least: smallest {outer.name} − largest {inner.name} = {plain(min(outer.sizes_mm))} − "
        f"{plain(max(inner.sizes_mm))} = {plain(clearance.least_mm)} mm.",
        f"Largest: largest {outer.name} − smallest {inner.name} = {plain(max(outer.sizes_mm))} − "
        f"{plain(min(inner.sizes_mm))} = {plain(clearance.largest_mm)} mm.",
    )
    ends = {Side.UPPER: clearance.largest_mm, Side.LOWER: clearance.least_mm}
    return [WorkingStep(name, lines), *(size_step(name, ends[limit.side], limit) for limit in terms.limits)]


def _base_mm(terms: Terms) -> Decimal:
    """The size wear counts from."""
    base = terms.base or terms.characteristic.base_size
    return base.mm if base else Decimal(1)


def _ring(
    overhaul: Overhaul, part: Part, terms: Terms, entries: Entries, occasion: Occasion, fitted: Fitted
) -> tuple[WorkingStep, ...]:
    """Work a ring's gap out against the bore it was gauged in, once that is fully gauged."""
    is_gap = part.kind is PartKind.RING and terms.characteristic.key == "closed-gap"
    if not is_gap or terms.characteristic.new is None:
        return ()
    ring = ring_in_bore(overhaul, part, terms, entries, occasion, fitted)
    waits = WorkingStep("Where the gap came from", ("Waits for the bore: every diameter must be gauged.",))
    return ring_steps(ring) if ring else (waits,)


def ring_in_bore(
    overhaul: Overhaul, part: Part, terms: Terms, entries: Entries, occasion: Occasion, fitted: Fitted
) -> RingInBore | None:
    """Lay a ring's gap and its bore side by side; None until both are gauged."""
    along = {cell: along_circumference(part, reading) for cell, reading in entries.items()}
    new, found, gap = terms.characteristic.new, bore_of(overhaul, part, occasion), widest_gap(along)
    if new is None or found is None or gap is None:
        return None
    level, gap_mm = gap
    known = fitted.get(Place(part.ref, terms.characteristic.key, level))
    as_new_mm = (new.lower.mm + new.upper.mm) / 2 if known is None else known
    limit = next((x for x in terms.limits if x.side is Side.UPPER), None)
    limit_mm, conditions = limit.size.mm if limit else None, conditions_of(part, found.cylinder)
    return RingInBore(
        gap_mm, level, as_new_mm, known is not None, found.means, found.base_mm, new, limit_mm, conditions
    )


def new_rings_words(overhaul: Overhaul, part: Part) -> str:
    """Say it where new rings alone would not restore a stage, or could butt when hot in this bore; else nothing."""
    gap = part.characteristic("closed-gap")
    if part.kind is not PartKind.RING or gap is None:
        return ""
    terms = terms_of(overhaul, part, gap, Occasion.AS_FOUND, "")
    entries = entries_of(overhaul.standing(Occasion.AS_FOUND), part, gap.key)
    ring = ring_in_bore(overhaul, part, terms, entries, Occasion.AS_FOUND, {})
    return "" if ring is None else ring.warnings


def widest_gap(entries: Entries) -> tuple[str, Decimal] | None:
    """Find the widest gap gauged, with its level; between leaves the one that goes is what is proven."""
    sizes = [(level, r.goes.mm if r.goes else r.size_mm) for (level, _), r in entries.items()]
    known = [(level, size_mm) for level, size_mm in sizes if size_mm is not None]
    return max(known, key=lambda one: one[1], default=None)


def conditions_of(ring: Part, cylinder: Part) -> WorkingConditions:
    """What the sheet says of ring and cylinder at work."""
    return WorkingConditions(
        ring.working_temperature_c, _expansion(ring), cylinder.working_temperature_c, _expansion(cylinder)
    )


def _expansion(part: Part) -> Decimal | None:
    """The expansion of a part's material, where it is known here."""
    return EXPANSION[Material(part.material)].per_k if part.material in list(Material) else None


def _together(verdict: PartVerdict) -> tuple[WorkingStep, ...]:
    """Combine what was seen and gauged, then the set, the mates and the decision."""
    lines = [f"{judged.verdict.word}: {judged.reason}" for judged in verdict.reasons]
    steps = [WorkingStep("Everything together", (*lines, PART_RULE, f"This part by itself: {verdict.own.word}."))]
    if verdict.set_reason:
        own = " Its own reading stays on the record." if is_with_the_set(verdict) else ""
        steps.append(WorkingStep("Its set", (f"{verdict.set_reason}{own}",)))
    if verdict.waits_for:
        names = ", ".join(part.name.lower() for part in verdict.waits_for)
        steps.append(WorkingStep("Its mates", (f"Waits for {names}: judged again after that is done.",)))
    if verdict.comes_after:
        names = ", ".join(part.name.lower() for part in verdict.comes_after)
        steps.append(WorkingStep("Order of the work", (f"Fitted only after the rework of {names}, good when gauged.",)))
    if verdict.decision:
        line = f"{verdict.decision.verdict.word}: {verdict.decision.reason} ({verdict.decision.person})"
        steps.append(WorkingStep("Decision of the chief engineer", (line,)))
    return tuple(steps)
