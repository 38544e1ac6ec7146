"""An overhaul as a whole: sets go as one, mates wait, decisions hold while nothing is entered after them."""

from dataclasses import replace

import pytest

from app.domain.limits import PartSet
from app.domain.overhaul_verdicts import (
    by_weight,
    cannot_gauge_count,
    is_with_the_set,
    judge_overhaul,
    judge_sets,
    lapsed_decisions,
    renewed_object,
    to_settle,
    ungauged_parts,
)
from app.domain.readings import SEEN
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import (
    MUCH_LATER,
    a_cannot,
    a_concession,
    a_decision,
    a_gauged_overhaul,
    a_part,
    an_overhaul,
    bore_readings,
    decided,
    entered,
    ring_gap,
    the_sheet,
    verdict_of,
)

RINGS = ("2.ring-1", "2.ring-2", "2.ring-3")
RING_SET = "2.ring-set"
OVER = ring_gap(2, "0.70/0.75")
DOUBTFUL_PISTON = a_reading("2.piston", SEEN, "doubtful")


def rings(overhaul):
    """The verdicts on the three rings."""
    return [verdict_of(overhaul, ref).verdict for ref in RINGS]


def the_set(overhaul):
    """The verdict on the ring set."""
    [judged] = judge_sets(overhaul, judge_overhaul(overhaul))
    return judged


def test_one_ring_over_its_limit_renews_the_set_and_the_others_keep_their_own_reading():
    overhaul = a_gauged_overhaul(OVER)
    guilty, other = verdict_of(overhaul, "2.ring-2"), verdict_of(overhaul, "2.ring-1")

    assert rings(overhaul) == [Verdict.RENEW] * 3
    assert (other.own, is_with_the_set(other), is_with_the_set(guilty)) == (Verdict.REUSE, True, False)
    assert other.set_reason == "Ring 2: renewed, so is the whole set of 3."
    assert (guilty.renews, renewed_object(guilty)) == ("", "ring set")
    assert (the_set(overhaul).verdict, the_set(overhaul).reason) == (Verdict.RENEW, other.set_reason)


def test_two_guilty_rings_are_both_named():
    overhaul = a_gauged_overhaul(OVER, ring_gap(3, "0.66"))

    assert the_set(overhaul).reason == "Ring 2 and Ring 3: renewed, so is the whole set of 3."


@pytest.mark.parametrize("code", ["broken", "scuffed", "stuck"])
def test_a_ring_broken_scuffed_or_stuck_renews_the_set(code):
    assert rings(a_gauged_overhaul(a_reading("2.ring-3", SEEN, code))) == [Verdict.RENEW] * 3


def test_a_member_not_gauged_goes_with_a_set_that_is_renewed():
    overhaul = an_overhaul(OVER)

    assert rings(overhaul) == [Verdict.RENEW] * 3
    assert verdict_of(overhaul, "2.ring-1").own is Verdict.NOT_GAUGED


@pytest.mark.parametrize(
    ("readings", "own", "of_set"),
    [
        ((ring_gap(1, "0.60/0.70"),), [Verdict.UNDECIDED, Verdict.REUSE, Verdict.REUSE], Verdict.UNDECIDED),
        ((ring_gap(1, "0.60/0.70"), a_cannot("2.ring-2", SEEN)),
         [Verdict.UNDECIDED, Verdict.NOT_GAUGED, Verdict.REUSE], Verdict.UNDECIDED),
        ((a_cannot("2.ring-2", SEEN),), [Verdict.REUSE, Verdict.NOT_GAUGED, Verdict.REUSE], Verdict.NOT_GAUGED),
        ((), [Verdict.REUSE] * 3, Verdict.REUSE),
    ],
)  # fmt: skip
def test_without_a_ring_to_renew_each_keeps_its_own_and_the_set_takes_the_heaviest(readings, own, of_set):
    overhaul = a_gauged_overhaul(*readings)

    assert rings(overhaul) == own
    assert (the_set(overhaul).verdict, the_set(overhaul).reason) == (of_set, f"Ring set: {of_set.word}.")


def test_an_undecided_member_beside_a_guilty_one_goes_with_the_set():
    assert rings(a_gauged_overhaul(OVER, ring_gap(1, "0.60/0.70"))) == [Verdict.RENEW] * 3


def test_a_decision_to_renew_one_ring_renews_the_set_and_says_that_it_was_decided():
    overhaul = decided(a_gauged_overhaul(), a_decision("2.ring-1", Verdict.RENEW))

    assert rings(overhaul) == [Verdict.RENEW] * 3
    assert the_set(overhaul).reason == "Ring 1: renewed by decision, so is the whole set of 3."


def test_a_decision_to_reuse_one_ring_does_not_keep_a_set_that_another_renews():
    overhaul = decided(a_gauged_overhaul(OVER), a_decision("2.ring-1", Verdict.REUSE))

    assert rings(overhaul) == [Verdict.RENEW] * 3


def test_the_decision_on_a_set_holds_for_every_member():
    overhaul = decided(a_gauged_overhaul(OVER), a_decision(RING_SET, Verdict.REUSE, a_concession()))

    assert rings(overhaul) == [Verdict.REUSE] * 3
    assert (the_set(overhaul).machine, the_set(overhaul).verdict) == (Verdict.RENEW, Verdict.REUSE)
    assert not is_with_the_set(verdict_of(overhaul, "2.ring-1"))


@pytest.mark.parametrize("ring", [1, 2])
def test_a_concession_on_a_set_lapses_when_any_member_is_entered_again(ring):
    overhaul = decided(a_gauged_overhaul(OVER), a_decision(RING_SET, Verdict.REUSE, a_concession()))

    after = entered(overhaul, ring_gap(ring, "0.80", at=MUCH_LATER))

    assert rings(after) == [Verdict.RENEW] * 3
    assert [v.decided_ref for v in lapsed_decisions(after, judge_overhaul(after))] == [RING_SET]


def test_a_concession_on_a_set_does_not_come_back_when_another_ring_renews_it_later():
    overhaul = decided(a_gauged_overhaul(OVER), a_decision(RING_SET, Verdict.REUSE, a_concession()))
    put_right = entered(overhaul, ring_gap(2, "0.50/0.55", at=MUCH_LATER))

    again = decided(put_right, a_decision("2.ring-3", Verdict.RENEW, at=MUCH_LATER))

    assert rings(put_right) == [Verdict.REUSE] * 3
    assert the_set(put_right).decision is None
    assert rings(again) == [Verdict.RENEW] * 3


def test_a_decision_to_reuse_lapses_when_the_part_is_entered_again():
    overhaul = decided(a_gauged_overhaul(DOUBTFUL_PISTON), a_decision("2.piston", Verdict.REUSE))
    cracked = entered(overhaul, a_reading("2.piston", SEEN, "cracked", at=MUCH_LATER))

    assert verdict_of(overhaul, "2.piston").verdict is Verdict.REUSE
    assert verdict_of(cracked, "2.piston").verdict is Verdict.RENEW
    assert [v.part.ref for v in lapsed_decisions(cracked, judge_overhaul(cracked))] == ["2.piston"]


def test_an_entry_on_another_part_leaves_a_decision_standing():
    overhaul = decided(a_gauged_overhaul(DOUBTFUL_PISTON), a_decision("2.piston", Verdict.REUSE))

    after = entered(overhaul, a_reading("2.pin", "diameter", "21.99", at=MUCH_LATER))

    assert verdict_of(after, "2.piston").verdict is Verdict.REUSE
    assert lapsed_decisions(after, judge_overhaul(after)) == ()


def test_a_decision_that_its_grounds_no_longer_allow_lapses_whatever_the_clock_says():
    overhaul = decided(a_gauged_overhaul(DOUBTFUL_PISTON), a_decision("2.piston", Verdict.REUSE))

    after = entered(overhaul, a_reading("2.piston", SEEN, "heavily-scuffed"))

    assert verdict_of(after, "2.piston").verdict is Verdict.RENEW


def test_a_heavier_decision_outlives_a_new_entry():
    overhaul = decided(a_gauged_overhaul(), a_decision("2.piston", Verdict.RENEW))

    after = entered(overhaul, a_reading("2.piston", SEEN, "sound", at=MUCH_LATER))

    assert verdict_of(after, "2.piston").verdict is Verdict.RENEW


def test_mates_wait_for_a_cylinder_that_is_reworked_and_say_for_which():
    overhaul = a_gauged_overhaul(*bore_readings("2.cylinder", "78.12 " * 6))

    waiting = {v.part.ref: [mate.ref for mate in v.waits_for] for v in judge_overhaul(overhaul) if v.waits_for}

    assert waiting == {ref: ["2.cylinder"] for ref in (*RINGS, "2.piston", "2.head")}


def test_a_new_pin_makes_its_bush_wait_and_a_sound_one_does_not():
    worn = a_gauged_overhaul(a_reading("2.pin", "diameter", "21.96"))

    assert [mate.ref for mate in verdict_of(worn, "2.bush").waits_for] == ["2.pin"]
    assert verdict_of(a_gauged_overhaul(), "2.bush").waits_for == ()


def test_a_mate_waits_for_what_was_decided_not_for_the_first_verdict():
    overhaul = a_gauged_overhaul(a_reading("2.pin", "diameter", "21.96"))

    kept = decided(overhaul, a_decision("2.pin", Verdict.REUSE, a_concession()))

    assert verdict_of(kept, "2.bush").waits_for == ()


def test_what_is_undecided_or_not_gauged_is_to_settle_and_stands_first_for_review():
    overhaul = a_gauged_overhaul(
        DOUBTFUL_PISTON, a_cannot("2.bush", "diameter"), a_reading("2.pin", "diameter", "21.96"),
        a_reading("2.suction-valve", SEEN, "seat-marked"),
    )  # fmt: skip
    verdicts = judge_overhaul(overhaul)

    assert [v.part.ref for v in to_settle(verdicts)] == ["2.piston", "2.bush"]
    assert [v.part.ref for v in by_weight(verdicts)][:4] == ["2.piston", "2.bush", "2.pin", "2.suction-valve"]
    assert cannot_gauge_count(overhaul) == 1


def test_parts_without_an_entry_somewhere_are_ungauged():
    assert ungauged_parts(a_gauged_overhaul()) == ()
    assert len(ungauged_parts(an_overhaul())) == len(an_overhaul().parts)


def test_what_is_renewed_is_named_as_the_trade_does():
    overhaul = a_gauged_overhaul(a_reading("2.suction-valve", SEEN, "plate-marked"))
    overhaul = decided(overhaul, a_decision("2.delivery-valve", Verdict.RENEW), a_decision("2.head", Verdict.RENEW))

    named = {ref: renewed_object(verdict_of(overhaul, ref)) for ref in
             ("2.suction-valve", "2.delivery-valve", "2.head", "2.pin")}  # fmt: skip

    assert named == {
        "2.suction-valve": "plate and springs",
        "2.delivery-valve": "whole valve",
        "2.head": "head",
        "2.pin": "",
    }


def test_a_decision_may_name_what_is_renewed():
    overhaul = decided(a_gauged_overhaul(), a_decision("2.suction-valve", Verdict.RENEW, renews="plate and springs"))

    assert renewed_object(verdict_of(overhaul, "2.suction-valve")) == "plate and springs"


def test_a_set_only_partly_in_scope_is_left_out():
    sheet = the_sheet()
    mixed = PartSet(2, "mixed", "Mixed set", ("2.suction-valve", "2.ring-1"))
    stages = tuple(replace(s, sets=(mixed,)) if s.number == 2 else s for s in sheet.stages)

    overhaul = a_gauged_overhaul(
        a_reading("2.suction-valve", SEEN, "plate-marked"), sheet=replace(sheet, stages=stages), has_rings=False
    )

    assert judge_sets(overhaul, judge_overhaul(overhaul)) == ()
    assert verdict_of(overhaul, "2.suction-valve").with_set is None
    assert a_part("2.ring-1") not in overhaul.parts
