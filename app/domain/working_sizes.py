"""The working of single sizes and gaps: from what was typed to how it stands against each limit."""

from decimal import Decimal

from app.domain.budget import Budget
from app.domain.conformance import (
    interval_over_lower,
    interval_under_upper,
    probability_between,
    probability_over_lower,
    probability_under_upper,
)
from app.domain.judgement import Against, compare, compare_goes, compare_leaves, margin_mm
from app.domain.limits import Limit, OnLimit, Side
from app.domain.measured import AS_20, AtTwenty
from app.domain.numbers import Length
from app.domain.readings import Kind, Reading
from app.domain.units import LengthUnit
from app.domain.working_steps import WorkingStep, plain

ILAC = "ILAC-G8:09/2019, 4.2.1"
NOTHING = Decimal(0)
BOUNDS = "JCGM 100:2008, 4.3.7"


def reading_step(
    name: str, reading: Reading, at_20: AtTwenty | None, size_mm: Decimal | None, joint: tuple[str, ...] = ()
) -> WorkingStep:
    """Show how what was typed becomes millimetres: the size read, along the circumference where that is another."""
    lines = [_in_mm(what, length) for what, length in _lengths(reading)]
    if reading.kind is Kind.DIAL and reading.value and reading.set_size:
        sign = "−" if reading.value.mm < 0 else "+"
        whole = plain(reading.size_mm or Decimal(0))
        lines.append(f"Whole size: {plain(reading.set_size.mm)} {sign} {plain(abs(reading.value.mm))} = {whole} mm.")
    if reading.goes and reading.does_not_go:
        lines.append(f"The gap lies in [{plain(reading.goes.mm)}, {plain(reading.does_not_go.mm)}) mm.")
    lines += joint
    lines += [f"Kept with a reason: {reading.reason}"] if reading.reason else []
    lines.append(at_20.words if at_20 is not None else _warmth(reading))
    if at_20 is not None and at_20.size_mm != size_mm:
        lines.append(f"At 20 °C: {plain(at_20.size_mm)} mm.")
    return WorkingStep(f"Reading: {name}", tuple(lines), BOUNDS if reading.goes else "")


def _lengths(reading: Reading) -> list[tuple[str, Length]]:
    """Everything typed, with its name."""
    named = (
        ("Typed", reading.value),
        ("Set size", reading.set_size),
        ("Goes", reading.goes),
        ("Does not go", reading.does_not_go),
    )
    return [(name, length) for name, length in named if length is not None]


def _in_mm(what: str, length: Length) -> str:
    """Write one typed length in millimetres."""
    if length.unit is LengthUnit.INCH:
        return f"{what} “{length.typed}”: {plain(length.value)} in × 25.4 = {plain(length.mm)} mm."
    return f"{what} “{length.typed}”: {plain(length.mm)} mm."


def _warmth(reading: Reading) -> str:
    """Say at which temperature a gap between leaves was taken; it is never brought to 20 °C."""
    return AS_20 if reading.temperature_c is None else f"Part at {plain(reading.temperature_c)} °C."


def size_step(
    name: str, value_mm: Decimal, limit: Limit, budget: Budget | None = None, guard_mm: Decimal = NOTHING
) -> WorkingStep:
    """Compare one size with one limit; with its uncertainty, where the sheet says what the instrument can do."""
    stands = compare(value_mm, limit, guard_mm)
    lines = [_limit_line(limit), _margin_line(value_mm, limit, stands, guard_mm)]
    if budget is not None:
        lines.append(_budget_line(budget))
        lines.append(_probability_line(value_mm, budget.combined_u_mm, limit))
    return WorkingStep(f"{name} against the {limit.called}", tuple(lines), ILAC)


def _budget_line(budget: Budget) -> str:
    """Write the uncertainty with what it is made of."""
    parts = "; ".join(f"{c.name} {plain(round(c.u_mm, 5))}" for c in budget.contributions)
    return f"Standard uncertainty u = √(sum of squares) = {plain(round(budget.combined_u_mm, 5))} mm ({parts})."


def _probability_line(value_mm: Decimal, u_mm: Decimal, limit: Limit) -> str:
    """Write the conformance probability."""
    upper = limit.side is Side.UPPER
    probability = (probability_under_upper if upper else probability_over_lower)(value_mm, u_mm, limit.size.mm)
    ratio = "Φ((T − y) / u)" if upper else "Φ((y − T) / u)"
    return f"Conformance probability {ratio} = {probability:.6f} (JCGM 106:2012, 7.3)."


def between_step(name: str, value_mm: Decimal, ends_mm: tuple[Decimal, Decimal], budget: Budget) -> WorkingStep:
    """Give the probability that a size lies between a lower and an upper limit."""
    probability = probability_between(value_mm, budget.combined_u_mm, *ends_mm)
    line = f"Conformance probability Φ((T upper − y) / u) − Φ((T lower − y) / u) = {probability:.6f}."
    return WorkingStep(f"{name} between {plain(ends_mm[0])} and {plain(ends_mm[1])} mm", (line,), "JCGM 106:2012, 7.4")


def _limit_line(limit: Limit) -> str:
    """Write the limit in millimetres with what being on it means."""
    mm = plain(limit.size.mm)
    inch = f" = {plain(limit.size.value)} in × 25.4" if limit.size.unit is LengthUnit.INCH else ""
    on_it = "on it passes" if limit.on_limit is OnLimit.MUST_NOT_BE_EXCEEDED else "on it fails"
    return f"{limit.side.capitalize()} {limit.called} T = {mm} mm{inch}; {on_it} ({limit.source})."


def _margin_line(value_mm: Decimal, limit: Limit, stands: Against, guard_mm: Decimal) -> str:
    """Work the margin out and say what it means."""
    upper = limit.side is Side.UPPER
    sum_words = (
        f"T − y = {plain(limit.size.mm)} − {plain(value_mm)}"
        if upper
        else f"y − T = {plain(value_mm)} − {plain(limit.size.mm)}"
    )
    needs = "not below nothing" if limit.on_limit is OnLimit.MUST_NOT_BE_EXCEEDED else "above nothing"
    if guard_mm:
        needs = f"at least the guard w = {plain(round(guard_mm, 5))} mm, or below −w to fail"
    failed = f"does not conform: {limit.outcome.word}"
    outcome = {Against.CONFORMS: "conforms", Against.UNPROVEN: "not proven either way"}.get(stands, failed)
    return f"{sum_words} = {plain(margin_mm(value_mm, limit))} mm; it must be {needs}: {outcome}."


def leaves_step(
    name: str,
    reading: Reading,
    limit: Limit,
    makeable_mm: tuple[Decimal, ...],
    errors_mm: tuple[Decimal, Decimal] | None,
) -> WorkingStep:
    """Compare a gap between leaves with one limit, by its ends; under the guarded rule with the leaves' own errors."""
    goes = reading.goes.mm if reading.goes else Decimal(0)
    bound = plain(limit.size.mm)
    low_mm, high_mm = errors_mm or (NOTHING, NOTHING)
    if reading.does_not_go is None:
        stands = compare_goes(goes - low_mm, limit)
        lines = [f"g = {plain(goes)} against T = {bound} mm, and no leaf that does not go: {stands.value}."]
    else:
        stops = reading.does_not_go.mm
        stands = compare_leaves(goes, stops, limit, makeable_mm, (low_mm, high_mm))
        lines = [
            f"g = {plain(goes)}, n = {plain(stops)}, T = {bound} mm: {_ends(goes, stops, limit)}: {stands.value}.",
            _interval_line(goes, stops, limit),
        ]
    lines = [*_error_lines(errors_mm), *lines]
    return WorkingStep(f"{name} against the {limit.called}", (_limit_line(limit), *lines), BOUNDS)


def _error_lines(errors_mm: tuple[Decimal, Decimal] | None) -> list[str]:
    """Write the errors of the leaves, where they count."""
    if errors_mm is None:
        return ["The error of a leaf is not known, so nothing is proven within a limit."]
    low_mm, high_mm = errors_mm
    if (low_mm, high_mm) == (NOTHING, NOTHING):
        return []
    low, high = (plain(round(error_mm, 5)) for error_mm in errors_mm)
    return [f"Errors of the leaves, added up: {low} mm of what goes, {high} mm of what does not."]


def _interval_line(goes_mm: Decimal, stops_mm: Decimal, limit: Limit) -> str:
    """Write the conformance probability of a gap anywhere between its two leaves."""
    middle, half = (goes_mm + stops_mm) / 2, (stops_mm - goes_mm) / 2
    share = (interval_under_upper if limit.side is Side.UPPER else interval_over_lower)(middle, half, limit.size.mm)
    return f"Middle {plain(middle)} ± {plain(half)} mm, anywhere alike: conformance probability {share:.4f}."


def _ends(goes_mm: Decimal, stops_mm: Decimal, limit: Limit) -> str:
    """Say how the two ends lie to the limit."""
    low = "g is over T" if goes_mm > limit.size.mm else "g is T" if goes_mm == limit.size.mm else "g is under T"
    high = "n is over T" if stops_mm > limit.size.mm else "n is T" if stops_mm == limit.size.mm else "n is under T"
    return f"{low}, {high}"
