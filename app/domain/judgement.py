"""The one place where a measured value is compared with a limit."""

from collections.abc import Iterable
from decimal import Decimal
from enum import Enum
from itertools import combinations

from app.domain.limits import Limit, NewRange, OnLimit, Side

ZERO = Decimal(0)


class Against(Enum):
    """How a reading stands against a limit."""

    CONFORMS = "conforms"
    FAILS = "fails"
    UNPROVEN = "unproven"


def margin_mm(value_mm: Decimal, limit: Limit) -> Decimal:
    """Give the distance a value keeps to the good side of a limit.

    Formula: margin = T - y for an upper limit, y - T for a lower one.

    Parameters:
        value_mm [mm]: the value y.
        limit [-]: the limit T, with its side.

    Returns:
        the margin [mm], negative beyond the limit.

    Safe side: exact decimals, so neither side.
    Valid: any finite value.

    >>> from app.domain.numbers import millimetres
    >>> from app.domain.limits import Measure
    >>> margin_mm(Decimal("0.70"), Limit(Measure.VALUE, Side.UPPER, millimetres("0.65")))
    Decimal('-0.05')

    Sources:
        1. JCGM 106:2012, 7.2 and 7.3: one-sided tolerance intervals.
    """
    return limit.size.mm - value_mm if limit.side is Side.UPPER else value_mm - limit.size.mm


def compare(value_mm: Decimal, limit: Limit, guard_mm: Decimal = ZERO) -> Against:
    """Compare one value with a limit, simply (no guard) or with a guard band.

    Formula: conforms when margin >= w, fails when margin < -w, unproven between; with w = 0 a margin of
    nothing passes where the limit must not be exceeded and fails where it must not be reached.

    Parameters:
        value_mm [mm]: the value y.
        limit [-]: the limit T.
        guard_mm [mm]: the guard w, nothing under the simple rule.

    Returns:
        how the value stands [-].

    Safe side: a guard never accepts what the simple rule refuses.
    Valid: guard_mm not negative.

    >>> from app.domain.numbers import millimetres
    >>> from app.domain.limits import Measure
    >>> limit = Limit(Measure.VALUE, Side.UPPER, millimetres("0.10"))
    >>> compare(Decimal("120.12") - Decimal("120.02"), limit)
    <Against.CONFORMS: 'conforms'>

    Sources:
        1. ILAC-G8:09/2019, 4.2.1 (simple acceptance) and 4.2.3 (guard bands).
        2. JCGM 106:2012, 8.3: the acceptance interval is closed.
    """
    margin = margin_mm(value_mm, limit)
    if margin == 0 and limit.on_limit is OnLimit.MUST_NOT_BE_REACHED:
        return Against.FAILS if guard_mm == 0 else Against.UNPROVEN
    if margin >= guard_mm:
        return Against.CONFORMS
    return Against.FAILS if margin < -guard_mm else Against.UNPROVEN


def compare_leaves(
    goes_mm: Decimal,
    does_not_go_mm: Decimal,
    limit: Limit,
    makeable_mm: tuple[Decimal, ...] = (),
    errors_mm: tuple[Decimal, Decimal] = (ZERO, ZERO),
) -> Against:
    """Compare a gap that lies in [goes, does not go) with a limit, by its ends and never by its middle.

    Formula: upper limit: conforms when n + E_n <= T, fails when g - E_g > T; lower limit: conforms when
    g - E_g >= T, fails when n + E_n <= T; unproven between. Without errors, where g = T and n is the thinnest
    leaf or stack above T that the set allows, the gap reads as T.

    Parameters:
        goes_mm [mm]: the thickest leaf or stack that goes, g.
        does_not_go_mm [mm]: the thinnest that does not go, n.
        limit [-]: the limit T.
        makeable_mm [mm]: every thickness the set allows, rising.
        errors_mm [mm]: the summed leaf errors E_g and E_n, nothing under the simple rule.

    Returns:
        how the gap stands [-].

    Safe side: an interval that holds the limit is never accepted by its middle.
    Valid: g < n.

    >>> from app.domain.numbers import millimetres
    >>> from app.domain.limits import Measure
    >>> limit = Limit(Measure.VALUE, Side.UPPER, millimetres("0.698"))
    >>> compare_leaves(Decimal("0.60"), Decimal("0.70"), limit)
    <Against.UNPROVEN: 'unproven'>

    Sources:
        1. JCGM 100:2008, 4.3.7: knowledge of bounds only.
    """
    lowest, highest = goes_mm - errors_mm[0], does_not_go_mm + errors_mm[1]
    if limit.side is Side.LOWER:
        if highest <= limit.size.mm:
            return Against.FAILS
        return Against.CONFORMS if compare(lowest, limit) is Against.CONFORMS else Against.UNPROVEN
    if highest <= limit.size.mm or _reads_as_limit(goes_mm, does_not_go_mm, limit, makeable_mm, errors_mm):
        return Against.CONFORMS
    return Against.FAILS if compare(lowest, limit) is Against.FAILS else Against.UNPROVEN


def _reads_as_limit(
    goes_mm: Decimal,
    does_not_go_mm: Decimal,
    limit: Limit,
    makeable_mm: tuple[Decimal, ...],
    errors_mm: tuple[Decimal, Decimal],
) -> bool:
    """Whether the gap can only be read as the limit itself, which passes."""
    is_simple = errors_mm == (ZERO, ZERO) and limit.on_limit is OnLimit.MUST_NOT_BE_EXCEEDED
    thinnest = thinnest_above(limit.size.mm, makeable_mm)
    return is_simple and goes_mm == limit.size.mm and thinnest is not None and does_not_go_mm <= thinnest


def compare_goes(goes_mm: Decimal, limit: Limit) -> Against:
    """Compare a gap known only from below, by a leaf that goes.

    Formula: upper limit: fails when g > T, else unproven; lower limit: conforms when g >= T, else unproven.

    Parameters:
        goes_mm [mm]: the leaf that goes, g.
        limit [-]: the limit T.

    Returns:
        how the gap stands [-].

    Safe side: never accepted under an upper limit without the leaf that does not go.
    Valid: any leaf.

    >>> from app.domain.numbers import millimetres
    >>> from app.domain.limits import Measure
    >>> compare_goes(Decimal("0.66"), Limit(Measure.VALUE, Side.UPPER, millimetres("0.65")))
    <Against.FAILS: 'fails'>

    Sources:
        1. Common practice, no source.
    """
    stands = compare(goes_mm, limit)
    settled = Against.FAILS if limit.side is Side.UPPER else Against.CONFORMS
    return stands if stands is settled else Against.UNPROVEN


def is_within_new(value_mm: Decimal, new: NewRange) -> bool:
    """Whether a size lies in the range of a new part, ends included."""
    return new.lower.mm <= value_mm <= new.upper.mm


def makeable(leaves_mm: Iterable[Decimal]) -> tuple[Decimal, ...]:
    """List, rising, every thickness that one leaf or a stack of two gives.

    >>> makeable([Decimal("0.05"), Decimal("0.10")])
    (Decimal('0.05'), Decimal('0.10'), Decimal('0.15'))
    """
    single = set(leaves_mm)
    return tuple(sorted(single | {a + b for a, b in combinations(sorted(single), 2)}))


def thinnest_above(limit_mm: Decimal, makeable_mm: tuple[Decimal, ...]) -> Decimal | None:
    """Find the thinnest leaf or stack over a thickness."""
    return next((thickness for thickness in makeable_mm if thickness > limit_mm), None)


def settling_leaf(
    goes_mm: Decimal, does_not_go_mm: Decimal | None, limit: Limit, makeable_mm: tuple[Decimal, ...]
) -> Decimal | None:
    """Name the leaf to try next, strictly between the two: the one nearest the limit on its good side, else beyond it.

    >>> from app.domain.numbers import millimetres
    >>> from app.domain.limits import Measure
    >>> limit = Limit(Measure.VALUE, Side.UPPER, millimetres("0.65"))
    >>> settling_leaf(Decimal("0.60"), Decimal("0.70"), limit, makeable([Decimal("0.60"), Decimal("0.65")]))
    Decimal('0.65')
    """
    between = [t for t in makeable_mm if goes_mm < t and (does_not_go_mm is None or t < does_not_go_mm)]
    good = [thickness for thickness in between if margin_mm(thickness, limit) >= 0]
    return min(good or between, key=lambda thickness: abs(margin_mm(thickness, limit)), default=None)
