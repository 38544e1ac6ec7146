"""Standard uncertainties, held against the GUM, worked values and the uncertainties package."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import uniform
from uncertainties import ufloat

from app.domain.sizes import SizeNotPositive
from app.domain.uncertainty import (
    LeafErrorUnknown,
    NotAnInterval,
    UncertaintyNegative,
    difference_u_mm,
    feeler_estimate_mm,
    feeler_u_mm,
    leaf_error_mm,
    permissible_error_u_mm,
    rectangular_u_mm,
    resolution_u_mm,
    stack_error_mm,
)

WIDTHS_MM = st.decimals(min_value="0.0001", max_value=10, places=4)


def test_a_feeler_between_045_and_050_reads_0475_with_u_00144():
    # JCGM 100:2008, 4.3.7; arithmetic from the stated inputs.
    goes_mm, does_not_go_mm = Decimal("0.45"), Decimal("0.50")

    estimate_mm, u_mm = feeler_estimate_mm(goes_mm, does_not_go_mm), feeler_u_mm(goes_mm, does_not_go_mm)

    assert estimate_mm == Decimal("0.475")
    assert round(u_mm, 4) == Decimal("0.0144")


@pytest.mark.parametrize(("resolution", "expected"), [("0.01", "0.0028868"), ("0.001", "0.00028868")])
def test_the_last_digit_of_a_display_leaves_its_step_over_root_twelve(resolution, expected):
    # JCGM 100:2008, F.2.2.1; arithmetic from the stated inputs.
    resolution_mm = Decimal(resolution)

    u_mm = resolution_u_mm(resolution_mm)

    assert u_mm.quantize(Decimal(expected)) == Decimal(expected)


def test_a_maximum_permissible_error_counts_as_a_rectangle():
    # JCGM 100:2008, 4.3.7: 0.003 / sqrt(3).
    u_mm = permissible_error_u_mm(Decimal("0.003"))

    assert round(u_mm, 7) == Decimal("0.0017321")


@settings(deadline=None)  # scipy is slow when it is first used
@given(WIDTHS_MM)
def test_a_rectangle_has_the_standard_deviation_that_scipy_gives(half_width_mm):
    reference = uniform(loc=-float(half_width_mm), scale=2 * float(half_width_mm)).std()

    u_mm = rectangular_u_mm(half_width_mm)

    assert float(u_mm) == pytest.approx(reference, rel=1e-12)


@given(WIDTHS_MM)
def test_a_resolution_is_a_rectangle_of_half_a_step_to_either_side(resolution_mm):
    as_rectangle = rectangular_u_mm(resolution_mm / 2)

    assert float(resolution_u_mm(resolution_mm)) == pytest.approx(float(as_rectangle), rel=1e-20)


def test_a_difference_of_two_readings_keeps_only_what_does_not_repeat():
    # Independent reference: the uncertainties package, the setting error common to both readings.
    setting, first, second = ufloat(0, 0.005), ufloat(100.12, 0.003), ufloat(100.02, 0.003)
    reference = ((first + setting) - (second + setting)).std_dev

    u_mm = difference_u_mm(Decimal("0.003"))

    assert float(u_mm) == pytest.approx(reference, rel=1e-9)


@pytest.mark.parametrize(
    ("leaf", "error"), [("0.05", "0.005"), ("0.30", "0.005"), ("0.31", "0.010"), ("1.00", "0.010")]
)
def test_a_leaf_without_a_certificate_has_the_assumed_error(leaf, error):
    # From memory, not checked against a printed copy.
    assert leaf_error_mm(Decimal(leaf)) == Decimal(error)


def test_a_leaf_thicker_than_the_assumption_covers_is_refused():
    with pytest.raises(LeafErrorUnknown, match=r"1\.01 mm; up to 1\.00 mm is assumed"):
        leaf_error_mm(Decimal("1.01"))


def test_the_certificate_of_the_set_comes_before_the_assumption():
    certified_mm = {Decimal("0.30"): Decimal("0.002"), Decimal("1.50"): Decimal("0.015")}

    errors_mm = [leaf_error_mm(Decimal(leaf), certified_mm) for leaf in ("0.3", "1.5", "0.4")]

    assert errors_mm == [Decimal("0.002"), Decimal("0.015"), Decimal("0.010")]


def test_the_errors_of_stacked_leaves_add_and_do_not_average_out():
    # JCGM 100:2008, 5.2.2, note 1: fully correlated inputs add linearly.
    ten_leaves_mm = [Decimal("0.254")] * 10

    error_mm = stack_error_mm(ten_leaves_mm)

    assert error_mm == 10 * leaf_error_mm(Decimal("0.254"))


def test_a_published_stack_of_ten_leaves_is_out_by_more_than_the_leaves_alone_explain():
    # Feeler stock supplier's note: ten 0.010 in leaves, nominally 0.100 in, measured 0.106 in; oil and dust count too.
    published_excess_mm = (Decimal("0.106") - Decimal("0.100")) * Decimal("25.4")

    error_mm = stack_error_mm([Decimal("0.254")] * 10)

    assert 0 < error_mm < published_excess_mm


def test_a_stack_uses_the_certificate_of_its_set():
    certified_mm = {Decimal("0.30"): Decimal("0.002")}

    error_mm = stack_error_mm([Decimal("0.30"), Decimal("0.50")], certified_mm)

    assert error_mm == Decimal("0.012")


def test_no_leaf_has_no_error():
    assert stack_error_mm([]) == 0


def test_a_leaf_of_no_thickness_is_refused():
    with pytest.raises(SizeNotPositive, match="the leaf"):
        leaf_error_mm(Decimal(0))


@pytest.mark.parametrize("does_not_go", ["0.45", "0.40", "-0.50"])
def test_two_leaves_that_enclose_nothing_are_refused(does_not_go):
    for measure in (feeler_estimate_mm, feeler_u_mm):
        with pytest.raises(NotAnInterval, match="must be thicker"):
            measure(Decimal("0.45"), Decimal(does_not_go))


def test_a_gap_that_no_leaf_enters_starts_at_zero():
    assert feeler_estimate_mm(Decimal(0), Decimal("0.04")) == Decimal("0.02")


@pytest.mark.parametrize("measure", [rectangular_u_mm, resolution_u_mm, permissible_error_u_mm, difference_u_mm])
@pytest.mark.parametrize("written", ["-0.001", "NaN", "Infinity"])
def test_an_uncertainty_below_zero_or_without_bound_is_refused(measure, written):
    with pytest.raises(UncertaintyNegative, match="must be 0 mm or more"):
        measure(Decimal(written))


def test_a_certified_error_below_zero_is_refused():
    with pytest.raises(UncertaintyNegative, match="the certified error"):
        leaf_error_mm(Decimal("0.3"), {Decimal("0.3"): Decimal("-0.001")})
