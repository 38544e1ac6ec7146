"""Student's t distribution: how far few readings may scatter."""

from math import exp, lgamma, log, log1p
from statistics import NormalDist

from app.domain.errors import WearbookError

_TINY = 1e-300
_CLOSE_ENOUGH = 3e-15
_AS_GOOD_AS_NORMAL = 1e6


class NotAProbability(WearbookError):
    """A probability was asked for that does not lie strictly between 0 and 1."""


class DegreesOfFreedomMissing(WearbookError):
    """There are no degrees of freedom left: too few readings."""


def student_t_quantile(probability: float, degrees_of_freedom: float) -> float:
    """Give the value that Student's t stays below with the given probability.

    Formula: t with P(T <= t) = p; the tail is half the incomplete beta I_x(v/2, 1/2) at x = v / (v + t^2).

    Parameters:
        probability [-]: p, strictly between 0 and 1; 0.975 for a two-sided 95 % interval.
        degrees_of_freedom [-]: v, above zero, whole or not.

    Returns:
        the quantile t [-].

    Safe side: neither; found by halving until the floating point numbers run out.
    Valid: 0.0005 to 0.9995; from a million degrees of freedom up the normal quantile is given.

    >>> round(student_t_quantile(0.975, 10), 3)
    2.228

    Sources:
        1. JCGM 100:2008 (GUM), annex G, table G.2: t for 95 % and 10 degrees of freedom is 2.23.
    """
    if not 0 < probability < 1:
        raise NotAProbability(f"{probability} is not a probability strictly between 0 and 1")
    if not degrees_of_freedom > 0:
        raise DegreesOfFreedomMissing("no degrees of freedom are left; more readings are needed")
    if probability < 0.5:
        return -student_t_quantile(1 - probability, degrees_of_freedom)
    if degrees_of_freedom > _AS_GOOD_AS_NORMAL:
        return NormalDist().inv_cdf(probability)
    return _halve_to_tail(1 - probability, degrees_of_freedom)


def _halve_to_tail(tail: float, degrees_of_freedom: float) -> float:
    """Find t of at least zero whose upper tail is the given one."""
    low, high = 0.0, 1.0
    while _upper_tail(high, degrees_of_freedom) > tail:
        low, high = high, 2 * high
    while low < (middle := (low + high) / 2) < high:
        if _upper_tail(middle, degrees_of_freedom) > tail:
            low = middle
        else:
            high = middle
    return low


def _upper_tail(t: float, degrees_of_freedom: float) -> float:
    """P(T > t) for t of at least zero."""
    denominator = degrees_of_freedom + t * t
    return _incomplete_beta(degrees_of_freedom / denominator, t * t / denominator, degrees_of_freedom / 2, 0.5) / 2


def _incomplete_beta(x: float, rest: float, a: float, b: float) -> float:
    """Regularised incomplete beta I_x(a, b), with rest = 1 - x given apart so that no digits are lost."""
    if x <= 0 or rest <= 0:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        # The fraction converges fast only on this side; the other side is its mirror image.
        return 1 - _incomplete_beta(rest, x, b, a)
    log_x = log1p(-rest) if rest < 0.5 else log(x)
    log_rest = log1p(-x) if x < 0.5 else log(rest)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log_x + b * log_rest)
    return front * _beta_fraction(x, a, b) / a


def _beta_fraction(x: float, a: float, b: float) -> float:
    """Continued fraction of the incomplete beta, by Lentz's method (Abramowitz & Stegun, 26.5.8)."""
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1))
    fraction, m = d, 0
    while m == 0 or abs(c * d - 1) > _CLOSE_ENOUGH:
        m += 1
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / ((1 + term * d) or _TINY)
            c = (1 + term / c) or _TINY
            fraction *= c * d
    return fraction
