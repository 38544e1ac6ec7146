"""New rings in a worn bore: the range of their gap follows the bore, and the wear limit holds all the same."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.bores import bore_of
from app.domain.limits import LimitSheet
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import judge_as_fitted
from app.domain.readings import SEEN, Occasion
from app.domain.verdicts import Judged, Verdict, heaviest
from app.domain.working import new_rings_words, working_of
from app.domain.working_rings import BUTTS_HOT
from tests.builders import a_reading
from tests.domain.builders import a_part, a_sheet_with, an_overhaul, bore_readings, fitted, ring_gap, verdict_of

FITTED = {"occasion": Occasion.AS_FITTED}
RING = a_part("2.ring-1")
NEW, EVEN, WORN = "78.00 " * 6, "78.09 " * 6, "78.09 78.09 78.06 78.06 78.00 78.00"
VERY_WORN = "78.12 78.12 78.06 78.06 78.00 78.00"
# The range of a new ring is 0.20 to 0.35 mm at 78.00 mm, its wear limit 0.65 mm. pi x 0.09 = 0.283, pi x 0.12 = 0.377.


def a_new_ring(gap: str, diameters: str, **other) -> Overhaul:
    sound = [a_reading("2.ring-1", SEEN, "sound", **FITTED), a_reading("2.ring-1", "side-clearance", "0.05", **FITTED)]
    return an_overhaul(*bore_readings("2.cylinder", diameters), *sound, ring_gap(1, gap, **FITTED), **other)


def judged(overhaul: Overhaul, renewed: str = "ring set") -> tuple[Judged, ...]:
    return judge_as_fitted(overhaul, overhaul.sheet.part("2.ring-1"), renewed)


def verdict(overhaul: Overhaul, renewed: str = "ring set") -> Verdict:
    return heaviest([one.verdict for one in judged(overhaul, renewed)])


@pytest.mark.parametrize(
    ("gap", "diameters", "expected"),
    [
        ("0.35", NEW, Verdict.REUSE),
        ("0.36", NEW, Verdict.RENEW),
        ("0.63", WORN, Verdict.REUSE),  # 0.35 + 0.283 = 0.633
        ("0.64", WORN, Verdict.RENEW),
        ("0.49", WORN, Verdict.REUSE),  # 0.20 + 0.283 = 0.483 where it is widest, so 0.20 where it is tightest
        ("0.48", WORN, Verdict.REWORK),
        ("0.20", EVEN, Verdict.REUSE),  # nowhere tighter than here
        ("0.19", EVEN, Verdict.REWORK),
        ("0.63", EVEN, Verdict.REUSE),
        ("0.65", VERY_WORN, Verdict.REUSE),  # within 0.35 + 0.377 = 0.727, and on the wear limit
        ("0.66", VERY_WORN, Verdict.RENEW),  # the wear limit still holds
        ("0.50/0.55", WORN, Verdict.REUSE),
        ("0.60/0.65", WORN, Verdict.UNDECIDED),
    ],
)
def test_the_range_of_a_new_ring_follows_the_bore_up_to_the_wear_limit(gap, diameters, expected):
    # Bloch & Hoefner, p. 281: the gap grows by pi times the growth of the diameter.
    assert verdict(a_new_ring(gap, diameters)) is expected


def test_the_reason_says_how_far_the_range_moved_with_the_bore():
    reasons = [one.reason for one in judged(a_new_ring("0.60", WORN))]

    assert "0.60 mm is within the new maximum for this bore (0.35 + π × 0.09 mm) 0.633 mm." in reasons
    assert "0.60 mm is within the new minimum for this bore (0.2 + π × 0.09 mm) 0.483 mm." in reasons


def test_the_working_holds_the_gap_against_the_moved_range():
    overhaul = a_new_ring("0.60", WORN)
    steps = working_of(overhaul, verdict_of(overhaul, "2.ring-1"), Occasion.AS_FITTED, "ring set", {})

    lines = [line for step in steps for line in step.lines]
    assert "T − y = 0.633 − 0.60 = 0.033 mm; it must be not below nothing: conforms." in lines


def test_a_bore_that_is_not_fully_gauged_moves_nothing():
    assert verdict(a_new_ring("0.36", "78.09 78.09 78.06 78.06 78.00")) is Verdict.RENEW


def test_a_bore_gauged_again_after_the_work_counts_and_not_as_it_was_found():
    honed = a_new_ring("0.36", WORN)
    honed = replace(honed, readings=(*honed.readings, *bore_readings("2.cylinder", "78.25 " * 6, **FITTED)))

    assert verdict(fitted(honed, "2.cylinder", made_to="78.25")) is Verdict.RENEW
    assert bore_of(fitted(honed, "2.cylinder", made_to="78.25"), RING, Occasion.AS_FITTED).base_mm == 78.25


def test_a_ring_that_stays_is_held_against_its_wear_limit_alone():
    assert verdict(a_new_ring("0.36", NEW), renewed="") is Verdict.REUSE


def test_a_bore_smaller_than_its_base_size_takes_nothing_off_the_range():
    assert verdict(a_new_ring("0.35", "77.99 " * 6)) is Verdict.REUSE


@pytest.mark.parametrize(
    ("level", "room"),
    [
        ("worst place", ("0.09", "0.09")),
        ("unworn end", ("0.00", "0.00")),
        ("mid stroke", ("0.06", "0.06")),
    ],
)
def test_the_room_is_that_of_the_level_where_the_gap_is_taken(level, room):
    found = bore_of(a_new_ring("0.30", WORN), RING, Occasion.AS_FITTED).room_at(level)

    assert (str(found.over_base_mm), str(found.over_tightest_mm)) == room


def test_a_ring_without_a_new_range_keeps_its_wear_limit():
    bare = replace(RING, characteristics=tuple(replace(each, new=None) for each in RING.characteristics))

    assert verdict(a_new_ring("0.65", WORN, sheet=a_sheet_with(bare))) is Verdict.REUSE
    assert verdict(a_new_ring("0.66", WORN, sheet=a_sheet_with(bare))) is Verdict.RENEW


def test_a_bore_without_a_size_that_wear_counts_from_moves_nothing():
    cylinder = a_part("2.cylinder")
    bare = replace(cylinder, characteristics=tuple(replace(each, base_size=None) for each in cylinder.characteristics))

    assert verdict(a_new_ring("0.36", WORN, sheet=a_sheet_with(bare))) is Verdict.RENEW


def test_new_rings_that_alone_do_not_restore_the_stage_are_still_said_so_as_found():
    worn = an_overhaul(*bore_readings("2.cylinder", VERY_WORN), ring_gap(1, "0.70"))

    # The widest new ring would show 0.35 + 0.377 = 0.727 mm there, over the limit 0.65 mm.
    assert new_rings_words(worn, RING) == "New rings alone do not restore this stage."


def with_temperatures(ring_c: str, cylinder_c: str) -> LimitSheet:
    """The sheet with what ring 1 and the cylinder come to at work."""
    cylinder = replace(a_part("2.cylinder"), material="grey iron", working_temperature_c=Decimal(cylinder_c))
    return a_sheet_with(replace(RING, material="grey iron", working_temperature_c=Decimal(ring_c)), cylinder)


def test_new_rings_whose_ends_would_meet_when_hot_are_warned_of():
    # pi x 78.00 mm x 11.4e-6 /K x 110 K = 0.307 mm closes the new minimum, 0.20 mm, where ring and bore are grey iron.
    bore = bore_readings("2.cylinder", NEW)
    cold_bore = an_overhaul(*bore, ring_gap(1, "0.70"), sheet=with_temperatures("130", "20"))
    even = an_overhaul(*bore, ring_gap(1, "0.70"), sheet=with_temperatures("130", "120"))

    words = [new_rings_words(each, each.sheet.part("2.ring-1")) for each in (cold_bore, even)]
    assert words == [BUTTS_HOT, ""]


def test_the_growth_of_a_gap_counts_from_the_bore_at_the_level_that_the_gap_was_gauged_at():
    level = "bottom of ring travel"
    gap = replace(RING.characteristics[0], levels=(level,))
    assert gap.key == "closed-gap"
    sheet = a_sheet_with(replace(RING, characteristics=(gap, *RING.characteristics[1:])))
    found = an_overhaul(
        *bore_readings("2.cylinder", "78.09 78.09 78.06 78.06 78.02 78.02"),
        a_reading("2.ring-1", "closed-gap", "0.50", level=level),
        sheet=sheet,
    )

    lines = [
        line
        for step in working_of(found, verdict_of(found, "2.ring-1"), Occasion.AS_FOUND, "", {})
        for line in step.lines
    ]

    assert any("π × (78.02 − 78.00) ≈ 0.063 mm (mean diameter, bottom of ring travel)." in line for line in lines)
