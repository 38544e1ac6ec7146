"""Joints cut at an angle: a gap gauged square to the cut is judged, shown and followed along the circumference."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.joints import GapGauged, along_circumference, lengthening
from app.domain.limits import Part
from app.domain.numbers import inches, leaves_of, parse_stack
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import judge_as_found
from app.domain.readings import Occasion, Reading
from app.domain.sheet_file import SheetRefused, read_sheet
from app.domain.sheet_text import write_sheet
from app.domain.units import LengthUnit
from app.domain.verdicts import Judged, Verdict
from app.domain.working import working_of
from tests.domain.builders import a_part, a_sheet_with, an_overhaul, ring_gap, verdict_of
from tests.domain.test_sheet_file import GAP, HEAD, RING, STAGE

SQUARE = GapGauged.SQUARE.value
# The limit of the gap along the circumference is 0.65 mm; square to the cut that is 0.65 x cos 45 = 0.45962 mm.


def an_angled_ring(gauged: str = SQUARE) -> Part:
    return replace(a_part("2.ring-1"), joint="angle", gap_gauged=gauged)


def with_gap(*readings: Reading, gauged: str = SQUARE, rule: str | None = None) -> Overhaul:
    return an_overhaul(*readings, sheet=a_sheet_with(an_angled_ring(gauged), rule=rule))


def the_gap(overhaul: Overhaul) -> Judged:
    judged = judge_as_found(overhaul, overhaul.sheet.part("2.ring-1"))
    return next(one for one in judged if one.place == ("closed-gap", "worst place"))


@pytest.mark.parametrize(
    ("gauged", "typed", "verdict"),
    [
        (SQUARE, "0.45", Verdict.REUSE),
        (SQUARE, "0.46", Verdict.RENEW),
        ("", "0.46", Verdict.REUSE),
        (GapGauged.ALONG.value, "0.65", Verdict.REUSE),
        (GapGauged.ALONG.value, "0.66", Verdict.RENEW),
        (SQUARE, "0.40/0.45", Verdict.REUSE),
        (SQUARE, "0.45/0.50", Verdict.UNDECIDED),
        (SQUARE, "0.50/0.55", Verdict.RENEW),
        (SQUARE, "0.50/", Verdict.RENEW),
        (SQUARE, "0.25+0.25/0.55", Verdict.RENEW),
    ],
)
def test_a_gap_gauged_square_to_the_cut_is_held_against_the_limit_along_the_circumference(gauged, typed, verdict):
    # Geometry: measured square, a 45 degree joint reads cos 45 = 0.70711 of the gap along the circumference.
    assert the_gap(with_gap(ring_gap(1, typed), gauged=gauged)).verdict is verdict


def test_the_reason_gives_the_gap_along_the_circumference_and_what_was_gauged():
    judged = the_gap(with_gap(ring_gap(1, "0.46")))

    assert judged.figure == "0.65054"
    assert judged.reason == (
        "0.65054 mm is over the limit 0.65 mm. "
        "Gauged square to the cut: 0.46 mm; that is 0.707 of the gap along the circumference."
    )


def test_the_leaf_that_settles_is_named_as_it_stands_on_the_set():
    judged = the_gap(with_gap(ring_gap(1, "0.40/0.50")))

    assert judged.advice == "Try 0.45. Does not go: REUSE. Goes: try 0.47."


def test_a_gap_that_could_not_be_gauged_says_nothing_of_the_cut():
    assert "square" not in the_gap(with_gap()).reason


def test_the_working_shows_the_step_from_square_to_along():
    overhaul = with_gap(ring_gap(1, "0.40/0.45"))
    steps = working_of(overhaul, verdict_of(overhaul, "2.ring-1"), Occasion.AS_FOUND, "", {})
    lines = [line for step in steps for line in step.lines]

    assert "Square to a cut at 45°; along the circumference: 0.40 / cos 45° = 0.40 / 0.70711 ≈ 0.56569 mm." in lines
    assert "Square to a cut at 45°; along the circumference: 0.45 / cos 45° = 0.45 / 0.70711 ≈ 0.63640 mm." in lines
    assert "g = 0.56569, n = 0.63640, T = 0.65 mm: g is under T, n is under T: conforms." in lines


def test_under_the_guarded_rule_the_errors_of_the_leaves_grow_with_the_gap():
    # 0.45 / cos 45 = 0.63640; the leaf's error 0.010 becomes 0.01414, and 0.63640 + 0.01414 is over 0.65.
    overhaul = with_gap(ring_gap(1, "0.40/0.45"), rule="guarded")
    steps = working_of(overhaul, verdict_of(overhaul, "2.ring-1"), Occasion.AS_FOUND, "", {})
    lines = [line for step in steps for line in step.lines]

    assert the_gap(overhaul).verdict is Verdict.UNDECIDED
    assert "Errors of the leaves, added up: 0.01414 mm of what goes, 0.01414 mm of what does not." in lines
    assert any(line.endswith("g is under T, n is under T: unproven.") for line in lines)


def test_what_was_typed_stays_beside_what_is_judged():
    typed = ring_gap(1, "0.25+0.20/0.55")
    along = along_circumference(an_angled_ring(), typed)

    assert along.written == typed.written
    assert [leaf.mm for leaf in leaves_of(along.goes)] == [Decimal("0.25"), Decimal("0.20")]
    assert along.goes.mm == Decimal("0.63640")


def test_a_gap_in_inches_stays_in_inches():
    reading = replace(ring_gap(1, "0.45"), value=inches("0.018"))

    assert along_circumference(an_angled_ring(), reading).value.value == Decimal("0.02546")


def test_a_leaf_of_nothing_and_a_part_that_is_gone_are_left_alone():
    nothing = replace(ring_gap(1, "0.45/0.50"), goes=parse_stack("0", LengthUnit.MM))

    assert along_circumference(an_angled_ring(), nothing).goes.mm == 0
    assert along_circumference(None, nothing) == nothing


def test_only_the_closed_gap_is_lengthened():
    assert round(lengthening(an_angled_ring(), "closed-gap"), 4) == Decimal("1.4142")
    assert lengthening(an_angled_ring(), "side-clearance") == 1
    assert lengthening(a_part("2.ring-1"), "closed-gap") == 1


def test_a_sheet_says_that_the_gap_is_gauged_square_and_is_written_back_so():
    sheet = read_sheet(HEAD + STAGE + RING + 'joint = "angle"\ngap_gauged = "square to the cut"\n' + GAP)

    assert [part.gap_gauged for part in sheet.parts] == [SQUARE]
    assert read_sheet(write_sheet(sheet)) == sheet


@pytest.mark.parametrize("joint", ["", 'joint = "butt"\n', 'joint = "step"\n'])
def test_only_an_angle_joint_can_be_gauged_square_to_its_cut(joint):
    with pytest.raises(SheetRefused, match="only a ring with an angle joint has this key"):
        read_sheet(HEAD + STAGE + RING + joint + 'gap_gauged = "square to the cut"\n' + GAP)
