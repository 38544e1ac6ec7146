"""How sure a reading is: standard uncertainties of feelers, scales, instruments and leaf stacks."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from app.domain.errors import WearbookError
from app.domain.sizes import positive_mm

# From memory, to be replaced by the errors on the feeler set's own certificate: up to this leaf, this error.
LEAF_ERRORS_MM = (
    (Decimal("0.30"), Decimal("0.005")),
    (Decimal("1.00"), Decimal("0.010")),
)


class UncertaintyNegative(WearbookError):
    """An uncertainty, error or resolution was given below zero."""


class NotAnInterval(WearbookError):
    """The leaf that does not go is not thicker than the leaf that goes."""


class LeafErrorUnknown(WearbookError):
    """No error is known for a leaf: neither the certificate nor the assumption covers it."""


def rectangular_u_mm(half_width_mm: Decimal) -> Decimal:
    """Give the standard uncertainty of a value that lies anywhere within plus or minus a half-width.

    Formula: u = a / sqrt(3)

    Parameters:
        half_width_mm [mm]: a, half the width of the interval.

    Returns:
        the standard uncertainty [mm].

    Safe side: larger; every place in the interval is taken as equally likely.
    Valid: a at least zero and the value surely inside.

    >>> round(rectangular_u_mm(Decimal("0.025")), 4)
    Decimal('0.0144')

    Sources:
        1. JCGM 100:2008 (GUM), 4.3.7.
    """
    return require_not_negative(half_width_mm, "the half-width") / Decimal(3).sqrt()


def feeler_estimate_mm(goes_mm: Decimal, does_not_go_mm: Decimal) -> Decimal:
    """Give the middle of the interval between the leaf that goes and the one that does not.

    Formula: y = (g + n) / 2

    Parameters:
        goes_mm [mm]: g, the thickest leaf or stack that goes.
        does_not_go_mm [mm]: n, the thinnest that does not.

    Returns:
        the estimate of the gap [mm].

    Safe side: neither; it serves trends only, a verdict goes by both ends.
    Valid: 0 <= g < n.

    >>> feeler_estimate_mm(Decimal("0.45"), Decimal("0.50"))
    Decimal('0.475')

    Sources:
        1. JCGM 100:2008 (GUM), 4.3.7.
    """
    _require_interval(goes_mm, does_not_go_mm)
    return (goes_mm + does_not_go_mm) / 2


def feeler_u_mm(goes_mm: Decimal, does_not_go_mm: Decimal) -> Decimal:
    """Give the standard uncertainty that two leaves leave in a gap.

    Formula: u = a / sqrt(3) with a = (n - g) / 2

    Parameters:
        goes_mm [mm]: g, the thickest leaf or stack that goes.
        does_not_go_mm [mm]: n, the thinnest that does not.

    Returns:
        the standard uncertainty of the middle [mm], without the errors of the leaves.

    Safe side: larger; leaves closer together make it smaller.
    Valid: 0 <= g < n.

    >>> round(feeler_u_mm(Decimal("0.45"), Decimal("0.50")), 4)
    Decimal('0.0144')

    Sources:
        1. JCGM 100:2008 (GUM), 4.3.7.
    """
    _require_interval(goes_mm, does_not_go_mm)
    return rectangular_u_mm((does_not_go_mm - goes_mm) / 2)


def resolution_u_mm(resolution_mm: Decimal) -> Decimal:
    """Give the standard uncertainty that the last digit of a display leaves.

    Formula: u = d / sqrt(12)

    Parameters:
        resolution_mm [mm]: d, the step of the last digit.

    Returns:
        the standard uncertainty [mm].

    Safe side: larger; it is the least a digital reading can have, never the whole.
    Valid: d at least zero.

    >>> round(resolution_u_mm(Decimal("0.01")), 7)
    Decimal('0.0028868')

    Sources:
        1. JCGM 100:2008 (GUM), F.2.2.1.
    """
    return require_not_negative(resolution_mm, "the resolution") / Decimal(12).sqrt()


def permissible_error_u_mm(maximum_error_mm: Decimal) -> Decimal:
    """Give the standard uncertainty of an instrument known only by its maximum permissible error.

    Formula: u = m / sqrt(3)

    Parameters:
        maximum_error_mm [mm]: m, the maximum permissible error, plus or minus.

    Returns:
        the standard uncertainty [mm].

    Safe side: larger; a calibration certificate usually gives less.
    Valid: m at least zero and the instrument within it at its last calibration.

    >>> round(permissible_error_u_mm(Decimal("0.004")), 5)
    Decimal('0.00231')

    Sources:
        1. JCGM 100:2008 (GUM), 4.3.7.
    """
    return rectangular_u_mm(maximum_error_mm)


def difference_u_mm(repeating_u_mm: Decimal) -> Decimal:
    """Give the standard uncertainty of the difference of two readings by one instrument.

    Formula: u = sqrt(2) x u_r; the setting error is the same in both readings and cancels.

    Parameters:
        repeating_u_mm [mm]: u_r, the part from repeatability and resolution only.

    Returns:
        the standard uncertainty of an ovality, a taper or an overall difference [mm].

    Safe side: larger; leave the setting error out of u_r or it is counted although it cancels.
    Valid: both readings by one instrument in one setting.

    >>> round(difference_u_mm(Decimal("0.003")), 5)
    Decimal('0.00424')

    Sources:
        1. JCGM 100:2008 (GUM), 5.1.2 and 5.2.2.
    """
    return require_not_negative(repeating_u_mm, "the uncertainty") * Decimal(2).sqrt()


def leaf_error_mm(leaf_mm: Decimal, certified_mm: Mapping[Decimal, Decimal] | None = None) -> Decimal:
    """Give the error one feeler leaf may have, plus or minus.

    Formula: the certificate's figure for the leaf; without one 0.005 mm up to 0.30 mm, 0.010 mm up to 1.00 mm.

    Parameters:
        leaf_mm [mm]: nominal thickness of the leaf.
        certified_mm [mm]: error by nominal thickness from the set's certificate, or None.

    Returns:
        the error [mm].

    Safe side: larger; wear and bends of a leaf come on top.
    Valid: leaves up to 1.00 mm without a certificate; thicker ones are refused.

    >>> leaf_error_mm(Decimal("0.30")), leaf_error_mm(Decimal("0.35"))
    (Decimal('0.005'), Decimal('0.010'))

    Sources:
        1. From memory, an assumption; BS 957 and DIN 2275 hold the standard values.
    """
    positive_mm(leaf_mm, "the leaf")
    if certified_mm and leaf_mm in certified_mm:
        return require_not_negative(certified_mm[leaf_mm], "the certified error")
    for up_to_mm, error_mm in LEAF_ERRORS_MM:
        if leaf_mm <= up_to_mm:
            return error_mm
    raise LeafErrorUnknown(
        f"no error is known for a leaf of {leaf_mm} mm; up to {LEAF_ERRORS_MM[-1][0]} mm is assumed, "
        "beyond that the certificate of the set must give it"
    )


def stack_error_mm(leaves_mm: Sequence[Decimal], certified_mm: Mapping[Decimal, Decimal] | None = None) -> Decimal:
    """Give the error a stack of leaves may have: the errors of leaves from one set add.

    Formula: E = sum of the errors of the leaves; not in quadrature, since one set has one maker's bias.

    Parameters:
        leaves_mm [mm]: nominal thickness of each leaf.
        certified_mm [mm]: error by nominal thickness from the set's certificate, or None.

    Returns:
        the error of the stack, plus or minus [mm].

    Safe side: larger; oil and dust between leaves come on top, so use the fewest leaves.
    Valid: as for one leaf; an empty stack has no error.

    >>> stack_error_mm([Decimal("0.30"), Decimal("0.50")])
    Decimal('0.015')

    Sources:
        1. JCGM 100:2008 (GUM), 5.2.2, note 1: fully correlated inputs add linearly.
    """
    return sum((leaf_error_mm(leaf_mm, certified_mm) for leaf_mm in leaves_mm), Decimal(0))


def require_not_negative(value_mm: Decimal, name: str) -> Decimal:
    """Give a width or uncertainty back if it is finite and not below zero, else refuse it by its name."""
    if not value_mm.is_finite() or value_mm < 0:
        raise UncertaintyNegative(f"{name} must be 0 mm or more; {value_mm} was given")
    return value_mm


def _require_interval(goes_mm: Decimal, does_not_go_mm: Decimal) -> None:
    """Refuse two leaves that do not enclose a gap."""
    require_not_negative(goes_mm, "the leaf that goes")
    if not does_not_go_mm > goes_mm:
        raise NotAnInterval(
            f"the leaf that does not go ({does_not_go_mm} mm) must be thicker than the one that goes ({goes_mm} mm)"
        )
