"""A three-stage air-cooled machine as the trade knows it: its closed gap limits, from the sheet's file to the verdict.

Its figures are common practice, no source; bores and new gaps are invented, since nobody states them with the limits.
"""

from functools import cache

import pytest

from app.domain.limits import LimitSheet
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul, judge_sets
from app.domain.readings import Occasion
from app.domain.sheet_file import read_sheet
from app.domain.steps import box_up_steps
from app.domain.verdicts import Verdict
from app.domain.working import working_of
from tests.builders import a_reading
from tests.domain.builders import a_gauged_overhaul

HEAD = """
[sheet]
name = "Trade"
revision = "A"
machine_type = "three-stage air-cooled compressor"
approver = "nobody"
unit = "mm"
[sheet.source]
document = "common practice"
page = "no source"
"""
STAGE = """
[[stage]]
number = {number}
bore = {bore}
[[stage.part]]
key = "ring"
kind = "ring"
name = "Ring"
count = 3
[[stage.part.characteristic]]
key = "closed-gap"
name = "Closed gap"
method = "feeler"
new = [{lower}, {upper}]
limit = [{{ upper = {limit} }}]
"""
GAPS = {1: ("165.0", "0.35", "0.55", "1.30"), 2: ("90.0", "0.20", "0.35", "0.75"), 3: ("45.0", "0.10", "0.25", "0.55")}
BEYOND = {1: "1.31", 2: "0.76", 3: "0.56"}


@cache
def the_machine() -> LimitSheet:
    """The sheet of the machine, read from its file."""
    stages = [
        STAGE.format(number=number, bore=bore, lower=lower, upper=upper, limit=limit)
        for number, (bore, lower, upper, limit) in GAPS.items()
    ]
    return read_sheet(HEAD + "".join(stages))


def opened(**gaps: str) -> Overhaul:
    """The machine opened whole, all sound but for these gaps: r12 is ring 2 of stage 1."""
    readings = [a_reading(f"{ref[1]}.ring-{ref[2]}", "closed-gap", gap) for ref, gap in gaps.items()]
    return a_gauged_overhaul(*readings, sheet=the_machine(), stages=(1, 2, 3))


def verdicts(overhaul: Overhaul) -> dict[str, Verdict]:
    return {each.part.ref: each.verdict for each in judge_overhaul(overhaul)}


@pytest.mark.parametrize("stage", GAPS)
def test_a_gap_on_its_limit_conforms_and_a_hundredth_over_renews_all_three_rings_of_its_stage_alone(stage):
    on_it, over = opened(**{f"r{stage}2": GAPS[stage][3]}), opened(**{f"r{stage}2": BEYOND[stage]})

    renewed = [ref for ref, verdict in verdicts(over).items() if verdict is Verdict.RENEW]
    assert set(verdicts(on_it).values()) == {Verdict.REUSE}
    assert renewed == [f"{stage}.ring-{ring}" for ring in (1, 2, 3)]


def test_the_set_is_renewed_once_and_its_reason_names_the_ring_over_its_limit():
    sets = judge_sets(opened(r12="1.31"), judge_overhaul(opened(r12="1.31")))

    assert [(one.part_set.stage, one.verdict) for one in sets if one.verdict is Verdict.RENEW] == [(1, Verdict.RENEW)]
    assert sets[0].reason == "Ring 2: renewed, so is the whole set of 3."


def test_the_reason_and_the_working_of_131_over_130_can_be_redone_by_hand():
    overhaul = opened(r12="1.31")
    [ring] = [each for each in judge_overhaul(overhaul) if each.part.ref == "1.ring-2"]

    lines = [line for step in working_of(overhaul, ring, Occasion.AS_FOUND, "", {}) for line in step.lines]

    assert ring.deciding.reason == "1.31 mm is over the limit 1.30 mm."
    assert "T − y = 1.30 − 1.31 = −0.01 mm; it must be not below nothing: does not conform: RENEW." in lines


def test_a_gap_of_130048_typed_in_inches_is_over_130_and_says_so_with_digits_enough():
    # 0.0512 in x 25.4 = 1.30048 mm.
    [ring] = [each for each in judge_overhaul(opened(r12="0.0512 in")) if each.part.ref == "1.ring-2"]

    assert ring.verdict is Verdict.RENEW
    assert ring.deciding.reason == "0.0512 in (1.30048 mm) is over the limit 1.30 mm."


def test_closing_the_machine_asks_for_staggered_gaps_and_for_the_torque_of_its_heads():
    steps = {step.key: step for step in box_up_steps(opened())}

    assert "gaps staggered as the sheet says" in steps["rings"].words
    assert steps["heads"].hint == "75 N.m, W-02"  # how it is written; the maker's figure is what is tightened to
