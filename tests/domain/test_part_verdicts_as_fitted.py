"""The verdict of a part as fitted, and how sizes move with a bore that was made to another size."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.bores import base_on
from app.domain.limits import Method, NewRange
from app.domain.occasion_limits import stays_in
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import judge_as_fitted, judge_part, terms_of
from app.domain.readings import SEEN, Occasion
from app.domain.verdicts import Verdict, heaviest
from tests.builders import a_reading
from tests.domain.builders import (
    a_gap,
    a_gauged_overhaul,
    a_lower,
    a_part,
    a_sheet_with,
    an_overhaul,
    an_upper,
    bore_readings,
    entered,
    fitted,
    mm,
    ring_gap,
)

FITTED = {"occasion": Occasion.AS_FITTED}
CYLINDER, PISTON = a_part("2.cylinder"), a_part("2.piston")
OVERSIZE = {"base_sizes": {"2.cylinder": mm("78.25")}}


def as_fitted(overhaul: Overhaul, ref: str, renewed: str) -> Verdict:
    """The verdict on a part as fitted."""
    return heaviest([one.verdict for one in judge_as_fitted(overhaul, a_part(ref), renewed)])


def seen(codes: str, ref: str = "2.suction-valve", **other):
    """What was seen on a part."""
    return a_reading(ref, SEEN, codes, **other)


def test_a_reed_valve_as_fitted_is_only_looked_at_again():
    overhaul = an_overhaul(stages=(3,))

    assert as_fitted(overhaul, "3.suction-valve", "part") is Verdict.NOT_GAUGED
    assert as_fitted(entered(overhaul, seen("sound", "3.suction-valve", **FITTED)), "3.suction-valve", "part") is (
        Verdict.REUSE
    )


@pytest.mark.parametrize(
    ("leaves", "verdict"),
    [
        ("0.15/0.20", Verdict.REWORK),  # file the ends, deburr
        ("0.20/0.25", Verdict.REUSE),  # on the new minimum
        ("0.30/0.35", Verdict.REUSE),
        ("0.20", Verdict.REUSE),
        ("0.35", Verdict.REUSE),  # on the new maximum
        ("0.36", Verdict.RENEW),
        ("0.40/0.45", Verdict.RENEW),
    ],
)
def test_a_new_ring_is_judged_against_its_new_range_with_both_ends_inside(leaves, verdict):
    sound = [seen("sound", "2.ring-1", **FITTED), a_reading("2.ring-1", "side-clearance", "0.05", **FITTED)]

    overhaul = an_overhaul(*sound, ring_gap(1, leaves, **FITTED))

    assert as_fitted(overhaul, "2.ring-1", "part") is verdict


def test_a_reworked_part_is_judged_against_its_wear_limits_again():
    lapped = [seen("sound", **FITTED), a_reading("2.suction-valve", "spring-length", "14.2", **FITTED)]
    low, high = (a_reading("2.suction-valve", "lift", lift, **FITTED) for lift in ("1.80", "1.95"))

    assert as_fitted(an_overhaul(*lapped), "2.suction-valve", "") is Verdict.NOT_GAUGED
    assert as_fitted(an_overhaul(*lapped, low), "2.suction-valve", "") is Verdict.REUSE
    assert as_fitted(an_overhaul(*lapped, high), "2.suction-valve", "") is Verdict.RENEW


def honed(diameters: str, made_to: str, renewed: str = "") -> Verdict:
    """The verdict on the cylinder as fitted, with these diameters and the size it was made to."""
    bores = bore_readings("2.cylinder", diameters, **FITTED)
    overhaul = an_overhaul(seen("sound", "2.cylinder", **FITTED), *bores)
    return as_fitted(fitted(overhaul, "2.cylinder", made_to=made_to), "2.cylinder", renewed)


@pytest.mark.parametrize(
    ("diameters", "verdict"),
    [
        ("78.25 " * 6, Verdict.REUSE),
        ("78.28 " * 6, Verdict.REUSE),
        ("78.29 " * 6, Verdict.REWORK),
        ("78.24 " * 6, Verdict.REWORK),
        ("78.05 " * 6, Verdict.REWORK),  # honed in word only
        ("78.25 " * 5, Verdict.NOT_GAUGED),
    ],
)
def test_a_bore_honed_to_an_oversize_is_held_against_the_new_range_at_that_size(diameters, verdict):
    assert honed(diameters, "78.25") is verdict


def test_a_bore_honed_without_saying_to_what_size_counts_its_wear_from_before():
    assert honed("78.25 " * 6, "") is Verdict.REWORK
    assert honed("78.05 " * 6, "") is Verdict.REUSE


def test_a_new_cylinder_counts_from_the_sheets_size_even_after_an_oversize():
    bore = CYLINDER.characteristics[0]
    before = an_overhaul(**OVERSIZE)
    renewed = fitted(before, "2.cylinder")

    assert base_on(before, CYLINDER, bore, Occasion.AS_FITTED).typed == "78.25"
    assert base_on(renewed, CYLINDER, bore, Occasion.AS_FITTED).typed == "78.00"
    assert base_on(renewed, CYLINDER, bore, Occasion.AS_FOUND).typed == "78.25"
    assert honed("78.02 " * 6, "", renewed="cylinder") is Verdict.REUSE


def test_what_is_fitted_now_never_changes_what_was_found():
    overhaul = a_gauged_overhaul(*bore_readings("2.cylinder", "78.12 " * 6))

    before, after = (judge_part(one, CYLINDER) for one in (overhaul, fitted(overhaul, "2.cylinder", made_to="78.25")))

    assert before == after
    assert before.own is Verdict.REWORK


def test_wear_as_found_counts_from_the_size_the_last_overhaul_made():
    bores = bore_readings("2.cylinder", "78.30 " * 6)

    assert judge_part(a_gauged_overhaul(*bores), CYLINDER).own is Verdict.REWORK
    assert judge_part(a_gauged_overhaul(*bores, **OVERSIZE), CYLINDER).own is Verdict.REUSE


@pytest.mark.parametrize(
    ("skirt", "verdict"), [("77.94", Verdict.RENEW), ("77.95", Verdict.REUSE), ("78.02", Verdict.REUSE)]
)
def test_a_piston_in_an_oversize_bore_is_held_against_a_limit_moved_with_it(skirt, verdict):
    overhaul = a_gauged_overhaul(a_reading("2.piston", "skirt", skirt), **OVERSIZE)

    assert judge_part(overhaul, PISTON).own is verdict


def test_a_new_piston_for_an_oversize_bore_is_held_against_the_new_range_at_that_size():
    entry = seen("sound", "2.piston", **FITTED)
    old, new = (an_overhaul(entry, a_reading("2.piston", "skirt", s, **FITTED)) for s in ("77.78", "78.03"))

    now_honed = [as_fitted(fitted(one, "2.cylinder", made_to="78.25"), "2.piston", "part") for one in (old, new)]

    assert now_honed == [Verdict.RENEW, Verdict.REUSE]
    assert as_fitted(old, "2.piston", "part") is Verdict.REUSE


@pytest.mark.parametrize(
    "other",
    [
        a_gap(a_lower("2.00"), new=("2.50", "2.52"), method=Method.CALIPER),
        a_gap(a_lower("2.00"), new=None, method=Method.CALIPER),
        replace(a_gap(new=None), limits=()),
    ],
)
def test_a_groove_of_the_piston_does_not_move_with_the_bore(other):
    piston = replace(PISTON, characteristics=(other,))
    overhaul = an_overhaul(sheet=a_sheet_with(piston), **OVERSIZE)

    found, new = (terms_of(overhaul, piston, other, occasion, "piston").limits for occasion in Occasion)

    assert found == other.limits
    assert other.new is None or [limit.size.typed for limit in new[:2]] == ["2.50", "2.52"]


def test_without_a_base_size_on_the_sheet_nothing_moves():
    bore = replace(CYLINDER.characteristics[0], base_size=None)
    cylinder = replace(CYLINDER, characteristics=(bore,))
    overhaul = an_overhaul(sheet=a_sheet_with(cylinder))
    skirt = PISTON.characteristics[0]

    assert terms_of(overhaul, PISTON, skirt, Occasion.AS_FOUND, "").limits == skirt.limits
    assert terms_of(overhaul, cylinder, bore, Occasion.AS_FOUND, "").base is None


def test_a_bore_without_a_new_range_that_was_made_to_a_size_has_its_wear_limits_from_there():
    bore = replace(CYLINDER.characteristics[0], new=None)
    overhaul = fitted(an_overhaul(), "2.cylinder", made_to="78.25")

    judging = terms_of(overhaul, CYLINDER, bore, Occasion.AS_FITTED, "")

    assert (judging.limits, judging.base_mm) == (bore.limits, Decimal("78.25"))


def test_the_new_range_of_a_part_in_inches_moves_in_millimetres():
    skirt = replace(PISTON.characteristics[0], new=NewRange(mm("77.76"), mm("77.80")))

    below = terms_of(an_overhaul(**OVERSIZE), PISTON, skirt, Occasion.AS_FITTED, "piston").limits[0]

    assert below.size.mm == Decimal("78.01")


@pytest.mark.parametrize(("pin", "verdict"), [("21.995", Verdict.REUSE), ("21.960", Verdict.RENEW)])
def test_a_clearance_as_fitted_is_of_the_new_pin_and_of_the_bush_as_it_was_found(pin, verdict):
    bush = a_part("2.bush")
    size = replace(bush.characteristics[0], key="clearance", between=("bush.diameter", "pin.diameter"), new=None)
    pair = replace(bush, characteristics=(replace(size, name="Clearance", limits=(an_upper("0.05"),)),))
    sheet = a_sheet_with(replace(bush, characteristics=(*bush.characteristics, *pair.characteristics)))
    found = a_gauged_overhaul(a_reading("2.pin", "diameter", "21.960"), sheet=sheet)

    overhaul = entered(found, a_reading("2.pin", "diameter", pin, **FITTED))

    [judged] = [one for one in judge_as_fitted(overhaul, pair, "") if one.measure == "Clearance"]
    assert judged.verdict is verdict


@pytest.mark.parametrize(
    ("renewed", "lift", "verdict"),
    [
        ("plate and springs", "2.21", Verdict.REUSE),  # over the new range, the kept seat within its wear limit
        ("plate and springs", "2.50", Verdict.REUSE),  # on the wear limit
        ("plate and springs", "2.51", Verdict.RENEW),
        ("whole valve", "2.20", Verdict.REUSE),
        ("whole valve", "2.21", Verdict.RENEW),
    ],
)
def test_new_plate_and_springs_keep_the_seat_so_its_lift_is_held_against_the_wear_limit(renewed, lift, verdict):
    springs = a_reading("1.suction-valve", "spring-length", "18.2", **FITTED)
    lifted = a_reading("1.suction-valve", "lift", lift, **FITTED)

    overhaul = an_overhaul(seen("sound", "1.suction-valve", **FITTED), springs, lifted, stages=(1,))

    assert as_fitted(overhaul, "1.suction-valve", renewed) is verdict


def test_new_springs_are_held_against_the_new_range_with_the_plate_they_come_with():
    short = a_reading("1.suction-valve", "spring-length", "17.9", **FITTED)
    lifted = a_reading("1.suction-valve", "lift", "2.40", **FITTED)
    overhaul = an_overhaul(seen("sound", "1.suction-valve", **FITTED), short, lifted, stages=(1,))

    assert as_fitted(overhaul, "1.suction-valve", "plate and springs") is Verdict.RENEW
    assert as_fitted(overhaul, "1.suction-valve", "") is Verdict.REUSE


def test_a_size_without_a_limit_is_as_new_whatever_was_renewed():
    valve = a_part("1.suction-valve")
    lift = replace(valve.characteristic("lift"), limits=())

    assert not stays_in(valve, lift, "plate and springs")
    assert stays_in(valve, valve.characteristic("lift"), "plate and springs")
    assert not stays_in(a_part("2.ring-1"), valve.characteristic("lift"), "plate and springs")
