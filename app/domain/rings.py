"""What a piston ring's closed gap says: recommended gaps, growth from the bore, the ring's own wear, new rings."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.bore_grid import BoreGrid
from app.domain.cylinders import mean_diameter_at_mm
from app.domain.errors import WearbookError
from app.domain.handbook import BLOCH_HOEFNER, Basis, RuleOfThumb
from app.domain.sizes import positive_mm
from app.domain.temperature import PI

# One book gives two figures for a new cast iron ring; both are kept, each with its page.
NEW_GAP_RULES = (
    RuleOfThumb("least closed gap of a new ring", Decimal("0.002"), Basis.BORE, f"{BLOCH_HOEFNER}, p. 272"),
    RuleOfThumb("closed gap of a new ring, rule of thumb", Decimal("0.003"), Basis.BORE, f"{BLOCH_HOEFNER}, p. 228"),
)
WORN_OUT_GAP_RULE = RuleOfThumb(
    "closed gap of a worn out ring", Decimal(3), Basis.NEW_GAP, f"{BLOCH_HOEFNER}, p. 280-281"
)
SIDE_CLEARANCE_RULE = RuleOfThumb(
    "side clearance", Decimal("0.006"), Basis.RING_WIDTH, f"{BLOCH_HOEFNER}, p. 272", at_least_mm=Decimal("0.0508")
)
ANGLE_JOINT_SHARE = Decimal("0.5").sqrt()


class ReadingsDisagree(WearbookError):
    """Gap and bore cannot both be right; most often they belong to two levels."""


@dataclass(frozen=True)
class RecommendedGap:
    """A recommended closed gap and the source that gives it."""

    gap_mm: Decimal
    measure: str
    source: str


@dataclass(frozen=True)
class LevelGap:
    """The closed gap a ring shows at one level of a bore."""

    level: str
    gap_mm: Decimal


def recommended_new_gaps(bore_mm: Decimal) -> tuple[RecommendedGap, ...]:
    """Give every handbook figure for the closed gap of a new cast iron ring, the least first.

    Formula: gap = 0.002 x D and gap = 0.003 x D

    Parameters:
        bore_mm [mm]: the nominal bore D.

    Returns:
        the gaps [mm], each with its source.

    Safe side: larger; a gap too small butts when hot and breaks the ring.
    Valid: cast iron rings; it illustrates, the maker's figure comes first.

    >>> [str(gap.gap_mm) for gap in recommended_new_gaps(Decimal(254))]
    ['0.508', '0.762']

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 272.
        2. The same, p. 228.
    """
    return tuple(RecommendedGap(rule.size_mm(bore_mm), rule.measure, rule.source) for rule in NEW_GAP_RULES)


def gap_growth_mm(mean_diameter_growth_mm: Decimal) -> Decimal:
    """Give the growth of a closed gap that the bore explains.

    Formula: growth = pi x growth of the mean diameter

    Parameters:
        mean_diameter_growth_mm [mm]: growth of the mean of the axes at one level, not of the largest diameter.

    Returns:
        the growth of the gap [mm].

    Safe side: neither; the circumference follows the mean.
    Valid: gap and diameter at the same level.

    >>> round(gap_growth_mm(Decimal("0.09")), 3)
    Decimal('0.283')

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 281.
    """
    return PI * mean_diameter_growth_mm


def ring_share_mm(gap_growth_read_mm: Decimal, mean_diameter_growth_mm: Decimal) -> Decimal:
    """Give the growth of a closed gap that the ring itself has to answer for.

    Formula: share = growth of the gap - pi x growth of the mean diameter

    Parameters:
        gap_growth_read_mm [mm]: closed gap now less closed gap as new.
        mean_diameter_growth_mm [mm]: growth of the mean diameter at the level of the gap reading.

    Returns:
        the ring's own share [mm], never below zero.

    Safe side: larger; a share below zero is refused, since then the readings do not agree.
    Valid: gap and diameter at the same level, since the same date.

    >>> round(ring_share_mm(Decimal("0.36"), Decimal("0.05")), 3)
    Decimal('0.203')

    Sources:
        1. Geometry of the circle.
    """
    if mean_diameter_growth_mm < 0:
        raise ReadingsDisagree("the readings do not agree: the bore reads smaller than it was made; which level?")
    share_mm = gap_growth_read_mm - gap_growth_mm(mean_diameter_growth_mm)
    if share_mm < 0:
        raise ReadingsDisagree("the readings do not agree: the bore explains more than the whole gap; which level?")
    return share_mm


def ring_face_wear_mm(gap_growth_read_mm: Decimal, mean_diameter_growth_mm: Decimal) -> Decimal:
    """Give how much a ring has worn on its running face, in the radial direction.

    Formula: t = (growth of the gap - pi x growth of the mean diameter) / (2 x pi)

    Parameters:
        gap_growth_read_mm [mm]: closed gap now less closed gap as new.
        mean_diameter_growth_mm [mm]: growth of the mean diameter at the level of the gap reading.

    Returns:
        the radial face wear t [mm], never below zero.

    Safe side: larger; readings that would give less than nothing are refused.
    Valid: gap and diameter at the same level, ring worn evenly all round.

    >>> round(ring_face_wear_mm(Decimal("0.36"), Decimal("0.05")), 4)
    Decimal('0.0323')

    Sources:
        1. Geometry of the circle.
    """
    return ring_share_mm(gap_growth_read_mm, mean_diameter_growth_mm) / (2 * PI)


def new_ring_gap_mm(new_gap_mm: Decimal, stated_diameter_mm: Decimal, mean_diameter_mm: Decimal) -> Decimal:
    """Give the closed gap a new ring will show at a place of the bore.

    Formula: gap = new gap + pi x (mean diameter there - diameter for which the new gap is stated)

    Parameters:
        new_gap_mm [mm]: closed gap of the new ring as stated.
        stated_diameter_mm [mm]: the diameter for which it is stated.
        mean_diameter_mm [mm]: the mean diameter at the place.

    Returns:
        the closed gap there [mm]; zero or less means that the ring does not go in.

    Safe side: larger against the wear limit, smaller against butting.
    Valid: any ring whose joint is square to its circumference.

    >>> round(new_ring_gap_mm(Decimal("0.30"), Decimal("100.00"), Decimal("100.09")), 3)
    Decimal('0.583')

    Sources:
        1. Geometry of the circle; Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 281.
    """
    positive_mm(new_gap_mm, "the new gap")
    growth_mm = positive_mm(mean_diameter_mm, "the mean diameter") - positive_mm(stated_diameter_mm, "the diameter")
    return new_gap_mm + gap_growth_mm(growth_mm)


def new_ring_gaps(grid: BoreGrid, new_gap_mm: Decimal, stated_diameter_mm: Decimal) -> tuple[LevelGap, ...]:
    """Give the closed gap a new ring will show at each level, the smallest first, or nothing while a place is missing.

    Formula: gap = new gap + pi x (mean of the axes at the level - diameter for which the new gap is stated)

    Parameters:
        grid [mm]: the diameters of the bore.
        new_gap_mm [mm]: closed gap of the new ring as stated.
        stated_diameter_mm [mm]: the diameter for which it is stated.

    Returns:
        level and gap [mm], smallest first: the first is the tightest place, the last the worst; empty while a place
        is missing, since the worst could be the missing one.

    Safe side: the last against the wear limit, the first against butting.
    Valid: a fully gauged bore; if the last is over the limit, new rings alone do not restore the stage.

    >>> diameters = {(level, axis): Decimal("100.00") for level in ("top", "middle", "bottom") for axis in ("A", "B")}
    >>> worn = BoreGrid(("top", "middle", "bottom"), ("A", "B"), diameters | {("middle", "A"): Decimal("100.12")})
    >>> worst = new_ring_gaps(worn, Decimal("0.30"), Decimal("100.00"))[-1]
    >>> worst.level, round(worst.gap_mm, 3)
    ('middle', Decimal('0.488'))

    Sources:
        1. Geometry of the circle.
    """
    means_mm = {level: mean_diameter_at_mm(grid, level) for level in grid.levels}
    if not grid.is_complete:
        return ()
    gaps = [
        LevelGap(level, new_ring_gap_mm(new_gap_mm, stated_diameter_mm, mean_mm))
        for level, mean_mm in means_mm.items()
        if mean_mm is not None
    ]
    return tuple(sorted(gaps, key=lambda gap: gap.gap_mm))


def circumferential_gap_mm(square_gap_mm: Decimal) -> Decimal:
    """Give the gap along the circumference of a 45 degree joint that was measured square to the cut.

    Formula: gap = reading / sqrt(1/2), since measured square the joint reads 0.707 of the gap

    Parameters:
        square_gap_mm [mm]: the gap as measured square to the joint faces.

    Returns:
        the gap along the circumference [mm].

    Safe side: larger against the wear limit; taking the reading as it is would flatter the ring.
    Valid: a joint cut at 45 degrees; other joints need nothing.

    >>> round(circumferential_gap_mm(Decimal("0.707")), 3)
    Decimal('1.000')

    Sources:
        1. Geometry: the cosine of 45 degrees.
    """
    return positive_mm(square_gap_mm, "the gap") / ANGLE_JOINT_SHARE
