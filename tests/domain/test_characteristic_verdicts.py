"""What one characteristic comes to, level by level: values, leaves, what is missing, and the guarded rule."""

import pytest

from app.domain.characteristic_verdicts import judge_characteristic
from app.domain.leaf_advice import ERRORS_COUNT
from app.domain.limits import Limit, Measure, Rule, Side
from app.domain.numbers import inches
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import a_cannot, a_gap, a_lower, an_upper, at, terms

RENEW, REUSE, UNDECIDED, NOT_GAUGED = Verdict.RENEW, Verdict.REUSE, Verdict.UNDECIDED, Verdict.NOT_GAUGED


def judge(value: str, characteristic=None, **other):
    """Judge one entry of a gap."""
    reading = a_reading("2.ring-1", "closed-gap", value)
    return judge_characteristic(terms(characteristic or a_gap(), **other), {at(reading): reading})


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("0.64", REUSE), ("0.65", REUSE), ("0,65", REUSE), ("0.651", RENEW), ("0.70", RENEW), ("0.0255 in", REUSE),
     ("0.0256 in", RENEW)],
)  # fmt: skip
def test_a_value_just_inside_on_and_just_outside_its_limit_in_either_unit(value, verdict):
    [judged] = judge(value)

    assert judged.verdict is verdict


def test_a_limit_in_inches_judges_a_value_in_millimetres():
    gap = a_gap(Limit(Measure.VALUE, Side.UPPER, inches("0.018")))

    assert [judge(value, gap)[0].verdict for value in ("0.4572", "0.4573")] == [REUSE, RENEW]


def test_what_is_judged_carries_reason_source_margin_and_figure():
    gap = a_gap(an_upper("0.65", renews="ring set", action="Renew the set.", source="table 4"))

    [judged] = judge("0.70", gap)

    assert judged.reason == "0.70 mm is over the limit 0.65 mm."
    assert (judged.figure, judged.renews, judged.advice) == ("0.70", "ring set", "Renew the set.")
    assert str(judged.margin_mm) == "-0.05"
    assert judged.source.endswith(", table 4")
    assert judged.place == ("closed-gap", "")


def test_within_its_limit_nothing_is_renewed_and_nothing_advised():
    [judged] = judge("0.60", a_gap(an_upper("0.65", renews="ring set", action="Renew the set.")))

    assert (judged.renews, judged.advice) == ("", "")


@pytest.mark.parametrize(
    ("leaves", "verdict", "advice"),
    [
        ("0.60/0.65", REUSE, ""),
        ("0.65/0.70", UNDECIDED, "Try 0.66. Does not go: REUSE. Goes: RENEW."),
        ("0.60/0.70", UNDECIDED, "Try 0.65. Does not go: REUSE. Goes: try 0.66."),
        ("0.66/0.70", RENEW, ""),
        ("0.60/", UNDECIDED, "Try 0.65. Does not go: REUSE. Goes: try 0.66."),
        ("0.66/", RENEW, ""),
    ],
)
def test_leaves_settle_a_gap_or_name_the_leaf_that_does(leaves, verdict, advice):
    [judged] = judge(leaves, leaves="0.60 0.65 0.66 0.70")

    assert (judged.verdict, judged.advice) == (verdict, advice)


def test_a_gap_on_the_limit_with_the_thinnest_leaf_above_not_going_reads_as_the_limit():
    [judged] = judge("0.65/0.66", leaves="0.60 0.65 0.66 0.70")

    assert judged.verdict is REUSE
    assert "reads as the limit 0.65 mm" in judged.reason


def test_the_figure_of_leaves_is_short_enough_for_a_tag():
    assert judge("0.60/0.65")[0].figure == "goes 0.60, not 0.65"
    assert judge("0.60/")[0].figure == "goes 0.60"


def test_rework_and_renew_limits_of_one_measure_each_say_their_own():
    gap = a_gap(an_upper("0.60", outcome=Verdict.REWORK), an_upper("0.80", outcome=RENEW))

    at_055, at_070, at_090 = ([one.verdict for one in judge(value, gap)] for value in ("0.55", "0.70", "0.90"))

    assert at_055 == [REUSE, REUSE]
    assert at_070 == [Verdict.REWORK, REUSE]
    assert at_090 == [Verdict.REWORK, RENEW]


def test_limits_on_both_sides_are_both_judged():
    gap = a_gap(an_upper("0.65"), a_lower("0.35"))

    assert [one.verdict for one in judge("0.30", gap)] == [REUSE, RENEW]


def test_without_a_limit_a_reading_is_kept_for_the_record():
    characteristic = a_gap()
    judging = terms(characteristic)
    reading = a_reading("2.ring-1", "closed-gap", "0.60/0.65")

    [judged] = judge_characteristic(type(judging)(judging.sheet, judging.part, characteristic, ()), {("", ""): reading})

    assert judged.verdict is REUSE
    assert judged.reason == "Closed gap: goes 0.60 mm, does not go 0.65 mm. The sheet gives no limit."


def test_a_place_without_an_entry_and_one_that_cannot_be_gauged_are_named():
    gap = a_gap(levels=("unworn end", "worst place"))
    cannot = a_cannot("2.ring-1", "closed-gap", "Carbon in the groove.", level="worst place")

    missing, said = judge_characteristic(terms(gap), {at(cannot): cannot})

    assert (missing.verdict, missing.reason) == (NOT_GAUGED, "No reading yet: closed gap, unworn end.")
    assert said.reason == "Closed gap, worst place could not be gauged: Carbon in the groove."
    assert (said.verdict, said.figure) == (NOT_GAUGED, "cannot gauge")
    assert [one.place for one in (missing, said)] == [("closed-gap", "unworn end"), ("closed-gap", "worst place")]


def test_of_several_levels_each_reason_names_its_own():
    gap = a_gap(levels=("unworn end", "worst place"))
    entries = [
        a_reading("2.ring-1", "closed-gap", value, level=level)
        for value, level in (("0.40", "unworn end"), ("0.70/", "worst place"))
    ]

    unworn, worst = judge_characteristic(terms(gap), {at(entry): entry for entry in entries})

    assert unworn.reason == "Closed gap, unworn end: 0.40 mm is within the limit 0.65 mm."
    assert worst.reason == "Closed gap, worst place: goes 0.70 mm: the gap is over the limit 0.65 mm."


def test_under_the_guarded_rule_no_leaf_is_promised_to_settle_a_gap():
    # The advice of the simple rule would be false here: the leaves' own errors widen the gap.
    [judged] = judge("0.60/0.70", rule=Rule.GUARDED)

    assert (judged.verdict, judged.advice) == (UNDECIDED, ERRORS_COUNT)


@pytest.mark.parametrize(("value", "verdict"), [("0.60", UNDECIDED), ("0.70", RENEW)])
def test_under_the_guarded_rule_nothing_passes_without_an_uncertainty(value, verdict):
    # ILAC-G8:09/2019, 4.2.3; without an uncertainty only the simple rule may be claimed.
    [judged] = judge(value, rule=Rule.GUARDED)

    assert judged.verdict is verdict
    assert ("without an uncertainty" in judged.reason) is (verdict is UNDECIDED)
