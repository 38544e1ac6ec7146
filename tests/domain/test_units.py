"""Units: an inch is 25.4 mm exactly, and converting never leaves a trace that nobody wrote."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.units import LENGTH_WORDS, LengthUnit, from_mm, mm_per_inch, to_mm


def test_an_inch_is_25_4_mm_exactly_and_carries_no_spare_digits():
    # NIST Special Publication 811 (2008), appendix B.8.
    assert str(mm_per_inch()) == "25.4"


@pytest.mark.parametrize(("inch", "mm"), [("0.018", "0.4572"), ("0.062", "1.5748"), ("5.500", "139.7000")])
def test_inches_become_millimetres_exactly(inch, mm):
    assert to_mm(Decimal(inch), LengthUnit.INCH) == Decimal(mm)


def test_millimetres_stay_as_they_are():
    assert to_mm(Decimal("0.70"), LengthUnit.MM) == from_mm(Decimal("0.70"), LengthUnit.MM) == Decimal("0.70")


@settings(deadline=None)
@given(st.decimals(min_value=0, max_value=9_999_999, places=6))
def test_inches_to_millimetres_and_back_are_the_same_number(inch):
    assert from_mm(to_mm(inch, LengthUnit.INCH), LengthUnit.INCH) == inch


def test_every_word_for_a_unit_leads_to_one_that_is_known():
    assert set(LENGTH_WORDS.values()) == set(LengthUnit)
