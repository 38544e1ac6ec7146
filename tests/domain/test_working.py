"""The working of a verdict: every line can be redone with a pocket calculator."""

from dataclasses import replace
from decimal import Decimal

from app.domain.limits import Rule
from app.domain.overhaul import Overhaul
from app.domain.readings import Occasion, Place
from app.domain.verdicts import Verdict
from app.domain.working import new_rings_words, working_of
from app.domain.working_steps import WorkingStep
from tests.builders import a_reading
from tests.domain.builders import (
    a_cannot,
    a_decision,
    a_dial,
    a_gauged_overhaul,
    a_part,
    a_sheet_with,
    an_overhaul,
    bore_readings,
    decided,
    ring_gap,
    the_sheet,
    verdict_of,
)


def steps_of(overhaul: Overhaul, ref: str, fitted: dict[Place, Decimal] | None = None) -> dict[str, WorkingStep]:
    steps = working_of(overhaul, verdict_of(overhaul, ref), Occasion.AS_FOUND, "", fitted or {})
    return {step.title: step for step in steps}


def lines_of(overhaul: Overhaul, ref: str, fitted: dict[Place, Decimal] | None = None) -> str:
    return "\n".join(line for step in steps_of(overhaul, ref, fitted).values() for line in step.lines)


def test_a_size_is_shown_from_what_was_typed_to_its_margin():
    lines = lines_of(an_overhaul(ring_gap(1, "0.70")), "2.ring-1")

    assert "Typed “0.70”: 0.70 mm." in lines
    assert "Temperature not recorded, taken as 20 °C." in lines
    assert "T − y = 0.65 − 0.70 = −0.05 mm; it must be not below nothing: does not conform: RENEW." in lines


def test_an_inch_reading_is_shown_converted_exactly():
    lines = lines_of(an_overhaul(ring_gap(1, "0.018 in", temperature_c=Decimal(24))), "2.ring-1")

    assert "Typed “0.018 in”: 0.018 in × 25.4 = 0.4572 mm." in lines
    assert "Part at 24 °C; the sheet asks for no correction." in lines


def test_a_lower_limit_is_worked_the_other_way_round():
    lines = lines_of(an_overhaul(a_reading("2.piston", "skirt", "77.75")), "2.piston")

    assert "y − T = 77.75 − 77.70 = 0.05 mm" in lines


def test_a_gap_between_leaves_is_shown_by_its_ends():
    lines = lines_of(an_overhaul(ring_gap(1, "0.60/0.70")), "2.ring-1")

    assert "The gap lies in [0.60, 0.70) mm." in lines
    assert "g = 0.60, n = 0.70, T = 0.65 mm: g is under T, n is over T: unproven." in lines


def test_leaves_on_the_limit_and_over_it_say_so():
    on_it = lines_of(an_overhaul(ring_gap(1, "0.65/0.67")), "2.ring-1")
    over = lines_of(an_overhaul(ring_gap(1, "0.70/0.75")), "2.ring-1")
    below = lines_of(an_overhaul(ring_gap(1, "0.60/0.65")), "2.ring-1")
    under = lines_of(an_overhaul(ring_gap(1, "0.50/0.60")), "2.ring-1")

    assert "g is T, n is over T: conforms." in on_it
    assert "g is over T, n is over T: fails." in over
    assert "g is under T, n is T: conforms." in below
    assert "g is under T, n is under T: conforms." in under


def test_a_leaf_that_goes_alone_is_shown_as_unproven():
    lines = lines_of(an_overhaul(ring_gap(1, "0.60/")), "2.ring-1")

    assert "g = 0.60 against T = 0.65 mm, and no leaf that does not go: unproven." in lines


def test_a_missing_reading_and_a_reason_for_none_are_named():
    steps = steps_of(an_overhaul(a_cannot("2.ring-1", "side-clearance")), "2.ring-1")

    assert steps["Side clearance"].lines == ("Cannot be gauged: The gauge does not enter.",)
    assert steps["Closed gap, worst place"].lines == ("No reading.",)
    assert steps["Where the gap came from"].lines == ("Waits for the bore: every diameter must be gauged.",)


def test_a_dial_reading_shows_its_whole_size_with_the_sign():
    places = "top of ring travel", "along the pin"
    more = lines_of(an_overhaul(a_dial("2.cylinder", *places, "+0.07")), "2.cylinder")
    less = lines_of(an_overhaul(a_dial("2.cylinder", *places, "-0.03")), "2.cylinder")

    assert "Whole size: 78.00 + 0.07 = 78.07 mm." in more
    assert "Whole size: 78.00 − 0.03 = 77.97 mm." in less


def test_a_bore_shows_every_measure_with_its_diameters():
    steps = steps_of(an_overhaul(*bore_readings("2.cylinder", "78.08 78.09 78.06 78.07 78.03 78.03")), "2.cylinder")

    assert steps["Wear"].lines == ("Largest − base size = 78.09 − 78.00 = 0.09 mm.",)
    assert "Top of ring travel: 78.09 − 78.08 = 0.01 mm." in steps["Ovality, level by level; the largest counts"].lines
    assert "Across the pin: 78.09 − 78.03 = 0.06 mm." in steps["Taper, axis by axis; the largest counts"].lines
    assert steps["Overall difference"].lines == ("All: 78.09 − 78.03 = 0.06 mm.",)
    assert "Mean diameter, mid stroke: (78.06 + 78.07) / 2 = 78.065 mm." in steps["Shape and mean diameters"].lines


def test_a_bore_without_any_diameter_has_no_measures():
    assert "Wear" not in steps_of(an_overhaul(), "2.cylinder")


def test_a_bore_with_one_diameter_names_the_missing_ones():
    steps = steps_of(an_overhaul(*bore_readings("2.cylinder", "78.08")), "2.cylinder")

    assert len(steps["Missing diameters"].lines) == 5
    assert "Overall difference" not in steps


def test_the_growth_of_a_gap_is_split_between_bore_and_ring():
    # Gap +0.36, mean bore +0.05: 0.157 from the bore, t = 0.0323 mm, arithmetic from the stated inputs.
    bore = bore_readings("2.cylinder", "78.05 78.05 78.02 78.02 78.01 78.01")
    gap = ring_gap(1, "0.61")
    lines = lines_of(an_overhaul(*bore, gap), "2.ring-1", {gap.place: Decimal("0.25")})

    assert "Gap now − gap new (as fitted): 0.61 − 0.25 = 0.36 mm." in lines
    assert "From the bore: π × (78.05 − 78.00) ≈ 0.157 mm (mean diameter, top of ring travel)." in lines
    assert "radial face wear (0.36 − π × 0.05) / 2π ≈ 0.0323 mm." in lines


def test_without_a_gap_as_fitted_the_middle_of_the_new_range_stands_in():
    bore = bore_readings("2.cylinder", "78.02 78.02 78.02 78.02 78.01 78.01")

    lines = lines_of(an_overhaul(*bore, ring_gap(1, "0.40/0.45")), "2.ring-1")

    assert "(middle of the new range, since none is recorded as fitted): 0.40 − 0.275 = 0.125 mm." in lines


def test_readings_that_disagree_are_questioned_and_give_no_number():
    bore = bore_readings("2.cylinder", "78.09 78.09 78.02 78.02 78.01 78.01")

    lines = lines_of(an_overhaul(*bore, ring_gap(1, "0.36")), "2.ring-1")

    assert "radial face wear" not in lines
    assert "which level" in lines.lower()


def test_a_new_ring_over_the_limit_in_a_worn_bore_does_not_restore_the_stage():
    bore = bore_readings("2.cylinder", "78.15 78.15 78.02 78.02 78.01 78.01")

    lines = lines_of(an_overhaul(*bore, ring_gap(1, "0.80")), "2.ring-1")

    assert "0.35 + π × (78.15 − 78.00) ≈ 0.821 mm." in lines
    assert "This is over the limit 0.65 mm. New rings alone do not restore this stage." in lines


def test_a_hot_gap_without_working_temperatures_is_not_checked():
    cold = tuple(replace(p, working_temperature_c=None) for p in the_sheet().parts)
    bore = bore_readings("2.cylinder", "78.02 78.02 78.02 78.02 78.01 78.01")
    overhaul = an_overhaul(*bore, ring_gap(1, "0.40"), sheet=a_sheet_with(*cold))

    assert steps_of(overhaul, "2.ring-1")["Hot gap"].lines[0].startswith("Not checked: ")


def test_a_hot_gap_with_everything_known_is_worked_out():
    warm = tuple(replace(p, working_temperature_c=Decimal(150), material="grey iron") for p in the_sheet().parts)
    bore = bore_readings("2.cylinder", "78.02 78.02 78.02 78.02 78.01 78.01")
    overhaul = an_overhaul(*bore, ring_gap(1, "0.40"), sheet=a_sheet_with(*warm))

    assert "stays open when hot" in steps_of(overhaul, "2.ring-1")["Hot gap"].lines[0]


def test_a_ring_without_a_limit_still_shows_what_a_new_one_would():
    part = the_sheet().part("2.ring-1")
    assert part is not None
    free = replace(part, characteristics=tuple(replace(c, limits=()) for c in part.characteristics))
    bore = bore_readings("2.cylinder", "78.02 78.02 78.02 78.02 78.01 78.01")
    overhaul = an_overhaul(*bore, ring_gap(1, "0.40"), sheet=a_sheet_with(free))

    assert len(steps_of(overhaul, "2.ring-1")["A new ring in this bore"].lines) == 1


def test_what_was_decided_together_ends_the_working():
    overhaul = a_gauged_overhaul(
        ring_gap(2, "0.70"), *bore_readings("2.cylinder", "78.08 78.09 78.06 78.07 78.03 78.03")
    )

    steps = steps_of(decided(overhaul, a_decision("2.piston", Verdict.RENEW)), "2.piston")
    ring = steps_of(overhaul, "2.ring-1")

    assert "Its own reading stays on the record." in ring["Its set"].lines[0]
    assert "Waits for cylinder" in steps["Its mates"].lines[0]
    assert "I. Brandreth" in steps["Decision of the chief engineer"].lines[0]


def test_the_guilty_ring_of_a_set_is_not_called_a_follower():
    steps = steps_of(an_overhaul(ring_gap(2, "0.70")), "2.ring-2")

    assert "stays on the record" not in steps["Its set"].lines[0]


def test_the_rule_of_the_sheet_stands_first():
    simple = next(iter(steps_of(an_overhaul(), "2.pin").values()))
    guarded = next(iter(steps_of(an_overhaul(sheet=a_sheet_with(rule=Rule.GUARDED)), "2.pin").values()))

    assert "Simple acceptance" in simple.lines[0]
    assert "Guarded acceptance" in guarded.lines[0]


def test_leaves_show_the_temperature_of_the_part_as_it_is():
    lines = lines_of(an_overhaul(ring_gap(1, "0.50/0.55", temperature_c=Decimal(24))), "2.ring-1")

    assert "Part at 24 °C." in lines


def test_new_rings_are_said_not_to_restore_a_bore_that_is_too_wide():
    wide = an_overhaul(*bore_readings("2.cylinder", "78.15 78.15 78.02 78.02 78.01 78.01"), ring_gap(1, "0.80"))
    sound = an_overhaul(*bore_readings("2.cylinder", "78.02 78.02 78.02 78.02 78.01 78.01"), ring_gap(1, "0.80"))

    def words(overhaul: Overhaul, ref: str) -> str:
        part = overhaul.sheet.part(ref)
        assert part is not None
        return new_rings_words(overhaul, part)

    assert words(wide, "2.ring-1") == "New rings alone do not restore this stage."
    assert words(sound, "2.ring-1") == ""
    assert words(wide, "2.pin") == ""
    assert words(an_overhaul(), "2.ring-1") == ""


def test_the_order_of_the_work_stands_in_the_working_of_what_comes_after():
    cylinder = replace(a_part("2.cylinder"), rework_before=("piston",))
    overhaul = a_gauged_overhaul(*bore_readings("2.cylinder", "78.12 " * 6), sheet=a_sheet_with(cylinder))

    steps = steps_of(overhaul, "2.piston")

    assert steps["Order of the work"].lines == ("Fitted only after the rework of cylinder, good when gauged.",)


def test_a_leaf_of_unknown_error_is_named_in_the_working_of_a_guarded_gap():
    # The assumed errors end at 1.00 mm.
    overhaul = an_overhaul(ring_gap(1, "1.05/1.10"), sheet=a_sheet_with(rule=Rule.GUARDED))

    assert "The error of a leaf is not known, so nothing is proven within a limit." in lines_of(overhaul, "2.ring-1")
