"""The verdict of a part: everything seen and gauged on it, together."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.bores import entries_of
from app.domain.errors import LimitMissing
from app.domain.part_verdicts import judge_part, judge_sight
from app.domain.readings import SEEN, Occasion
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import (
    a_cannot,
    a_gauged_overhaul,
    a_part,
    a_sheet_with,
    an_overhaul,
    bore_readings,
    ring_gap,
)

CYLINDER, VALVE = a_part("2.cylinder"), a_part("2.suction-valve")


def valve(*readings) -> Verdict:
    """The verdict on the suction valve of stage 2, all sound but for these readings."""
    return judge_part(a_gauged_overhaul(*readings), VALVE).own


def seen(codes: str, ref: str = "2.suction-valve", **other):
    """What was seen on a part."""
    return a_reading(ref, SEEN, codes, **other)


LIFT_OVER = a_reading("2.suction-valve", "lift", "1.91")
SPRING_SHORT = a_reading("2.suction-valve", "spring-length", "13.1")
NOT_GAUGED = a_cannot("2.suction-valve", "lift")


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        ((), Verdict.REUSE),
        ((seen("seat-marked"),), Verdict.REWORK),
        ((seen("seat-marked"), NOT_GAUGED), Verdict.NOT_GAUGED),
        ((seen("doubtful"), NOT_GAUGED), Verdict.UNDECIDED),
        ((seen("seat-marked+doubtful"),), Verdict.UNDECIDED),
        ((seen("doubtful"), NOT_GAUGED, SPRING_SHORT), Verdict.RENEW),
        ((LIFT_OVER,), Verdict.RENEW),
    ],
)
def test_renew_comes_before_undecided_before_not_gauged_before_rework_before_reuse(readings, verdict):
    assert valve(*readings) is verdict


def test_what_is_seen_by_eye_is_required_a_gap_alone_never_gives_reuse():
    overhaul = an_overhaul(ring_gap(1, "0.20/0.25"), a_reading("2.ring-1", "side-clearance", "0.05/0.08"))

    verdict = judge_part(overhaul, a_part("2.ring-1"))

    assert verdict.own is Verdict.NOT_GAUGED
    assert verdict.deciding.reason == "Condition not looked at yet; it is required."


def test_a_condition_that_could_not_be_seen_is_not_gauged_with_its_reason():
    judged = judge_sight(VALVE, a_cannot("2.suction-valve", SEEN, "Fast in its port."))

    assert (judged.verdict, judged.reason) == (Verdict.NOT_GAUGED, "Condition could not be seen: Fast in its port.")


def test_everything_seen_is_said_with_the_note_and_all_advice_once():
    judged = judge_sight(VALVE, seen("plate-cracked+spring-broken", reason="12 mm missing"))

    assert judged.reason == "Seen: plate cracked or broken, spring broken. Note: 12 mm missing"
    assert judged.advice == "Account for every piece before the stage is closed."
    assert judged.is_absolute
    assert judged.source == "Common practice, no source"


def test_a_sound_part_needs_no_source():
    assert judge_sight(VALVE, seen("sound")).source == ""


def test_a_code_that_this_part_does_not_know_is_never_taken_for_sound():
    assert judge_sight(VALVE, seen("sound+reed-bent")).verdict is Verdict.UNDECIDED


def test_a_whole_valve_includes_its_plate_and_springs():
    verdict = judge_part(a_gauged_overhaul(seen("plate-cracked+seat-not-clearing")), VALVE)

    assert (verdict.renews, verdict.deciding.renews) == ("whole valve", "whole valve")
    assert judge_part(a_gauged_overhaul(LIFT_OVER, SPRING_SHORT), VALVE).renews == "whole valve"
    assert judge_part(a_gauged_overhaul(SPRING_SHORT), VALVE).renews == "plate and springs"
    assert judge_part(a_gauged_overhaul(seen("seat-marked")), VALVE).renews == ""


def test_of_equal_verdicts_the_one_with_the_least_room_left_decides():
    bores = bore_readings("2.cylinder", "78.08 78.08 78.05 78.05 78.05 78.05")

    verdict = judge_part(a_gauged_overhaul(*bores), CYLINDER)

    assert verdict.own is Verdict.REUSE
    assert verdict.deciding.figure == "wear 0.08"
    assert verdict.reasons[0] == verdict.deciding


def test_a_reed_valve_is_judged_by_eye_alone():
    reed = a_part("3.suction-valve")

    sound, bent = (judge_part(an_overhaul(seen(code, reed.ref), stages=(3,)), reed) for code in ("sound", "reed-bent"))

    assert (sound.own, bent.own, bent.renews) == (Verdict.REUSE, Verdict.RENEW, "whole valve")


def test_a_used_ring_tighter_than_a_new_one_is_asked_about():
    verdict = judge_part(a_gauged_overhaul(ring_gap(1, "0.15/0.20")), a_part("2.ring-1"))

    assert verdict.own is Verdict.UNDECIDED
    assert "wrong ring" in verdict.deciding.advice
    assert judge_part(a_gauged_overhaul(ring_gap(1, "0.20/0.25")), a_part("2.ring-1")).own is Verdict.REUSE


def test_a_bore_that_reads_smaller_than_new_is_asked_about_since_the_gauge_may_be_set_wrong():
    # Every diameter a quarter low, as from a gauge set to the wrong size, would hide 0.20 of wear.
    verdict = judge_part(a_gauged_overhaul(*bore_readings("2.cylinder", "77.95 " * 6)), CYLINDER)

    assert verdict.own is Verdict.UNDECIDED
    assert "the size the gauge was set to" in verdict.deciding.advice


def test_entries_are_picked_by_part_and_characteristic():
    overhaul = a_gauged_overhaul()

    picked = entries_of(overhaul.standing(Occasion.AS_FOUND), a_part("2.ring-1"), "closed-gap")

    assert list(picked) == [("worst place", "")]


def test_a_clearance_of_a_size_that_the_sheet_does_not_hold_is_refused():
    bush = a_part("2.bush")
    clearance = replace(bush.characteristics[0], key="clearance", between=("bush.diameter", "pin.width"))

    with pytest.raises(LimitMissing, match=r"“pin\.width”"):
        judge_part(an_overhaul(), replace(bush, characteristics=(clearance,)))


def test_the_reason_of_a_sound_ring_is_the_limit_it_is_nearest_to_in_proportion():
    # Gap 0.62 of 0.65: a fifteenth of the way from new is left. Side clearance: by far more of its own way.
    ring = a_part("2.ring-1")
    overhaul = a_gauged_overhaul(ring_gap(1, "0.62"), a_reading(ring.ref, "side-clearance", "0.05"))

    leading = judge_part(overhaul, ring).deciding

    assert leading.reason == "0.62 mm is within the limit 0.65 mm."
    assert round(leading.room, 4) == Decimal("0.0667")


def test_a_sound_ring_near_its_new_minimum_is_not_explained_by_that_minimum():
    reasons = judge_part(a_gauged_overhaul(ring_gap(1, "0.21")), a_part("2.ring-1")).reasons

    assert "new minimum" not in reasons[0].reason
    assert "0.21 mm is within the new minimum 0.20 mm." in [judged.reason for judged in reasons]


def test_gaps_between_leaves_are_ordered_by_the_end_that_is_nearer_to_the_limit():
    near, far = (judge_part(a_gauged_overhaul(ring_gap(1, leaves)), a_part("2.ring-1")) for leaves in
                 ("0.60/0.65", "0.40/0.45"))  # fmt: skip

    assert near.deciding.room == 0
    assert "goes 0.60, not 0.65" in near.deciding.figure
    assert min(one.room for one in far.judged if one.place[0] == "closed-gap" and one.room is not None) > Decimal("0.4")


@pytest.mark.parametrize(("level", "verdict"), [("unworn end", Verdict.UNDECIDED), ("worst place", Verdict.REUSE)])
def test_a_worn_ring_below_the_new_minimum_is_asked_about_at_the_unworn_end_alone(level, verdict):
    ring = a_part("2.ring-1")
    gap = replace(ring.characteristics[0], levels=("unworn end", "worst place"))
    ring = replace(ring, characteristics=(gap,))
    sound = [a_reading(ring.ref, "closed-gap", "0.40", level=each) for each in gap.levels]
    tight = a_reading(ring.ref, "closed-gap", "0.15", level=level)

    overhaul = an_overhaul(a_reading(ring.ref, SEEN, "sound"), *sound, tight, sheet=a_sheet_with(ring))

    assert judge_part(overhaul, ring).own is verdict
