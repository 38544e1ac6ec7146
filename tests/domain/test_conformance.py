"""Conformance probabilities and guard bands, held against published values and scipy."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm, uniform

from app.domain.conformance import (
    LimitsCrossed,
    UncertaintyMissing,
    guard_band_ilac_g8_mm,
    guard_band_iso_14253_mm,
    guarded_lower,
    guarded_upper,
    interval_over_lower,
    interval_under_upper,
    probability_between,
    probability_over_lower,
    probability_under_upper,
)

SIZES_MM = st.decimals(min_value="0.5", max_value="1.5", places=4)
UNCERTAINTIES_MM = st.decimals(min_value="0.001", max_value="0.2", places=4)


def test_the_breakdown_voltage_of_jcgm_106_conforms_with_0_919():
    # JCGM 106:2012, 7.3.3, example 1 (numbers from memory, result reproduced by arithmetic).
    probability = probability_under_upper(Decimal("-5.47"), Decimal("0.05"), Decimal("-5.40"))

    assert round(probability, 6) == 0.919243


@pytest.mark.parametrize(
    ("reading", "expected"),
    [("1.10", 0.9999997), ("1.16", 0.977250), ("1.18", 0.841345), ("1.20", 0.5), ("1.22", 0.158655)],
)
def test_readings_around_an_upper_limit_of_120_conform_with_these_probabilities(reading, expected):
    # Arithmetic from the stated inputs: limit 1.20, U 0.04, so u 0.02.
    probability = probability_under_upper(Decimal(reading), Decimal("0.02"), Decimal("1.20"))

    assert probability == pytest.approx(expected, abs=5e-7)


@settings(deadline=None)  # scipy is slow when it is first used
@given(SIZES_MM, UNCERTAINTIES_MM, SIZES_MM)
def test_one_sided_probabilities_agree_with_scipy(reading_mm, u_mm, limit_mm):
    reference = norm.cdf((float(limit_mm) - float(reading_mm)) / float(u_mm))

    under, over = (judge(reading_mm, u_mm, limit_mm) for judge in (probability_under_upper, probability_over_lower))

    assert under == pytest.approx(reference, abs=1e-12)
    assert over == pytest.approx(1 - reference, abs=1e-12)


@settings(deadline=None)  # scipy is slow when it is first used
@given(SIZES_MM, UNCERTAINTIES_MM, SIZES_MM, SIZES_MM)
def test_two_sided_probabilities_agree_with_scipy(reading_mm, u_mm, one_mm, other_mm):
    lower_mm, upper_mm = sorted((one_mm, other_mm))
    model = norm(float(reading_mm), float(u_mm))

    probability = probability_between(reading_mm, u_mm, lower_mm, upper_mm)

    assert probability == pytest.approx(model.cdf(float(upper_mm)) - model.cdf(float(lower_mm)), abs=1e-9)
    assert 0 <= probability <= 1


def test_far_on_the_bad_side_the_probability_keeps_its_digits():
    probability = probability_under_upper(Decimal("1.40"), Decimal("0.02"), Decimal("1.20"))

    assert probability == pytest.approx(norm.sf(10), rel=1e-9)


def test_limits_that_cross_are_refused():
    with pytest.raises(LimitsCrossed, match=r"1\.3 mm is above the upper limit 1\.2 mm"):
        probability_between(Decimal("1.2"), Decimal("0.02"), Decimal("1.3"), Decimal("1.2"))


def test_a_rectangle_around_118_conforms_to_120_with_07_where_a_normal_model_says_0756():
    # Arithmetic from the stated inputs; the normal model has the same standard uncertainty, 0.05 / sqrt(3).
    middle_mm, half_width_mm, limit_mm = Decimal("1.18"), Decimal("0.05"), Decimal("1.20")
    normal_u_mm = half_width_mm / Decimal(3).sqrt()

    rectangular = interval_under_upper(middle_mm, half_width_mm, limit_mm)
    normal = probability_under_upper(middle_mm, normal_u_mm, limit_mm)

    assert rectangular == 0.7
    assert round(normal, 6) == 0.755789


@pytest.mark.parametrize(
    ("limit", "expected"), [("1.12", 0.0), ("1.13", 0.0), ("1.18", 0.5), ("1.23", 1.0), ("1.24", 1.0)]
)
def test_an_interval_wholly_on_one_side_is_certain(limit, expected):
    middle_mm, half_width_mm, limit_mm = Decimal("1.18"), Decimal("0.05"), Decimal(limit)

    assert interval_under_upper(middle_mm, half_width_mm, limit_mm) == expected
    assert interval_over_lower(middle_mm, half_width_mm, limit_mm) == 1 - expected


@settings(deadline=None)  # scipy is slow when it is first used
@given(SIZES_MM, UNCERTAINTIES_MM, SIZES_MM)
def test_interval_probabilities_agree_with_scipy(middle_mm, half_width_mm, limit_mm):
    model = uniform(float(middle_mm - half_width_mm), 2 * float(half_width_mm))

    under = interval_under_upper(middle_mm, half_width_mm, limit_mm)

    assert under == pytest.approx(model.cdf(float(limit_mm)), abs=1e-9)


@given(SIZES_MM, SIZES_MM, UNCERTAINTIES_MM, SIZES_MM)
def test_more_wear_never_makes_an_upper_limit_more_probable(one_mm, other_mm, u_mm, limit_mm):
    less_mm, more_mm = sorted((one_mm, other_mm))

    for judge in (probability_under_upper, interval_under_upper):
        assert judge(more_mm, u_mm, limit_mm) <= judge(less_mm, u_mm, limit_mm)


def test_the_guard_band_of_iso_14253_is_165_standard_uncertainties():
    # ISO 14253-1:2017 default, from memory: 95 % one-sided.
    guard_mm = guard_band_iso_14253_mm(Decimal("0.02"))

    assert guard_mm == Decimal("0.033")
    assert norm.cdf(float(guard_mm) / 0.02) == pytest.approx(0.95, abs=0.001)


def test_the_guard_band_of_ilac_g8_accepts_00017_and_leaves_00025_unproven():
    # ILAC-G8:09/2019, 4.2.3: limit +-0.003, U 0.001, acceptance +-0.002.
    guard_mm = guard_band_ilac_g8_mm(Decimal("0.001"))

    upper, lower = guarded_upper(Decimal("0.003"), guard_mm), guarded_lower(Decimal("-0.003"), guard_mm)

    assert (lower.acceptance_limit_mm, upper.acceptance_limit_mm) == (Decimal("-0.002"), Decimal("0.002"))
    assert Decimal("0.0017") <= upper.acceptance_limit_mm < Decimal("0.0025") <= upper.rejection_limit_mm
    assert lower.rejection_limit_mm == Decimal("-0.004")


@given(SIZES_MM, UNCERTAINTIES_MM)
def test_a_reading_on_the_acceptance_limit_of_iso_14253_conforms_to_95_percent(limit_mm, u_mm):
    guarded = guarded_upper(limit_mm, guard_band_iso_14253_mm(u_mm))

    probability = probability_under_upper(guarded.acceptance_limit_mm, u_mm, limit_mm)

    assert probability >= 0.95


@pytest.mark.parametrize("written", ["0", "-0.01", "NaN", "Infinity"])
def test_without_an_uncertainty_no_probability_and_no_guard_band_is_claimed(written):
    u_mm, limit_mm = Decimal(written), Decimal("1.20")
    claims = [
        lambda: probability_under_upper(limit_mm, u_mm, limit_mm),
        lambda: probability_over_lower(limit_mm, u_mm, limit_mm),
        lambda: probability_between(limit_mm, u_mm, limit_mm, limit_mm),
        lambda: interval_under_upper(limit_mm, u_mm, limit_mm),
        lambda: interval_over_lower(limit_mm, u_mm, limit_mm),
        lambda: guard_band_iso_14253_mm(u_mm),
        lambda: guard_band_ilac_g8_mm(u_mm),
        lambda: guarded_upper(limit_mm, u_mm),
        lambda: guarded_lower(limit_mm, u_mm),
    ]

    for claim in claims:
        with pytest.raises(UncertaintyMissing, match="only the simple rule"):
            claim()
