"""What closed gaps say, held against published figures and worked values."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.bore_grid import BoreGrid
from app.domain.rings import (
    ANGLE_JOINT_SHARE,
    SIDE_CLEARANCE_RULE,
    WORN_OUT_GAP_RULE,
    ReadingsDisagree,
    circumferential_gap_mm,
    gap_growth_mm,
    new_ring_gap_mm,
    new_ring_gaps,
    recommended_new_gaps,
    ring_face_wear_mm,
    ring_share_mm,
)
from app.domain.sizes import SizeNotPositive

INCH_MM = Decimal("25.4")
LEVELS = ("top", "middle", "bottom")


def a_bore(written):
    """Build a bore from diameters written level by level, '-' for a place not yet gauged."""
    cells = [(level, axis) for level in LEVELS for axis in ("A", "B")]
    diameters_mm = {cell: Decimal(size) for cell, size in zip(cells, written.split(), strict=True) if size != "-"}
    return BoreGrid(LEVELS, ("A", "B"), diameters_mm)


def test_both_handbook_figures_for_a_new_gap_are_given_with_their_pages():
    # Bloch & Hoefner, p. 272 (0.002, minimum) and p. 228 (0.003, rule of thumb), for a 10 in bore.
    gaps = recommended_new_gaps(10 * INCH_MM)

    assert [gap.gap_mm / INCH_MM for gap in gaps] == [Decimal("0.020"), Decimal("0.030")]
    assert [gap.source[-6:] for gap in gaps] == ["p. 272", "p. 228"]
    assert "least" in gaps[0].measure


def test_a_ring_is_worn_out_when_its_gap_has_tripled():
    # Bloch & Hoefner, p. 280-281: 10 in bore, 0.020 in new, 0.060 in worn out.
    assert WORN_OUT_GAP_RULE.size_mm(Decimal("0.020") * INCH_MM) == Decimal("0.060") * INCH_MM


def test_forty_thousandths_of_gap_are_thirteen_thousandths_of_bore():
    # Bloch & Hoefner, p. 281: 0.040 in of gap is 0.012732 in of bore, printed 0.013.
    bore_growth_in = Decimal("0.040") / gap_growth_mm(Decimal(1))

    assert round(bore_growth_in, 6) == Decimal("0.012732")
    assert round(bore_growth_in, 3) == Decimal("0.013")


def test_a_gap_grows_with_the_mean_of_the_axes_and_not_with_the_largest():
    # Arithmetic from the stated inputs: bore 100.12 and 100.06 over 100.00.
    of_the_mean, of_the_largest = gap_growth_mm(Decimal("0.09")), gap_growth_mm(Decimal("0.12"))

    assert round(of_the_mean, 3) == Decimal("0.283")
    assert round(of_the_largest, 3) == Decimal("0.377")


def test_growth_of_a_gap_is_shared_between_bore_and_ring():
    # Arithmetic from the stated inputs: gap +0.36, bore +0.05.
    gap_growth, bore_growth = Decimal("0.36"), Decimal("0.05")

    assert round(gap_growth_mm(bore_growth), 3) == Decimal("0.157")
    assert round(ring_share_mm(gap_growth, bore_growth), 3) == Decimal("0.203")
    assert round(ring_face_wear_mm(gap_growth, bore_growth), 4) == Decimal("0.0323")


def test_a_gap_that_did_not_grow_in_a_bore_that_did_not_grow_has_no_wear():
    assert ring_face_wear_mm(Decimal(0), Decimal(0)) == 0


@pytest.mark.parametrize(("gap_growth", "bore_growth"), [("0.15", "0.05"), ("-0.01", "0"), ("0.36", "-0.01")])
def test_readings_that_do_not_agree_ask_for_the_level_and_give_no_number(gap_growth, bore_growth):
    for measure in (ring_share_mm, ring_face_wear_mm):
        with pytest.raises(ReadingsDisagree, match=r"^the readings do not agree: .*; which level\?$"):
            measure(Decimal(gap_growth), Decimal(bore_growth))


@given(
    st.decimals(min_value=0, max_value=1, places=3),
    st.decimals(min_value=0, max_value=1, places=3),
)
def test_bore_and_ring_together_explain_the_whole_gap(face_wear_mm, bore_growth_mm):
    from_ring_mm = ring_share_mm(gap_growth_mm(2 * face_wear_mm + bore_growth_mm), bore_growth_mm)

    assert float(from_ring_mm) == pytest.approx(float(gap_growth_mm(2 * face_wear_mm)), abs=1e-20)


def test_a_new_ring_in_a_worn_bore_shows_its_gap_at_the_mean_of_the_worst_level():
    # Arithmetic from the stated inputs: 0.30 stated for 100.00, means 100.07, 100.09 and 100.035.
    grid = a_bore("100.09 100.05 100.12 100.06 100.04 100.03")

    gaps = new_ring_gaps(grid, Decimal("0.30"), Decimal("100.00"))

    assert [gap.level for gap in gaps] == ["bottom", "top", "middle"]
    assert round(gaps[-1].gap_mm, 3) == Decimal("0.583")
    assert round(gaps[0].gap_mm, 3) == Decimal("0.410")


def test_while_a_place_is_missing_no_worst_level_is_named():
    grid = a_bore("100.09 100.05 100.12 100.06 100.04 -")

    assert new_ring_gaps(grid, Decimal("0.30"), Decimal("100.00")) == ()


def test_a_new_ring_in_a_bore_of_the_stated_size_shows_its_stated_gap():
    assert new_ring_gap_mm(Decimal("0.30"), Decimal("100.00"), Decimal("100.00")) == Decimal("0.30")


def test_a_new_ring_too_large_for_its_bore_shows_no_gap_left():
    assert new_ring_gap_mm(Decimal("0.30"), Decimal("100.00"), Decimal("99.90")) < 0


@pytest.mark.parametrize("sizes", [("0", "100", "100"), ("0.3", "0", "100"), ("0.3", "100", "0")])
def test_a_new_ring_gap_from_a_size_of_nothing_is_refused(sizes):
    with pytest.raises(SizeNotPositive):
        new_ring_gap_mm(*map(Decimal, sizes))


def test_a_45_degree_joint_measured_square_reads_0707_of_its_gap():
    # Geometry: the cosine of 45 degrees.
    gap_mm = circumferential_gap_mm(Decimal("0.50"))

    assert round(ANGLE_JOINT_SHARE, 3) == Decimal("0.707")
    assert round(gap_mm, 4) == Decimal("0.7071")


def test_a_square_gap_of_nothing_is_refused():
    with pytest.raises(SizeNotPositive, match="the gap"):
        circumferential_gap_mm(Decimal(0))


@pytest.mark.parametrize(("width_in", "clearance_in"), [("0.25", "0.002"), ("0.5", "0.003"), ("1", "0.006")])
def test_side_clearance_goes_by_the_ring_width_and_is_never_under_two_thousandths(width_in, clearance_in):
    # Bloch & Hoefner, p. 272: 0.006 per unit of ring width, at least 0.002 in.
    assert SIDE_CLEARANCE_RULE.size_mm(Decimal(width_in) * INCH_MM) == Decimal(clearance_in) * INCH_MM
