"""Whether a ring's ends can meet when it is hot: the gap left at working temperature."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from app.domain.sizes import positive_mm
from app.domain.temperature import PI, Warmth


class HotGapFinding(StrEnum):
    """What is known of a ring at working temperature; the value is the wording shown on pages."""

    STAYS_OPEN = "stays open when hot"
    BUTTS = "butts when hot"
    NOT_CHECKED = "not checked"


@dataclass(frozen=True)
class WorkingConditions:
    """What the sheet says of ring and cylinder at work; None where it says nothing."""

    ring_temperature_c: Decimal | None = None
    ring_expansion_per_k: Decimal | None = None
    cylinder_temperature_c: Decimal | None = None
    cylinder_expansion_per_k: Decimal | None = None

    @property
    def missing(self) -> tuple[str, ...]:
        """What the sheet would have to give before the hot gap can be checked."""
        given = {
            "ring temperature": self.ring_temperature_c,
            "ring material": self.ring_expansion_per_k,
            "cylinder temperature": self.cylinder_temperature_c,
            "cylinder material": self.cylinder_expansion_per_k,
        }
        return tuple(name for name, value in given.items() if value is None)


@dataclass(frozen=True)
class HotGap:
    """The gap left when hot, or why it was not checked."""

    finding: HotGapFinding
    gap_mm: Decimal | None
    missing: tuple[str, ...] = ()


def gap_closing_mm(bore_mm: Decimal, ring: Warmth, cylinder: Warmth) -> Decimal:
    """Give how much a gap closes from 20 degC to working temperature.

    Formula: closing = pi x D x (a_ring x (T_ring - 20) - a_cylinder x (T_cylinder - 20))

    Parameters:
        bore_mm [mm]: the bore diameter D at its tightest place.
        ring [degC, 1/K]: working temperature and expansion of the ring.
        cylinder [degC, 1/K]: the same of the cylinder.

    Returns:
        the closing of the gap [mm]; below zero where the gap opens.

    Safe side: larger; take the ring hotter rather than cooler.
    Valid: -20 to 300 degC, expansion the same all the way.

    >>> ring, cylinder = Warmth(Decimal(180), Decimal("60e-6")), Warmth(Decimal(120), Decimal("11.4e-6"))
    >>> round(gap_closing_mm(Decimal(140), ring, cylinder), 2)
    Decimal('3.72')

    Sources:
        1. Geometry of the circle.
        2. Callister, Materials Science and Engineering, table B.6 (grey iron); filled PTFE from memory.
    """
    return PI * positive_mm(bore_mm, "the bore") * (ring.strain - cylinder.strain)


def hot_gap(cold_gap_mm: Decimal, bore_mm: Decimal, conditions: WorkingConditions) -> HotGap:
    """Give the gap a ring keeps at working temperature, or say that it was not checked.

    Formula: hot gap = cold gap - closing of the gap; it must stay above zero

    Parameters:
        cold_gap_mm [mm]: closed gap at 20 degC at the tightest place.
        bore_mm [mm]: the bore diameter there.
        conditions [degC, 1/K]: working temperatures and expansions, as far as the sheet gives them.

    Returns:
        the finding, with the hot gap [mm] where it could be worked out, else what is missing.

    Safe side: larger; at exactly zero the ends already meet.
    Valid: -20 to 300 degC; without the sheet's data nothing is claimed.

    >>> hot_gap(Decimal("0.30"), Decimal(140), WorkingConditions(ring_temperature_c=Decimal(180))).missing
    ('ring material', 'cylinder temperature', 'cylinder material')

    Sources:
        1. Geometry of the circle.
    """
    positive_mm(cold_gap_mm, "the cold gap")
    bodies = _bodies(conditions)
    if bodies is None:
        return HotGap(HotGapFinding.NOT_CHECKED, None, conditions.missing)
    gap_mm = cold_gap_mm - gap_closing_mm(bore_mm, *bodies)
    return HotGap(HotGapFinding.STAYS_OPEN if gap_mm > 0 else HotGapFinding.BUTTS, gap_mm)


def _bodies(conditions: WorkingConditions) -> tuple[Warmth, Warmth] | None:
    """Ring and cylinder at work, or None where anything about them is missing."""
    ring_c, ring_per_k = conditions.ring_temperature_c, conditions.ring_expansion_per_k
    cylinder_c, cylinder_per_k = conditions.cylinder_temperature_c, conditions.cylinder_expansion_per_k
    if ring_c is None or ring_per_k is None or cylinder_c is None or cylinder_per_k is None:
        return None
    return Warmth(ring_c, ring_per_k), Warmth(cylinder_c, cylinder_per_k)
