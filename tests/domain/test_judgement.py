"""The comparison of a value with a limit: just inside, on, just outside, on either side, simply or with a guard."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.judgement import (
    Against,
    compare,
    compare_goes,
    compare_leaves,
    is_within_new,
    makeable,
    margin_mm,
    settling_leaf,
    thinnest_above,
)
from app.domain.limits import Limit, Measure, NewRange, OnLimit, Side
from app.domain.numbers import inches
from tests.domain.builders import a_lower, an_upper, mm

CONFORMS, FAILS, UNPROVEN = Against.CONFORMS, Against.FAILS, Against.UNPROVEN
REACHED = OnLimit.MUST_NOT_BE_REACHED
LEAVES = tuple(Decimal(leaf) for leaf in ("0.55", "0.60", "0.64", "0.65", "0.66", "0.70"))


@pytest.mark.parametrize(
    ("limit", "inside", "on", "outside"),
    [
        (an_upper("0.65"), "0.649", "0.65", "0.651"),
        (an_upper("0.65", on_limit=REACHED), "0.649", "0.65", "0.651"),
        (a_lower("0.35"), "0.351", "0.35", "0.349"),
        (a_lower("0.35", on_limit=REACHED), "0.351", "0.35", "0.349"),
        (Limit(Measure.VALUE, Side.UPPER, inches("0.018")), "0.4571", "0.4572", "0.4573"),
        (Limit(Measure.VALUE, Side.LOWER, inches("0.5622")), "14.27989", "14.27988", "14.27987"),
    ],
)
def test_just_inside_passes_just_outside_fails_and_on_it_the_limit_says(limit, inside, on, outside):
    on_it = FAILS if limit.on_limit is REACHED else CONFORMS

    assert [compare(Decimal(value), limit) for value in (inside, on, outside)] == [CONFORMS, on_it, FAILS]


@pytest.mark.parametrize(
    ("limit", "value", "margin"),
    [(an_upper("0.65"), "0.70", "-0.05"), (an_upper("0.65"), "0.60", "0.05"), (a_lower("0.35"), "0.30", "-0.05")],
)
def test_the_margin_is_below_nothing_beyond_the_limit(limit, value, margin):
    assert margin_mm(Decimal(value), limit) == Decimal(margin)


@pytest.mark.parametrize(
    ("value", "stands"),
    [("0.60", CONFORMS), ("0.63", CONFORMS), ("0.6301", UNPROVEN), ("0.65", UNPROVEN), ("0.67", UNPROVEN),
     ("0.6701", FAILS)],
)  # fmt: skip
def test_inside_the_guard_band_neither_is_proven_and_on_the_acceptance_limit_it_is_accepted(value, stands):
    # JCGM 106:2012, 8.3: the acceptance interval is closed.
    assert compare(Decimal(value), an_upper("0.65"), Decimal("0.02")) is stands


def test_a_guard_leaves_a_limit_that_must_not_be_reached_unproven_on_it():
    assert compare(Decimal("0.65"), an_upper("0.65", on_limit=REACHED), Decimal("0.02")) is UNPROVEN


@pytest.mark.parametrize(
    ("goes", "stops", "stands"),
    [
        ("0.55", "0.60", CONFORMS),
        ("0.60", "0.65", CONFORMS),  # the gap is below the leaf that does not go
        ("0.60", "0.66", UNPROVEN),
        ("0.65", "0.66", CONFORMS),  # no leaf between: the gap reads as the limit
        ("0.65", "0.655", CONFORMS),  # a thinner leaf than this set has says even more
        ("0.65", "0.70", UNPROVEN),
        ("0.66", "0.70", FAILS),
        ("0.651", "0.66", FAILS),
    ],
)
def test_a_gap_between_leaves_is_judged_by_its_ends(goes, stops, stands):
    assert compare_leaves(Decimal(goes), Decimal(stops), an_upper("0.65"), LEAVES) is stands


def test_a_gap_does_not_read_as_a_limit_that_no_leaf_of_the_set_is_above():
    assert compare_leaves(Decimal("0.70"), Decimal("0.75"), an_upper("0.70"), LEAVES) is UNPROVEN


@pytest.mark.parametrize(("goes", "stops", "stands"), [("0.60", "0.65", CONFORMS), ("0.65", "0.66", FAILS)])
def test_leaves_at_a_limit_that_must_not_be_reached(goes, stops, stands):
    limit = an_upper("0.65", on_limit=REACHED)

    assert compare_leaves(Decimal(goes), Decimal(stops), limit, LEAVES) is stands


@pytest.mark.parametrize(
    ("goes", "stops", "stands"),
    [("0.65", "0.70", CONFORMS), ("0.64", "0.66", UNPROVEN), ("0.60", "0.65", FAILS), ("0.55", "0.60", FAILS)],
)
def test_a_gap_under_a_lower_limit_is_judged_by_its_ends_too(goes, stops, stands):
    assert compare_leaves(Decimal(goes), Decimal(stops), a_lower("0.65"), LEAVES) is stands


def test_a_leaf_on_a_lower_limit_that_must_not_be_reached_proves_nothing():
    limit = a_lower("0.65", on_limit=REACHED)

    assert compare_leaves(Decimal("0.65"), Decimal("0.70"), limit, LEAVES) is UNPROVEN


@pytest.mark.parametrize(
    ("goes", "stops", "stands"),
    [("0.55", "0.63", CONFORMS), ("0.60", "0.64", UNPROVEN), ("0.65", "0.66", UNPROVEN), ("0.66", "0.70", UNPROVEN),
     ("0.671", "0.70", FAILS)],
)  # fmt: skip
def test_leaf_errors_widen_the_gap_and_nothing_reads_as_the_limit(goes, stops, stands):
    errors = (Decimal("0.02"), Decimal("0.02"))

    assert compare_leaves(Decimal(goes), Decimal(stops), an_upper("0.65"), LEAVES, errors) is stands


@pytest.mark.parametrize(
    ("limit", "goes", "stands"),
    [
        (an_upper("0.65"), "0.60", UNPROVEN),
        (an_upper("0.65"), "0.65", UNPROVEN),
        (an_upper("0.65"), "0.66", FAILS),
        (an_upper("0.65", on_limit=REACHED), "0.65", FAILS),
        (a_lower("0.35"), "0.30", UNPROVEN),
        (a_lower("0.35"), "0.35", CONFORMS),
        (a_lower("0.35", on_limit=REACHED), "0.35", UNPROVEN),
    ],
)
def test_a_leaf_that_goes_alone_can_fail_an_upper_limit_and_pass_a_lower_one(limit, goes, stands):
    assert compare_goes(Decimal(goes), limit) is stands


@pytest.mark.parametrize(("value", "within"), [("0.199", False), ("0.20", True), ("0.35", True), ("0.351", False)])
def test_the_new_range_includes_its_ends(value, within):
    assert is_within_new(Decimal(value), NewRange(mm("0.20"), mm("0.35"))) is within


def test_a_set_of_leaves_makes_each_leaf_and_each_stack_of_two_rising():
    made = makeable([Decimal("0.30"), Decimal("0.05"), Decimal("0.10"), Decimal("0.10")])

    assert made == tuple(Decimal(t) for t in ("0.05", "0.10", "0.15", "0.30", "0.35", "0.40"))
    assert thinnest_above(Decimal("0.15"), made) == Decimal("0.30")
    assert thinnest_above(Decimal("0.40"), made) is None


@pytest.mark.parametrize(
    ("goes", "stops", "leaf"),
    [
        ("0.60", "0.70", "0.65"),
        ("0.55", "0.65", "0.64"),
        ("0.65", "0.70", "0.66"),
        ("0.60", "0.64", None),
        ("0.64", "0.65", None),
        ("0.66", "0.70", None),
        ("0.55", None, "0.65"),
        ("0.70", None, None),
    ],
)
def test_the_leaf_to_try_is_the_thickest_up_to_an_upper_limit_else_the_thinnest_over_it(goes, stops, leaf):
    found = settling_leaf(Decimal(goes), Decimal(stops) if stops else None, an_upper("0.65"), LEAVES)

    assert found == (Decimal(leaf) if leaf else None)


@pytest.mark.parametrize(("goes", "stops", "leaf"), [("0.60", "0.70", "0.65"), ("0.60", "0.65", "0.64")])
def test_the_leaf_to_try_at_a_lower_limit_is_the_thinnest_from_it_up_else_the_thickest_under_it(goes, stops, leaf):
    assert settling_leaf(Decimal(goes), Decimal(stops), a_lower("0.65"), LEAVES) == Decimal(leaf)


def test_a_limit_in_inches_and_the_same_in_millimetres_judge_alike():
    inch = Limit(Measure.VALUE, Side.UPPER, inches("0.062"))
    same = replace(inch, size=mm("1.5748"))

    for value in ("1.5747", "1.5748", "1.5749"):
        assert compare(Decimal(value), inch) is compare(Decimal(value), same)
