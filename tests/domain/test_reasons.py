"""The sentences that say why: the reading, over or within, the limit, and digits enough to be true."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain import reasons
from app.domain.judgement import Against, compare, margin_mm
from app.domain.limits import Limit, Measure, OnLimit, Side
from app.domain.numbers import in_inches, inches, parse_length
from app.domain.sheet_sizes import read_size
from app.domain.units import LengthUnit
from tests.domain.builders import a_gap, a_lower, an_upper, ring_gap, the_sheet

GAP = a_gap()
INCH_GAP = a_gap(Limit(Measure.VALUE, Side.UPPER, inches("0.018")), new=None, unit=LengthUnit.INCH, decimals=3)

READ_BOTH = a_gap(is_read_in_both=True)
PRINTED = a_gap(Limit(Measure.VALUE, Side.UPPER, read_size("0.65 mm = 0.0256 in", LengthUnit.MM)))


def said(value: str, limit: Limit, characteristic=GAP) -> str:
    """What is said of one value."""
    length = parse_length(value, characteristic.unit)
    stands, margin = compare(length.mm, limit), margin_mm(length.mm, limit)
    return reasons.against_limit(reasons.as_read(length, characteristic), stands, margin, limit, characteristic)


def test_size_printed_in_both_units_is_written_as_printed_and_any_other_with_its_decimals() -> None:
    both, one = (read_size(text, LengthUnit.MM) for text in ("18.0 mm  = 0.709 in", "0.7"))

    assert reasons.as_printed(both, GAP) == "18.0 mm = 0.709 in"
    assert reasons.as_printed(one, GAP) == "0.70"


@pytest.mark.parametrize(
    ("value", "limit", "words"),
    [
        ("0.7", an_upper("0.65"), "0.70 mm is over the limit 0.65 mm."),
        ("0.65", an_upper("0.65"), "0.65 mm is on the limit 0.65 mm: on it passes."),
        ("0.6", an_upper("0.65"), "0.60 mm is within the limit 0.65 mm."),
        ("0.65", an_upper("0.65", on_limit=OnLimit.MUST_NOT_BE_REACHED),
         "0.65 mm is on the limit 0.65 mm: it must not be reached."),
        ("0.3", a_lower("0.35", called="new minimum"), "0.30 mm is under the new minimum 0.35 mm."),
        ("1.30048", an_upper("1.30"), "1.30048 mm is over the limit 1.30 mm."),
        ("0.0276 in", an_upper("0.65"), "0.0276 in (0.70104 mm) is over the limit 0.65 mm."),
    ],
)  # fmt: skip
def test_a_value_is_said_to_be_over_within_under_or_on_its_limit(value, limit, words):
    assert said(value, limit) == words


def test_an_inch_limit_is_also_written_in_the_millimetres_it_is_compared_in():
    limit = INCH_GAP.limits[0]

    assert said("0.019", limit, INCH_GAP) == "0.019 in is over the limit 0.018 in (0.4572 mm)."
    assert said("0.45721 mm", limit, INCH_GAP).startswith("0.45721 mm (0.0180004 in) is over the limit")


@pytest.mark.parametrize(
    ("value", "limit", "characteristic", "words"),
    [
        ("0.7", an_upper("0.65"), READ_BOTH, "0.70 mm (0.0276 in) is over the limit 0.65 mm (0.0256 in)."),
        ("0.0276 in", an_upper("0.65"), READ_BOTH, "0.0276 in (0.70104 mm) is over the limit 0.65 mm (0.0256 in)."),
        ("0.7", PRINTED.limits[0], PRINTED, "0.70 mm (0.0276 in) is over the limit 0.65 mm = 0.0256 in."),
        ("0.019", INCH_GAP.limits[0], replace(INCH_GAP, is_read_in_both=True),
         "0.019 in (0.4826 mm) is over the limit 0.018 in (0.4572 mm)."),
    ],
)  # fmt: skip
def test_sizes_stand_in_both_units_where_a_reader_puts_the_other_first_or_the_sheet_prints_both(
    value, limit, characteristic, words
):
    assert said(value, limit, characteristic) == words


def test_inches_beside_millimetres_are_rounded_away_from_zero_and_never_to_a_nothing_with_a_sign():
    assert [in_inches(Decimal(mm), 4) for mm in ("0.00127", "-0.00127", "-0.001", "0.0012")] == [
        "0.0001", "-0.0001", "0.0000", "0.0000",
    ]  # fmt: skip


@pytest.mark.parametrize("margin", ["0.01", "0", "-0.01"])
def test_a_value_inside_a_guard_band_is_too_near_to_be_proven_on_the_limit_too(margin):
    words = reasons.against_limit("0.64 mm", Against.UNPROVEN, Decimal(margin), an_upper("0.65"), GAP)

    assert words == "0.64 mm is too near the limit 0.65 mm to be proven either way."


def test_a_gap_near_its_limit_is_not_proven_with_the_errors_of_the_leaves():
    words = reasons.leaves_against_limit(ring_gap(1, "0.60/0.64"), Against.UNPROVEN, an_upper("0.65"), GAP)

    assert words.endswith("with the leaves' own errors the limit 0.65 mm is too near to be proven either way.")


@pytest.mark.parametrize(
    ("leaves", "stands", "limit", "words"),
    [
        ("0.66/0.70", Against.FAILS, an_upper("0.65"),
         "Goes 0.66 mm, does not go 0.70 mm: the gap is over the limit 0.65 mm."),
        ("0.66/", Against.FAILS, an_upper("0.65"), "Goes 0.66 mm: the gap is over the limit 0.65 mm."),
        ("0.60/0.65", Against.CONFORMS, an_upper("0.65"),
         "Goes 0.60 mm, does not go 0.65 mm: the gap is within the limit 0.65 mm."),
        ("0.65/0.66", Against.CONFORMS, an_upper("0.65"),
         "Goes 0.65 mm, does not go 0.66 mm: no leaf lies between, "
         "so the gap reads as the limit 0.65 mm: on it passes."),
        ("0.70/0.75", Against.CONFORMS, a_lower("0.65"),
         "Goes 0.70 mm, does not go 0.75 mm: the gap is within the limit 0.65 mm."),
        ("0.30/0.35", Against.FAILS, a_lower("0.35"),
         "Goes 0.30 mm, does not go 0.35 mm: the gap is under the limit 0.35 mm."),
        ("0.60/0.70", Against.UNPROVEN, an_upper("0.65"),
         "Goes 0.60 mm, does not go 0.70 mm: the limit 0.65 mm lies between the two leaves."),
        ("0.65/0.70", Against.UNPROVEN, an_upper("0.65"),
         "Goes 0.65 mm, does not go 0.70 mm: the gap is on the limit 0.65 mm or over it."),
        ("0.60/", Against.UNPROVEN, an_upper("0.65"),
         "Goes 0.60 mm: find the leaf that does not go. The limit 0.65 mm is not settled by this leaf."),
    ],
)  # fmt: skip
def test_a_gap_between_leaves_is_said_by_its_leaves(leaves, stands, limit, words):
    assert reasons.leaves_against_limit(ring_gap(1, leaves), stands, limit, GAP) == words


def test_leaves_in_another_unit_stand_in_both():
    reading = replace(ring_gap(1, "0.45/"), goes=inches("0.018"))

    assert reasons.leaf_figures(reading, GAP) == "Goes 0.018 in (0.4572 mm)"


def test_the_sheet_is_cited_with_the_place_in_it():
    assert reasons.cited(the_sheet(), "table 4") == f"Sheet {the_sheet().title}, table 4"
    assert reasons.cited(the_sheet(), "") == f"Sheet {the_sheet().title}"


@pytest.mark.parametrize(("places", "words"), [([], ""), (["top"], "top"), (["top", "middle"], "top and middle")])
def test_places_are_joined_as_a_sentence_does(places, words):
    assert reasons.many(places) == words
