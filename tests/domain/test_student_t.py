"""Student's t quantile, held against printed tables and against scipy."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm, t

from app.domain.student_t import DegreesOfFreedomMissing, NotAProbability, student_t_quantile


@pytest.mark.parametrize(
    ("level", "degrees_of_freedom", "printed"),
    [
        # JCGM 100:2008 (GUM), table G.2, two-sided levels (from memory).
        (0.95, 1, 12.71),
        (0.95, 2, 4.30),
        (0.95, 4, 2.78),
        (0.95, 10, 2.23),
        (0.99, 16, 2.92),
        (0.95, 19, 2.09),
        (0.9545, 1, 13.97),
        (0.9545, 10, 2.28),
        (0.9973, 10, 3.96),
    ],
)
def test_quantiles_agree_with_the_table_of_the_gum(level, degrees_of_freedom, printed):
    quantile = student_t_quantile((1 + level) / 2, degrees_of_freedom)

    assert round(quantile, 2) == printed


@settings(deadline=None)  # scipy is slow when it is first used
@given(
    st.floats(min_value=0.0005, max_value=0.9995),
    st.one_of(st.integers(min_value=1, max_value=1000), st.floats(min_value=1, max_value=1000)),
)
def test_quantiles_agree_with_scipy(probability, degrees_of_freedom):
    quantile = student_t_quantile(probability, degrees_of_freedom)

    assert quantile == pytest.approx(t.ppf(probability, degrees_of_freedom), rel=1e-9, abs=1e-9)


@given(st.floats(min_value=0.5, max_value=0.9995), st.integers(min_value=1, max_value=200))
def test_more_degrees_of_freedom_never_widen_the_quantile(probability, degrees_of_freedom):
    few = student_t_quantile(probability, degrees_of_freedom)
    more = student_t_quantile(probability, degrees_of_freedom + 1)

    assert more <= few + 1e-12


def test_the_quantile_of_one_half_is_the_middle():
    assert student_t_quantile(0.5, 7) == pytest.approx(0, abs=1e-12)


def test_very_many_degrees_of_freedom_give_the_normal_quantile():
    quantile = student_t_quantile(0.975, 1e9)

    assert quantile == pytest.approx(norm.ppf(0.975), rel=1e-12)


@pytest.mark.parametrize("probability", [0, 1, -0.1, 1.1, float("nan")])
def test_what_is_no_probability_is_refused(probability):
    with pytest.raises(NotAProbability, match="strictly between 0 and 1"):
        student_t_quantile(probability, 10)


@pytest.mark.parametrize("degrees_of_freedom", [0, -1, float("nan")])
def test_without_degrees_of_freedom_more_readings_are_asked_for(degrees_of_freedom):
    with pytest.raises(DegreesOfFreedomMissing, match="more readings"):
        student_t_quantile(0.975, degrees_of_freedom)
