"""How a shaft sits in its hole: piston in cylinder, pin in bush, crankpin, and piston under its head."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.domain.errors import WearbookError
from app.domain.handbook import BLOCH_HOEFNER, COMMON_PRACTICE, Basis, RuleOfThumb
from app.domain.sizes import positive_mm

IRON_PISTON_RULE = RuleOfThumb(
    "clearance of a new cast iron piston", Decimal("0.00125"), Basis.BORE, f"{BLOCH_HOEFNER}, p. 227"
)
ALUMINIUM_PISTON_RULE = RuleOfThumb(
    "clearance of a new aluminium piston", Decimal("0.003"), Basis.BORE, f"{BLOCH_HOEFNER}, p. 227"
)
CRANKPIN_RULE = RuleOfThumb("crankpin clearance", Decimal("0.00075"), Basis.JOURNAL, f"{BLOCH_HOEFNER}, p. 227")
LEAST_BUMPING_RULE = RuleOfThumb("least bumping clearance", Decimal("0.005"), Basis.BORE, COMMON_PRACTICE)
GREATEST_BUMPING_RULE = RuleOfThumb("greatest bumping clearance", Decimal("0.01"), Basis.BORE, COMMON_PRACTICE)


class SizesMissing(WearbookError):
    """A clearance was asked for without a size of one of its parts."""


class WireNotFlattened(WearbookError):
    """A lead wire came out as thick as it went in, so the gap may be anything above it."""


@dataclass(frozen=True)
class Clearance:
    """The least and the largest clearance a pair can have; below zero the parts do not go together."""

    least_mm: Decimal
    largest_mm: Decimal


def piston_clearance(
    bores_mm: Sequence[Decimal], bores_in_skirt_travel_mm: Sequence[Decimal], skirts_mm: Sequence[Decimal]
) -> Clearance:
    """Give the two clearances of a piston in its cylinder that are checked.

    Formula: least = smallest bore - largest skirt; largest = largest bore in skirt travel - smallest skirt

    Parameters:
        bores_mm [mm]: every diameter of the bore.
        bores_in_skirt_travel_mm [mm]: those of the levels that the skirt passes.
        skirts_mm [mm]: every diameter of the skirt, taken at right angles to the pin.

    Returns:
        the least clearance, to be held against the minimum (seizure), and the largest, against the wear limit [mm].

    Safe side: the least errs small and the largest errs large, since the worst places are paired.
    Valid: micrometer and bore gauge, all at one temperature or all brought to 20 degC; not by feelers.

    >>> piston_clearance([Decimal("100.03"), Decimal("100.12")], [Decimal("100.12")], [Decimal("99.85")])
    Clearance(least_mm=Decimal('0.18'), largest_mm=Decimal('0.27'))

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 227.
    """
    smallest_bore_mm, _ = _extremes_mm(bores_mm, "the bore")
    _, largest_bore_mm = _extremes_mm(bores_in_skirt_travel_mm, "the bore in skirt travel")
    smallest_skirt_mm, largest_skirt_mm = _extremes_mm(skirts_mm, "the skirt")
    return Clearance(smallest_bore_mm - largest_skirt_mm, largest_bore_mm - smallest_skirt_mm)


def pin_clearance(bushes_mm: Sequence[Decimal], pins_mm: Sequence[Decimal]) -> Clearance:
    """Give the clearance of a pin in its bush, which has limits of its own beside those of its parts.

    Formula: least = smallest bush - largest pin; largest = largest bush - smallest pin

    Parameters:
        bushes_mm [mm]: every diameter of the bush.
        pins_mm [mm]: every diameter of the pin where the bush sits.

    Returns:
        the least and the largest clearance [mm].

    Safe side: the least errs small and the largest errs large, since the worst places are paired.
    Valid: micrometer and bore gauge, all at one temperature or all brought to 20 degC; not by feelers.

    >>> pin_clearance([Decimal("14.3206"), Decimal("14.3200")], [Decimal("14.2800")])
    Clearance(least_mm=Decimal('0.0400'), largest_mm=Decimal('0.0406'))

    Sources:
        1. US Army TM 5-4310-384-13, table G-2: pin, bush and their clearance each have a limit.
    """
    smallest_bush_mm, largest_bush_mm = _extremes_mm(bushes_mm, "the bush")
    smallest_pin_mm, largest_pin_mm = _extremes_mm(pins_mm, "the pin")
    return Clearance(smallest_bush_mm - largest_pin_mm, largest_bush_mm - smallest_pin_mm)


def bumping_clearance(flattened_mm: Sequence[Decimal], wire_mm: Decimal) -> Clearance:
    """Give the clearance between piston and head from lead wires squeezed in one turn by hand.

    Formula: least = thinnest flattened wire; largest = thickest flattened wire

    Parameters:
        flattened_mm [mm]: thickness of each wire after the turn, one wire per place.
        wire_mm [mm]: thickness of the wire before.

    Returns:
        the least and the largest clearance over the places [mm]; their difference shows a tilted piston or head.

    Safe side: the least is what the piston has; the largest tells whether dead space grows.
    Valid: after final torque, every wire flattened; a wire that was not squeezed is refused.

    >>> bumping_clearance([Decimal("0.90"), Decimal("0.98")], Decimal("2.00"))
    Clearance(least_mm=Decimal('0.90'), largest_mm=Decimal('0.98'))

    Sources:
        1. Common practice, no source.
    """
    thinnest_mm, thickest_mm = _extremes_mm(flattened_mm, "the flattened wire")
    if thickest_mm >= positive_mm(wire_mm, "the wire"):
        raise WireNotFlattened(
            f"a wire of {wire_mm} mm came out at {thickest_mm} mm: it was not squeezed. Turn again with thicker wire"
        )
    return Clearance(thinnest_mm, thickest_mm)


def _extremes_mm(sizes_mm: Sequence[Decimal], name: str) -> tuple[Decimal, Decimal]:
    """Find the smallest and largest of sizes that must all be there and above zero."""
    if not sizes_mm:
        raise SizesMissing(f"no size of {name} is given")
    checked_mm = [positive_mm(size_mm, name) for size_mm in sizes_mm]
    return min(checked_mm), max(checked_mm)
