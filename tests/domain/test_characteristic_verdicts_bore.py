"""What the diameters of a bore come to: its measures, places still missing, and never a pass before all are gauged."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.characteristic_verdicts import grid_of, judge_characteristic, measure_mm, measures_so_far
from app.domain.errors import LimitMissing
from app.domain.limits import Measure, OnLimit, Rule
from app.domain.numbers import millimetres
from app.domain.occasion_limits import limits_as_found
from app.domain.readings import Kind
from app.domain.terms import Terms
from app.domain.verdicts import Verdict, heaviest
from tests.domain.builders import a_cannot, a_dial, a_lower, a_part, an_upper, at, bore_readings, the_sheet

CYLINDER = a_part("2.cylinder")
BORE = CYLINDER.characteristics[0]
SOUND = "78.02 78.02 78.03 78.03 78.02 78.02"
# Arithmetic from the stated inputs: nominal 100.000 mm, wear 0.12, ovality 0.06, taper 0.08, overall 0.09.
WORKED_CASE = "100.09 100.05 100.12 100.06 100.04 100.03"


def terms(*limits, base="78.00", **other) -> Terms:
    """What the bore of stage 2 is judged by."""
    bore = replace(BORE, limits=limits or BORE.limits, base_size=millimetres(base) if base else None)
    sheet = replace(the_sheet(), **other)
    return Terms(sheet, CYLINDER, bore, bore.limits, bore.base_size)


def judge(diameters: str, *limits, **other):
    """Judge diameters, level by level along and across the pin."""
    return judge_characteristic(terms(*limits, **other), entries(diameters))


def entries(diameters: str):
    """Entries by level and axis."""
    return {at(reading): reading for reading in bore_readings("2.cylinder", diameters)}


def test_the_worked_case_fails_the_overall_rule_and_passes_ovality_and_oversize():
    # Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 259: overall 0.00075 x bore must not
    # be reached, ovality 0.001 x bore; NAVEDTRA 14076: standard rings up to 0.003 per unit oversize.
    limits = (
        an_upper("0.075", Measure.OVERALL, on_limit=OnLimit.MUST_NOT_BE_REACHED, outcome=Verdict.REWORK),
        an_upper("0.10", Measure.OVALITY),
        an_upper("0.30", Measure.WEAR),
        an_upper("0.05", Measure.TAPER, outcome=Verdict.REWORK),
    )

    judged = judge(WORKED_CASE, *limits, base="100.00")

    assert [(one.measure, one.figure, one.verdict) for one in judged] == [
        ("overall difference", "overall 0.09", Verdict.REWORK),
        ("ovality", "ovality 0.06", Verdict.REUSE),
        ("wear", "wear 0.12", Verdict.REUSE),
        ("taper", "taper 0.08", Verdict.REWORK),
    ]


@pytest.mark.parametrize(
    ("measure", "on", "over"),
    [(Measure.WEAR, "0.12", "0.119"), (Measure.OVALITY, "0.06", "0.059"), (Measure.TAPER, "0.08", "0.079"),
     (Measure.OVERALL, "0.09", "0.089"), (Measure.VALUE, "100.12", "100.119")],
)  # fmt: skip
def test_each_measure_on_its_limit_passes_and_just_over_it_fails(measure, on, over):
    [on_it], [beyond] = (judge(WORKED_CASE, an_upper(size, measure), base="100.00") for size in (on, over))

    assert (on_it.verdict, beyond.verdict) == (Verdict.REUSE, Verdict.RENEW)


@pytest.mark.parametrize(("largest", "verdict"), [("254.2539", Verdict.REUSE), ("254.254", Verdict.RENEW)])
def test_the_overall_rule_that_must_not_be_reached_fails_on_it(largest, verdict):
    # Bloch & Hoefner p. 259: 10.000 in bore, 0.0075 in must not be reached; smallest 10.0025 in is 254.0635 mm.
    limit = an_upper("0.1905", Measure.OVERALL, on_limit=OnLimit.MUST_NOT_BE_REACHED)

    [judged] = judge(f"254.0635 {largest} 254.1 254.1 254.1 254.1", limit, base="254.00")

    assert judged.verdict is verdict


def test_a_lower_bound_on_the_diameter_looks_at_the_smallest():
    [judged] = judge("78.05 78.04 78.03 77.99 78.02 78.01", a_lower("78.00", called="new minimum"))

    assert judged.reason == "Bore 77.99 mm is under the new minimum 78.00 mm."
    assert judged.place == ("bore", "")


def test_sound_diameters_pass_every_measure_and_a_dial_gives_the_same_sizes():
    whole = judge_characteristic(terms(), entries(SOUND))
    deviations = ("+0.02", "+0.02", "+0.03", "+0.03", "+0.02", "+0.02")
    dials = [a_dial("2.cylinder", *place, d) for place, d in zip(BORE.places, deviations, strict=True)]

    assert {one.verdict for one in whole} == {Verdict.REUSE}
    assert judge_characteristic(terms(), {at(dial): dial for dial in dials}) == whole


def test_missing_places_are_named_and_nothing_passes_before_they_are_gauged():
    [judged] = judge("78.02 78.02 78.03")

    assert judged.verdict is Verdict.NOT_GAUGED
    assert judged.reason.startswith("3 of 6 diameters not gauged yet: mid stroke across the pin, bottom of ring travel")


def test_a_measure_beyond_its_limit_counts_before_all_places_are_gauged():
    verdicts = {one.measure: one.verdict for one in judge("78.02 78.10")}

    assert verdicts == {
        "diameter": Verdict.NOT_GAUGED,
        "wear": Verdict.REWORK,
        "ovality": Verdict.REWORK,
        "overall difference": Verdict.REWORK,
    }


def test_nothing_gauged_at_all_is_not_gauged():
    assert heaviest([one.verdict for one in judge_characteristic(terms(), {})]) is Verdict.NOT_GAUGED


def test_a_place_that_cannot_be_gauged_keeps_the_bore_from_passing():
    level, axis = BORE.places[-1]
    cannot = a_cannot("2.cylinder", "bore", "Broken gauge foot.", level=level, axis=axis)

    judged = judge_characteristic(terms(), entries("78.02 78.02 78.03 78.03 78.02") | {at(cannot): cannot})

    assert [one.verdict for one in judged] == [Verdict.NOT_GAUGED]
    assert judged[0].reason == f"Bore {level} {axis} could not be gauged: Broken gauge foot."


def test_entries_that_give_no_diameter_leave_the_bore_not_gauged():
    leaves = [replace(r, kind=Kind.GOES, value=None, goes=r.value) for r in bore_readings("2.cylinder", SOUND)]

    judged = judge_characteristic(terms(), {at(reading): reading for reading in leaves})

    assert heaviest([one.verdict for one in judged]) is Verdict.NOT_GAUGED


def test_wear_counts_from_the_size_the_bore_was_made_to():
    [from_78], [from_78_25] = (judge("78.30 " * 6, an_upper("0.09", Measure.WEAR), base=b) for b in ("78.00", "78.25"))

    assert (from_78.figure, from_78.verdict) == ("wear 0.30", Verdict.RENEW)
    assert (from_78_25.figure, from_78_25.verdict) == ("wear 0.05", Verdict.REUSE)


def test_wear_without_a_base_size_is_refused_rather_than_guessed():
    with pytest.raises(LimitMissing, match="no base size"):
        judge(SOUND, an_upper("0.09", Measure.WEAR), base="")


def test_without_a_base_size_the_other_measures_are_judged():
    assert judge(SOUND, an_upper("0.04", Measure.OVALITY), base="")[0].verdict is Verdict.REUSE


def test_measures_show_while_gauging_what_they_already_carry():
    judging = replace(terms(), limits=limits_as_found(CYLINDER, BORE))

    so_far = {limit.measure: verdict for limit, _, verdict in measures_so_far(judging, entries("78.02 78.10 78.03"))}
    complete = [verdict for _, _, verdict in measures_so_far(judging, entries(SOUND))]

    assert so_far == {
        Measure.WEAR: Verdict.REWORK,
        Measure.OVALITY: Verdict.REWORK,
        Measure.TAPER: Verdict.NOT_GAUGED,
        Measure.OVERALL: Verdict.REWORK,
    }
    assert complete == [Verdict.REUSE] * 4
    assert measures_so_far(judging, {}) == ()


def test_a_bore_smaller_than_new_shows_while_gauging_and_is_asked_about():
    judging = replace(terms(), limits=limits_as_found(CYLINDER, BORE))

    [*_, (limit, value_mm, verdict)] = measures_so_far(judging, entries("77.80 77.80"))

    assert (limit.measure, value_mm, verdict) == (Measure.VALUE, Decimal("77.80"), Verdict.UNDECIDED)


def test_under_the_guarded_rule_a_bore_is_not_proven_without_an_uncertainty():
    judging = terms(rule=Rule.GUARDED)

    assert {one.verdict for one in judge_characteristic(judging, entries(SOUND))} == {Verdict.UNDECIDED}
    assert {verdict for *_, verdict in measures_so_far(judging, entries(SOUND))} == {Verdict.UNDECIDED}


def test_the_grid_holds_the_diameters_gauged_so_far_and_each_measure_is_none_before_it_can_be_given():
    grid = grid_of(BORE, entries("78.02"))

    assert len(grid.diameters_mm) == 1
    assert measure_mm(an_upper("0.04", Measure.OVALITY), grid, None) is None
    assert measure_mm(an_upper("0.09", Measure.WEAR), grid, Decimal(78)) == Decimal("0.02")
