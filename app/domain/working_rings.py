"""The working of a ring: where its gap came from, what a new one would show here, whether that stays open hot."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from app.domain.hot_gap import HotGap, HotGapFinding, WorkingConditions, hot_gap
from app.domain.limits import NewRange
from app.domain.rings import ReadingsDisagree, gap_growth_mm, new_ring_gap_mm, ring_face_wear_mm
from app.domain.working_steps import WorkingStep, plain, rounded

GROWTH = "Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 281"
EXPANSION = "Callister, Materials Science and Engineering, table B.6 (expansion)"
NOT_RESTORED = "New rings alone do not restore this stage."
BUTTS_HOT = "A new ring at the smallest new gap would butt when hot in this bore: gauge its gap before it goes in."


@dataclass(frozen=True)
class RingInBore:
    """A ring's gap and the bore it was gauged in."""

    gap_mm: Decimal
    level: str  # where the gap was gauged, as the sheet names it
    gap_as_fitted_mm: Decimal
    is_fitted_known: bool  # else the middle of the new range stands in for it
    means: Mapping[str, Decimal]  # mean diameter [mm] by level
    base_mm: Decimal
    new: NewRange
    limit_mm: Decimal | None
    conditions: WorkingConditions

    @property
    def worst_level(self) -> str:
        """The level with the largest mean diameter, where the gap is at its widest."""
        return max(self.means, key=lambda level: self.means[level])

    @property
    def tightest_level(self) -> str:
        """The level with the smallest mean diameter, where a new ring could butt."""
        return min(self.means, key=lambda level: self.means[level])

    @property
    def gauged_level(self) -> str:
        """The level of the bore that the gap was gauged at; the widest where the sheet names no level of the bore."""
        return self.level if self.level in self.means else self.worst_level

    @property
    def new_gaps_mm(self) -> tuple[Decimal, Decimal]:
        """The gap of the widest new ring at the worst level, and of the tightest at the tightest level."""
        widest = new_ring_gap_mm(self.new.upper.mm, self.base_mm, self.means[self.worst_level])
        tightest = new_ring_gap_mm(self.new.lower.mm, self.base_mm, self.means[self.tightest_level])
        return widest, tightest

    @property
    def is_restored_by_rings(self) -> bool:
        """Whether new rings in this bore would stay within the wear limit."""
        return self.limit_mm is None or self.new_gaps_mm[0] <= self.limit_mm

    @property
    def hot(self) -> HotGap:
        """What is left hot of the tightest new ring's gap, at the tightest level."""
        return hot_gap(self.new_gaps_mm[1], self.means[self.tightest_level], self.conditions)

    @property
    def warnings(self) -> str:
        """What a person who orders new rings for this bore must know, in sentences; mostly nothing."""
        said = ((not self.is_restored_by_rings, NOT_RESTORED), (self.hot.finding is HotGapFinding.BUTTS, BUTTS_HOT))
        return " ".join(words for is_so, words in said if is_so)


def ring_steps(ring: RingInBore) -> tuple[WorkingStep, ...]:
    """Work a ring's growth, the new ring's gap and the hot gap out of a fully gauged bore."""
    return _growth(ring), _new_ring(ring), _hot(ring)


def _growth(ring: RingInBore) -> WorkingStep:
    """Split the growth of the gap between bore and ring."""
    growth = ring.gap_mm - ring.gap_as_fitted_mm
    mean = ring.means[ring.gauged_level]
    wider = mean - ring.base_mm
    origin = "as fitted" if ring.is_fitted_known else "middle of the new range, since none is recorded as fitted"
    lines = [
        f"Gap now − gap new ({origin}): {plain(ring.gap_mm)} − {plain(ring.gap_as_fitted_mm)} = {plain(growth)} mm.",
        f"From the bore: π × ({plain(mean)} − {plain(ring.base_mm)}) {rounded(gap_growth_mm(wider), 3)} mm "
        f"(mean diameter, {ring.gauged_level}).",
    ]
    try:
        wear = ring_face_wear_mm(growth, wider)
        lines.append(f"From the ring: radial face wear ({plain(growth)} − π × {plain(wider)}) / 2π {rounded(wear)} mm.")
    except ReadingsDisagree as disagreement:
        lines.append(str(disagreement))
    return WorkingStep("Where the gap came from", tuple(lines), GROWTH)


def _new_ring(ring: RingInBore) -> WorkingStep:
    """Show what a new ring would show at the worst place of this bore."""
    widest, _ = ring.new_gaps_mm
    worst = ring.means[ring.worst_level]
    lines = [
        f"Widest new gap at {ring.worst_level}: {plain(ring.new.upper.mm)} + π × ({plain(worst)} − "
        f"{plain(ring.base_mm)}) {rounded(widest, 3)} mm."
    ]
    if ring.limit_mm is not None:
        stands = "within" if ring.is_restored_by_rings else "over"
        lines.append(
            f"This is {stands} the limit {plain(ring.limit_mm)} mm."
            + ("" if ring.is_restored_by_rings else f" {NOT_RESTORED}")
        )
    return WorkingStep("A new ring in this bore", tuple(lines), GROWTH)


def _hot(ring: RingInBore) -> WorkingStep:
    """Show whether the tightest new ring stays open at working temperature."""
    tightest, found = ring.new_gaps_mm[1], ring.hot
    if found.finding is HotGapFinding.NOT_CHECKED or found.gap_mm is None:
        return WorkingStep("Hot gap", (f"Not checked: {', '.join(found.missing)} not on the sheet.",))
    warned = f" {BUTTS_HOT}" if found.finding is HotGapFinding.BUTTS else ""
    line = f"Tightest new gap {rounded(tightest, 3)} mm cold; hot {rounded(found.gap_mm, 3)} mm: {found.finding.value}."
    return WorkingStep(
        "Hot gap", (line + warned,), "Callister, Materials Science and Engineering, table B.6 (expansion)"
    )
