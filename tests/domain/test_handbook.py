"""Rules of thumb: a factor times a size, capped where the book says so, never guessed."""

from decimal import Decimal

import pytest

from app.domain.handbook import Basis, BasisMissing, RuleOfThumb
from app.domain.sizes import SizeNotPositive


def a_rule(**changes):
    return RuleOfThumb(
        **{"measure": "taper", "per_unit": Decimal("0.01"), "basis": Basis.STROKE, "source": "p. 1"} | changes
    )


def test_a_rule_multiplies_its_basis():
    rule = a_rule()

    size_mm = rule.size_mm(Decimal(100))

    assert size_mm == Decimal("1.00")


@pytest.mark.parametrize(("basis_mm", "expected_mm"), [("99", "1"), ("100", "1"), ("101", "1.01")])
def test_a_rule_with_a_least_value_never_gives_less(basis_mm, expected_mm):
    rule = a_rule(at_least_mm=Decimal(1))

    size_mm = rule.size_mm(Decimal(basis_mm))

    assert size_mm == Decimal(expected_mm)


@pytest.mark.parametrize(("basis_mm", "expected_mm"), [("99", "0.99"), ("100", "1"), ("101", "1")])
def test_a_rule_with_a_greatest_value_never_gives_more(basis_mm, expected_mm):
    rule = a_rule(at_most_mm=Decimal(1))

    size_mm = rule.size_mm(Decimal(basis_mm))

    assert size_mm == Decimal(expected_mm)


def test_a_rule_without_its_basis_is_refused_and_names_what_the_sheet_lacks():
    rule = a_rule()

    with pytest.raises(BasisMissing) as refusal:
        rule.size_mm(None)

    assert str(refusal.value) == "taper goes by the stroke; the sheet does not give it"


def test_a_rule_refuses_a_basis_of_nothing():
    rule = a_rule()

    with pytest.raises(SizeNotPositive, match="the stroke"):
        rule.size_mm(Decimal(0))
