"""How probable it is that a part conforms, and the guarded limits that keep the risk small."""

from dataclasses import dataclass
from decimal import Decimal
from math import erfc, sqrt

from app.domain.errors import WearbookError

ISO_14253_FACTOR = Decimal("1.65")


class UncertaintyMissing(WearbookError):
    """Only the simple rule may be claimed where no uncertainty above zero is known."""


class LimitsCrossed(WearbookError):
    """The lower limit stands above the upper one."""


@dataclass(frozen=True)
class GuardedLimit:
    """A limit with its guard band: accepted up to one edge, rejected beyond the other, between them not proven."""

    acceptance_limit_mm: Decimal
    rejection_limit_mm: Decimal


def probability_under_upper(reading_mm: Decimal, u_mm: Decimal, limit_mm: Decimal) -> float:
    """Give the probability that the true size is under an upper limit, for a normal reading.

    Formula: p = Phi((T - y) / u)

    Parameters:
        reading_mm [mm]: the estimate y.
        u_mm [mm]: its standard uncertainty u.
        limit_mm [mm]: the upper limit T.

    Returns:
        the conformance probability [-].

    Safe side: smaller.
    Valid: u above zero and a reading near to normal; not for a feeler's interval.

    >>> round(probability_under_upper(Decimal("-5.47"), Decimal("0.05"), Decimal("-5.40")), 6)
    0.919243

    Sources:
        1. JCGM 106:2012, 7.3.3.
    """
    return _phi(float((limit_mm - reading_mm) / _known(u_mm)))


def probability_over_lower(reading_mm: Decimal, u_mm: Decimal, limit_mm: Decimal) -> float:
    """Give the probability that the true size is over a lower limit, for a normal reading.

    Formula: p = Phi((y - T) / u)

    Parameters:
        reading_mm [mm]: the estimate y.
        u_mm [mm]: its standard uncertainty u.
        limit_mm [mm]: the lower limit T.

    Returns:
        the conformance probability [-].

    Safe side: smaller.
    Valid: u above zero and a reading near to normal; not for a feeler's interval.

    >>> round(probability_over_lower(Decimal("1.22"), Decimal("0.02"), Decimal("1.20")), 6)
    0.841345

    Sources:
        1. JCGM 106:2012, 7.3.
    """
    return _phi(float((reading_mm - limit_mm) / _known(u_mm)))


def probability_between(reading_mm: Decimal, u_mm: Decimal, lower_mm: Decimal, upper_mm: Decimal) -> float:
    """Give the probability that the true size is between two limits, for a normal reading.

    Formula: p = Phi((T_U - y) / u) - Phi((T_L - y) / u)

    Parameters:
        reading_mm [mm]: the estimate y.
        u_mm [mm]: its standard uncertainty u.
        lower_mm [mm]: the lower limit T_L.
        upper_mm [mm]: the upper limit T_U.

    Returns:
        the conformance probability [-].

    Safe side: smaller.
    Valid: u above zero, T_L not above T_U, a reading near to normal.

    >>> round(probability_between(Decimal("1.20"), Decimal("0.02"), Decimal("1.18"), Decimal("1.22")), 4)
    0.6827

    Sources:
        1. JCGM 106:2012, 7.4.
    """
    if lower_mm > upper_mm:
        raise LimitsCrossed(f"the lower limit {lower_mm} mm is above the upper limit {upper_mm} mm")
    return probability_under_upper(reading_mm, u_mm, upper_mm) - probability_under_upper(reading_mm, u_mm, lower_mm)


def interval_under_upper(middle_mm: Decimal, half_width_mm: Decimal, limit_mm: Decimal) -> float:
    """Give the share of an interval that lies under an upper limit.

    Formula: p = (T - y + a) / (2 a), not below 0 and not above 1

    Parameters:
        middle_mm [mm]: the middle y of the interval.
        half_width_mm [mm]: its half-width a.
        limit_mm [mm]: the upper limit T.

    Returns:
        the conformance probability [-].

    Safe side: smaller.
    Valid: a above zero, every place in the interval equally likely, as between two feeler leaves.

    >>> interval_under_upper(Decimal("1.18"), Decimal("0.05"), Decimal("1.20"))
    0.7

    Sources:
        1. JCGM 106:2012, 7.2 (any distribution), with the rectangular one of JCGM 100:2008, 4.3.7.
    """
    share = (limit_mm - middle_mm + _known(half_width_mm)) / (2 * half_width_mm)
    return float(min(max(share, Decimal(0)), Decimal(1)))


def interval_over_lower(middle_mm: Decimal, half_width_mm: Decimal, limit_mm: Decimal) -> float:
    """Give the share of an interval that lies over a lower limit.

    Formula: p = (y + a - T) / (2 a), not below 0 and not above 1

    Parameters:
        middle_mm [mm]: the middle y of the interval.
        half_width_mm [mm]: its half-width a.
        limit_mm [mm]: the lower limit T.

    Returns:
        the conformance probability [-].

    Safe side: smaller.
    Valid: a above zero, every place in the interval equally likely, as between two feeler leaves.

    >>> interval_over_lower(Decimal("0.475"), Decimal("0.025"), Decimal("0.46"))
    0.8

    Sources:
        1. JCGM 106:2012, 7.2 (any distribution), with the rectangular one of JCGM 100:2008, 4.3.7.
    """
    return interval_under_upper(-middle_mm, half_width_mm, -limit_mm)


def guard_band_iso_14253_mm(u_mm: Decimal) -> Decimal:
    """Give the guard band that proves conformance to 95 %.

    Formula: w = 1.65 x u

    Parameters:
        u_mm [mm]: the standard uncertainty u.

    Returns:
        the guard band w [mm].

    Safe side: larger.
    Valid: u above zero, a one-sided limit or one far from the other.

    >>> guard_band_iso_14253_mm(Decimal("0.02"))
    Decimal('0.0330')

    Sources:
        1. ISO 14253-1:2017, default of 95 %, from memory.
    """
    return ISO_14253_FACTOR * _known(u_mm)


def guard_band_ilac_g8_mm(expanded_u_mm: Decimal) -> Decimal:
    """Give the guard band as wide as the expanded uncertainty.

    Formula: w = U

    Parameters:
        expanded_u_mm [mm]: the expanded uncertainty U.

    Returns:
        the guard band w [mm].

    Safe side: larger; less than 2.5 % risk at the edge.
    Valid: U above zero.

    >>> guard_band_ilac_g8_mm(Decimal("0.001"))
    Decimal('0.001')

    Sources:
        1. ILAC-G8:09/2019, 4.2.3.
    """
    return _known(expanded_u_mm)


def guarded_upper(limit_mm: Decimal, guard_band_mm: Decimal) -> GuardedLimit:
    """Draw the guard band on both sides of an upper limit; a reading on the acceptance limit itself is accepted.

    >>> guarded_upper(Decimal("0.003"), Decimal("0.001"))
    GuardedLimit(acceptance_limit_mm=Decimal('0.002'), rejection_limit_mm=Decimal('0.004'))
    """
    return GuardedLimit(limit_mm - _known(guard_band_mm), limit_mm + guard_band_mm)


def guarded_lower(limit_mm: Decimal, guard_band_mm: Decimal) -> GuardedLimit:
    """Draw the guard band on both sides of a lower limit; a reading on the acceptance limit itself is accepted.

    >>> guarded_lower(Decimal("-0.003"), Decimal("0.001"))
    GuardedLimit(acceptance_limit_mm=Decimal('-0.002'), rejection_limit_mm=Decimal('-0.004'))
    """
    return GuardedLimit(limit_mm + _known(guard_band_mm), limit_mm - guard_band_mm)


def _phi(z: float) -> float:
    """Work out the normal distribution function; erfc keeps its digits far out on the low side."""
    return erfc(-z / sqrt(2)) / 2


def _known(uncertainty_mm: Decimal) -> Decimal:
    """Refuse to speak of probability without an uncertainty."""
    if not uncertainty_mm.is_finite() or uncertainty_mm <= 0:
        raise UncertaintyMissing("without an uncertainty above zero only the simple rule may be claimed")
    return uncertainty_mm
