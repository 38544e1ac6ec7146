"""Tests of PINs: which digits are refused, and how many wrong ones are taken."""

import pytest

from app.domain.pins import LONGEST, SHORTEST, pin_fault, tries_left


@pytest.mark.parametrize("pin", ["2749", "30518", "80361479", "1235", "4546", "2100"])
def test_pin_without_a_plain_pattern_may_be_used(pin: str) -> None:
    assert pin_fault(pin) == ""


@pytest.mark.parametrize("pin", ["", "274", "274938170", "27a9", "27 9", "-274", "２７４９", "2749\n"])
def test_pin_has_so_many_digits_and_nothing_else(pin: str) -> None:
    assert pin_fault(pin) == f"A PIN has {SHORTEST} to {LONGEST} digits."


@pytest.mark.parametrize(
    "pin", ["0000", "1234", "8901", "9876", "2468", "1357", "1212", "471471", "1987", "2026", "1122", "11111111"]
)
def test_row_repetition_or_year_is_refused(pin: str) -> None:
    assert "first PINs that would be tried" in pin_fault(pin)


def test_tries_left_end_at_nought() -> None:
    assert [tries_left(wrong) for wrong in range(7)] == [5, 4, 3, 2, 1, 0, 0]
