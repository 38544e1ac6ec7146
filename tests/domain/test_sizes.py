"""Sizes are lengths above zero, or they are refused by name."""

from decimal import Decimal

import pytest

from app.domain.sizes import SizeNotPositive, positive_mm


def test_a_size_above_zero_is_given_back_unchanged():
    size_mm = Decimal("0.010")

    checked_mm = positive_mm(size_mm, "the gap")

    assert str(checked_mm) == "0.010"


@pytest.mark.parametrize("written", ["0", "-0.01", "NaN", "Infinity", "-Infinity"])
def test_a_size_that_is_no_length_is_refused_by_its_name(written):
    size_mm = Decimal(written)

    with pytest.raises(SizeNotPositive, match="the gap must be above 0 mm") as refusal:
        positive_mm(size_mm, "the gap")

    assert written in str(refusal.value)
