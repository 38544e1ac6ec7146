"""Uncertainty budgets, held against the worked examples of the GUM and the uncertainties package."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t
from uncertainties import ufloat

from app.domain.budget import Budget, BudgetNotClear, Contribution
from app.domain.student_t import DegreesOfFreedomMissing
from app.domain.uncertainty import UncertaintyNegative

UNCERTAINTIES_MM = st.decimals(min_value="0.0001", max_value=1, places=4)


def a_budget(*parts):
    """Build a budget from pairs of uncertainty and degrees of freedom, named in order."""
    return Budget(
        tuple(
            Contribution(f"source {number}", Decimal(u_mm), None if degrees is None else Decimal(degrees))
            for number, (u_mm, degrees) in enumerate(parts)
        )
    )


def test_the_end_gauge_of_the_gum_has_its_combined_and_expanded_uncertainty():
    # JCGM 100:2008 (GUM), H.1.6 (figures from memory): standard, comparison, expansion and temperature differences.
    budget = a_budget(("25e-6", 18), ("9.7e-6", "25.6"), ("2.9e-6", 50), ("16.6e-6", 2))

    combined_nm, degrees = budget.combined_u_mm * 10**6, budget.effective_degrees_of_freedom
    expanded_nm = budget.expanded_u_mm(0.99) * 10**6

    assert round(combined_nm) == 32
    assert float(degrees) == pytest.approx(16.7, abs=0.1)
    assert round(budget.coverage_factor(0.99), 2) == Decimal("2.92")
    assert 92 <= expanded_nm <= 93.5


def test_the_product_of_three_inputs_in_the_gum_has_19_degrees_of_freedom():
    # JCGM 100:2008 (GUM), G.4.1, example: 0.25 %, 0.57 % and 0.82 % from 10, 5 and 15 readings (from memory).
    budget = a_budget(("0.25", 9), ("0.57", 4), ("0.82", 14))

    combined, degrees = budget.combined_u_mm, budget.effective_degrees_of_freedom

    assert round(combined, 2) == Decimal("1.03")
    assert round(degrees, 1) == Decimal("19.0")
    # The book rounds 18.999 up and takes 2.09 for 19; cutting it to 18 is the safe side.
    assert round(budget.coverage_factor(0.95), 2) == Decimal("2.10")
    assert round(budget.expanded_u_mm(0.95), 1) == Decimal("2.2")


@given(st.lists(UNCERTAINTIES_MM, min_size=1, max_size=5))
def test_contributions_combine_as_the_uncertainties_package_combines_them(parts_mm):
    reference = sum(ufloat(0, float(u_mm)) for u_mm in parts_mm).std_dev

    combined_mm = a_budget(*((u_mm, None) for u_mm in parts_mm)).combined_u_mm

    assert float(combined_mm) == pytest.approx(reference, rel=1e-9)


def test_many_readings_give_exactly_twice_the_combined_uncertainty():
    budget = a_budget(("0.003", None), ("0.004", None))

    assert budget.effective_degrees_of_freedom is None
    assert budget.expanded_u_mm() == 2 * Decimal("0.005")


def test_a_contribution_of_nothing_limits_no_degrees_of_freedom():
    budget = a_budget(("0.003", None), ("0", 2))

    assert budget.effective_degrees_of_freedom is None


@settings(deadline=None)  # scipy is slow when it is first used
@given(UNCERTAINTIES_MM, st.integers(min_value=1, max_value=300))
def test_few_readings_widen_the_interval_by_student_t(u_mm, degrees):
    budget = a_budget((u_mm, degrees))

    factor = budget.coverage_factor(0.95)

    assert float(factor) == pytest.approx(t.ppf(0.975, degrees), abs=1e-6)
    assert budget.coverage_factor() >= 2


def test_effective_degrees_of_freedom_are_cut_down_and_not_rounded():
    # JCGM 100:2008 (GUM), G.4.1, note 1 (from memory).
    budget = a_budget(("1", "4.9"))

    factor = budget.coverage_factor(0.95)

    assert float(factor) == pytest.approx(t.ppf(0.975, 4), abs=1e-6)


@given(
    UNCERTAINTIES_MM, UNCERTAINTIES_MM, st.integers(min_value=1, max_value=50), st.integers(min_value=1, max_value=50)
)
def test_effective_degrees_of_freedom_lie_between_the_fewest_and_the_sum(first_mm, second_mm, first, second):
    # JCGM 100:2008 (GUM), G.4.1, formula G.2c, and Cauchy's inequality (from memory).
    degrees = a_budget((first_mm, first), (second_mm, second)).effective_degrees_of_freedom

    assert Decimal(min(first, second)) * Decimal("0.999999") <= degrees <= Decimal(first + second) * Decimal("1.000001")


def test_a_budget_without_contributions_is_refused():
    with pytest.raises(BudgetNotClear, match="at least one"):
        Budget(())


def test_two_contributions_of_one_name_are_refused():
    twice = Contribution("setting", Decimal("0.003"))

    with pytest.raises(BudgetNotClear, match="a name of its own"):
        Budget((twice, twice))


def test_a_contribution_below_zero_is_refused_by_its_name():
    with pytest.raises(UncertaintyNegative, match="setting"):
        Contribution("setting", Decimal("-0.003"))


def test_a_contribution_from_one_reading_is_refused():
    with pytest.raises(DegreesOfFreedomMissing, match="setting needs at least two readings"):
        Contribution("setting", Decimal("0.003"), Decimal(0))
