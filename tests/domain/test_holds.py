"""Hold points of boxing up: what was worked on, or waits for a mate, is gauged again before the machine is closed."""

from dataclasses import replace

import pytest

from app.domain.errors import NotYet
from app.domain.holds import box_up_holds, fitted_work, require_order
from app.domain.readings import SEEN, Occasion
from app.domain.verdicts import Verdict
from tests.builders import a_reading, good_readings
from tests.domain.builders import (
    a_concession,
    a_decision,
    a_gap,
    a_gauged_overhaul,
    a_part,
    a_sheet_with,
    an_upper,
    bore_readings,
    decided,
    entered,
    fitted,
    ring_gap,
    verdict_of,
)

FITTED = {"occasion": Occasion.AS_FITTED}
WORN_PIN = a_reading("2.pin", "diameter", "21.96")
HONE = bore_readings("2.cylinder", "78.12 " * 6)
LAP = a_reading("2.suction-valve", SEEN, "seat-marked")


def new_entries(*refs):
    """Sound entries as fitted, in the range of a new part."""
    return good_readings(tuple(a_part(ref) for ref in refs), Occasion.AS_FITTED, WORN_PIN.stored_at)


def test_with_everything_reused_nothing_holds():
    assert box_up_holds(a_gauged_overhaul()) == fitted_work(a_gauged_overhaul()) == ()


def test_a_new_part_and_its_waiting_mate_hold_until_entered_and_gauged():
    overhaul = a_gauged_overhaul(WORN_PIN)
    with_number = fitted(overhaul, "2.pin", "QM-31-260")
    pin_gauged = entered(with_number, *new_entries("2.pin"))
    all_gauged = entered(pin_gauged, *new_entries("2.bush"))

    assert box_up_holds(overhaul) == (
        "2-08 Piston pin: the new part is not entered",
        "2-09 Small-end bush: as fitted NOT GAUGED",
    )
    assert box_up_holds(with_number)[0] == "2-08 Piston pin: as fitted NOT GAUGED"
    assert box_up_holds(pin_gauged) == ("2-09 Small-end bush: as fitted NOT GAUGED",)
    assert box_up_holds(all_gauged) == ()


def test_a_new_part_outside_its_new_range_holds():
    overhaul = fitted(a_gauged_overhaul(WORN_PIN), "2.pin")
    overhaul = entered(overhaul, *new_entries("2.pin", "2.bush"), a_reading("2.pin", "diameter", "21.990", **FITTED))

    assert box_up_holds(overhaul) == ("2-08 Piston pin: as fitted RENEW",)


def test_a_rework_is_closed_only_by_gauging_again():
    overhaul = a_gauged_overhaul(LAP)
    seen = entered(overhaul, a_reading("2.suction-valve", SEEN, "sound", **FITTED))
    still_marked = entered(
        overhaul, *new_entries("2.suction-valve"), a_reading("2.suction-valve", SEEN, "seat-marked", **FITTED)
    )
    gauged = entered(overhaul, *new_entries("2.suction-valve"))

    assert box_up_holds(overhaul) == box_up_holds(seen) == ("2-01 Suction valve: as fitted NOT GAUGED",)
    assert box_up_holds(still_marked) == ("2-01 Suction valve: as fitted REWORK",)
    assert box_up_holds(gauged) == ()


def test_a_set_is_entered_once_and_every_ring_of_it_gauged():
    overhaul = fitted(a_gauged_overhaul(ring_gap(2, "0.70")), "2.ring-set")
    two = entered(overhaul, *new_entries("2.ring-1", "2.ring-2"))

    assert [work.is_entered for work in fitted_work(overhaul)] == [True] * 3
    assert box_up_holds(two) == ("2-05 Ring 3: as fitted NOT GAUGED",)
    assert box_up_holds(entered(two, *new_entries("2.ring-3"))) == ()


def test_a_ring_entered_by_itself_does_not_stand_for_its_set():
    overhaul = fitted(a_gauged_overhaul(ring_gap(2, "0.70")), "2.ring-2")

    assert not any(work.is_entered for work in fitted_work(overhaul))


def test_a_new_cylinder_with_a_size_but_no_number_is_not_entered():
    cracked = a_gauged_overhaul(a_reading("2.cylinder", SEEN, "cracked"))

    without, with_it = fitted(cracked, "2.cylinder", made_to="78.25"), fitted(cracked, "2.cylinder", "QM-31-240")

    assert "2-06 Cylinder: the new part is not entered" in box_up_holds(without)
    assert "2-06 Cylinder: the new part is not entered" not in box_up_holds(with_it)


def test_a_honed_cylinder_keeps_rings_piston_and_bumping_clearance_waiting():
    work = {one.part.ref: one for one in fitted_work(a_gauged_overhaul(*HONE))}

    assert set(work) == {"2.cylinder", "2.ring-1", "2.ring-2", "2.ring-3", "2.piston", "2.head"}
    assert not any(one.is_renewed for one in work.values())
    assert not work["2.cylinder"].is_entered


def test_the_old_piston_does_not_go_back_into_a_bore_honed_to_an_oversize():
    overhaul = fitted(a_gauged_overhaul(*HONE), "2.cylinder", made_to="78.25")
    bores = bore_readings("2.cylinder", "78.26 " * 6, **FITTED)
    overhaul = entered(
        overhaul, a_reading("2.cylinder", SEEN, "sound", **FITTED), *bores, *new_entries("2.piston", "2.head")
    )

    holds = box_up_holds(overhaul)

    assert "2-07 Piston: as fitted RENEW" in holds
    assert not any("Cylinder" in hold for hold in holds)
    assert not any("Head" in hold for hold in holds)


@pytest.mark.parametrize("chosen", [Verdict.REUSE, Verdict.REWORK])
def test_no_decision_takes_away_the_hold_of_a_part_whose_mate_is_worked_on(chosen):
    overhaul = a_gauged_overhaul(*HONE, a_reading("2.piston", SEEN, "doubtful"))

    decided_on = decided(overhaul, a_decision("2.piston", chosen))

    assert "2-07 Piston: as fitted NOT GAUGED" in box_up_holds(decided_on)


def test_a_conceded_part_holds_nothing_while_its_mates_stay_as_they_are():
    overhaul = decided(a_gauged_overhaul(WORN_PIN), a_decision("2.pin", Verdict.REUSE, a_concession()))

    assert box_up_holds(overhaul) == ()


def ordered(*readings):
    """An opening where the cylinder's rework comes before the piston's and before ring 1 is fitted."""
    cylinder = replace(a_part("2.cylinder"), rework_before=("piston", "ring-1", "pin"))
    return a_gauged_overhaul(*readings, sheet=a_sheet_with(cylinder))


def honed_well(overhaul):
    """The overhaul with the cylinder made to 78.25, gauged again and good."""
    bores = bore_readings("2.cylinder", "78.26 " * 6, **FITTED)
    made = fitted(overhaul, "2.cylinder", made_to="78.25")
    return entered(made, a_reading("2.cylinder", SEEN, "sound", **FITTED), *bores)


PISTON_WAITS = "2-07 Piston: not fitted before 2-06 Cylinder is reworked, gauged again and good"


def test_a_rework_that_comes_first_holds_what_is_fitted_after_it_until_it_is_gauged_again_and_good():
    before, after = ordered(*HONE), honed_well(ordered(*HONE))
    still_worn = entered(before, a_reading("2.cylinder", SEEN, "sound", **FITTED), *bore_readings(
        "2.cylinder", "78.12 " * 6, **FITTED))  # fmt: skip

    for overhaul in (before, still_worn):
        assert PISTON_WAITS in box_up_holds(overhaul)
        assert "2-03 Ring 1: not fitted before 2-06 Cylinder is reworked, gauged again and good" in box_up_holds(
            overhaul
        )
    assert "2-04 Ring 2: as fitted NOT GAUGED" in box_up_holds(before)
    assert not any("not fitted before" in hold for hold in box_up_holds(after))


def test_a_sound_part_that_is_fitted_after_a_rework_holds_too():
    holds = box_up_holds(ordered(*HONE))

    assert "2-08 Piston pin: not fitted before 2-06 Cylinder is reworked, gauged again and good" in holds
    assert "2.pin" not in [work.part.ref for work in fitted_work(ordered(*HONE))]


def test_the_order_is_said_among_the_reasons_only_while_there_is_a_rework():
    worn, sound = ordered(*HONE), ordered()

    assert [part.ref for part in verdict_of(worn, "2.piston").comes_after] == ["2.cylinder"]
    assert verdict_of(worn, "2.ring-2").comes_after == verdict_of(sound, "2.piston").comes_after == ()


def test_fitting_before_the_rework_that_comes_first_is_refused_in_words():
    overhaul = ordered(*HONE)

    with pytest.raises(NotYet) as refused:
        require_order(overhaul, "2.piston")
    require_order(overhaul, "2.ring-2")
    require_order(honed_well(overhaul), "2.piston")

    assert str(refused.value) == f"{PISTON_WAITS}."


def test_a_set_is_not_fitted_while_one_of_its_members_comes_after_a_rework():
    with pytest.raises(NotYet, match="Ring 1: not fitted before 2-06 Cylinder"):
        require_order(ordered(*HONE, ring_gap(2, "0.70")), "2.ring-set")


def test_a_rework_is_good_by_its_own_readings_though_its_clearance_waits_for_what_comes_after():
    # The clearance stands on the cylinder here, and fails until the piston that comes after it is renewed.
    ends = ("cylinder.bore", "piston.skirt")
    clearance = replace(a_gap(an_upper("0.20"), new=None, between=ends), key="clearance")
    bored = a_part("2.cylinder")
    cylinder = replace(bored, rework_before=("piston",), characteristics=(*bored.characteristics, clearance))
    overhaul = honed_well(a_gauged_overhaul(*HONE, sheet=a_sheet_with(cylinder)))

    work = {one.part.ref: one for one in fitted_work(overhaul)}

    assert work["2.cylinder"].verdict is Verdict.RENEW
    assert work["2.piston"].after == ()


def test_new_plate_and_springs_with_a_kept_seat_close_by_the_wear_limit_of_the_lift():
    marked = a_reading("1.suction-valve", SEEN, "plate-marked")
    overhaul = fitted(a_gauged_overhaul(marked, stages=(1,)), "1.suction-valve", "QM-31-111")
    lifted = a_reading("1.suction-valve", "lift", "2.40", **FITTED)
    overhaul = entered(overhaul, *new_entries("1.suction-valve"), lifted)

    assert [work.renewed for work in fitted_work(overhaul)] == ["plate and springs"]
    assert box_up_holds(overhaul) == ()
