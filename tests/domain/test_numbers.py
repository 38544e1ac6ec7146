"""Numbers as they are typed: one plain number, exactly as written, or words that say what is expected."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.errors import NumberRefused, UnitMismatch
from app.domain.numbers import (
    Length,
    decimals_of,
    figure,
    from_mm_words,
    inches,
    millimetres,
    parse_length,
    parse_number,
)
from app.domain.units import LengthUnit

NOT_ONE_PLAIN_NUMBER = [
    "abc",
    "1,234.5",
    "1.234,5",
    "1.2.3",
    "1 234",
    "nan",
    "NaN",
    "inf",
    "1e400",
    "1e4",
    "9**9**9",
    "1+1",
    "0x10",
    "1_000",
    "5.",
    "5/32",
    "--1",
    "1" * 10_000,
    "١٫٣٠",  # Arabic-Indic digits
    "１.３０",  # full-width digits
    "1.3²",
    "0.70 mm mm",
]


@pytest.mark.parametrize("typed", NOT_ONE_PLAIN_NUMBER)
def test_what_is_not_one_plain_number_is_refused_with_an_example(typed):
    with pytest.raises((NumberRefused, UnitMismatch)) as refusal:
        parse_length(typed, LengthUnit.MM)

    assert "Type" in str(refusal.value)
    assert len(str(refusal.value)) < 200


@pytest.mark.parametrize("typed", ["", "   ", "\t"])
def test_nothing_typed_is_said_to_be_nothing(typed):
    with pytest.raises(NumberRefused, match="Nothing is typed"):
        parse_length(typed, LengthUnit.MM)


@pytest.mark.parametrize("typed", ["-0.70", "+0.70", "−0.70"])
def test_a_sign_where_none_belongs_is_refused(typed):
    with pytest.raises(NumberRefused, match="No sign belongs here"):
        parse_length(typed, LengthUnit.MM)


@pytest.mark.parametrize(
    ("typed", "value"), [("-0.05", "-0.05"), ("− 0,05", "-0.05"), ("+0.05", "0.05"), ("0.05", "0.05")]
)
def test_a_dial_may_carry_its_sign(typed, value):
    assert parse_length(typed, LengthUnit.MM, signed=True).value == Decimal(value)


@pytest.mark.parametrize("typed", ["1,30", "1.30", " 1.30 ", "1.30 mm", "1.30mm", "1.30 MM"])
def test_comma_and_point_are_the_same_reading_and_the_text_is_kept(typed):
    length = parse_length(typed, LengthUnit.MM)

    assert (length.mm, length.decimals, length.typed) == (Decimal("1.30"), 2, typed.strip())


@pytest.mark.parametrize("typed", ["0.018 in", "0.018 inch", '0.018"', "0,018in"])
def test_inches_typed_behind_the_number_win_over_the_fields_unit(typed):
    length = parse_length(typed, LengthUnit.MM)

    assert (length.unit, length.mm) == (LengthUnit.INCH, Decimal("0.4572"))


def test_a_unit_of_another_kind_is_refused_by_name():
    with pytest.raises(UnitMismatch, match="“kg” is not a unit of length"):
        parse_length("0.7 kg", LengthUnit.MM)


def test_a_number_without_a_unit_takes_none():
    assert parse_number("10300", example="10300") == 10300
    with pytest.raises(UnitMismatch, match="“h” does not belong here"):
        parse_number("10300 h", example="10300")


def test_an_inch_field_gives_an_example_in_inches():
    with pytest.raises(NumberRefused, match=r"such as 0\.018"):
        parse_length("", LengthUnit.INCH)


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity", "sNaN"])
def test_a_length_that_is_not_finite_cannot_be_built(value):
    with pytest.raises(NumberRefused, match="finite"):
        Length(value, Decimal(value), LengthUnit.MM)


def test_lengths_from_digits_are_in_their_unit():
    assert millimetres("0.70").mm == Decimal("0.70")
    assert inches("0.018").mm == Decimal("0.4572")


@pytest.mark.parametrize(("value", "count"), [("5", 0), ("5E+2", 0), ("0.70", 2), ("NaN", 0)])
def test_decimals_are_counted_as_written(value, count):
    assert decimals_of(Decimal(value)) == count


def test_subtraction_is_exact_where_binary_floating_point_is_not():
    # 120.12 - 120.02 == 0.10 is false in binary floating point; a part on its limit would be scrapped.
    assert parse_number("120.12") - parse_number("120.02") == Decimal("0.10")
    assert 120.12 - 120.02 != 0.10


@pytest.mark.parametrize(
    ("mm", "unit", "decimals", "shown"),
    [
        ("0.7", LengthUnit.MM, 2, "0.70"),
        ("0.7", LengthUnit.MM, 0, "0.7"),
        ("1", LengthUnit.MM, 0, "1"),
        ("1.30048", LengthUnit.MM, 2, "1.30048"),
        ("0.4572", LengthUnit.INCH, 3, "0.018"),
        ("0.46", LengthUnit.INCH, 3, "0.01811"),
        ("0.45721", LengthUnit.INCH, 3, "0.0180004"),  # six decimals would show 0.018, which is not true
        ("-0.04", LengthUnit.MM, 2, "-0.04"),
    ],
)
def test_a_figure_shows_as_many_digits_as_make_it_true(mm, unit, decimals, shown):
    assert figure(Decimal(mm), unit, decimals) == shown


def test_a_figure_of_more_digits_than_anybody_types_is_still_written():
    assert figure(Decimal("1.00000000000000000001"), LengthUnit.MM, 2) == "1.00000000000000000001"


@settings(deadline=None)
@given(st.decimals(min_value="0.000001", max_value=1000, places=6), st.integers(0, 4))
def test_a_figure_in_inches_never_rounds_onto_another_length_of_the_sheets_digits(mm, decimals):
    shown = figure(mm, LengthUnit.INCH, decimals)

    is_exact = Decimal(shown) * Decimal("25.4") == mm
    assert is_exact or decimals_of(Decimal(shown)) > decimals


def test_a_bound_is_written_rounded():
    assert from_mm_words(Decimal("139.705"), LengthUnit.INCH, 3) == "5.500"
