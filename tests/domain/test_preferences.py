"""Tests of what a person chooses for their own pages: it is theirs alone, and never moves a verdict."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.errors import InputRefused
from app.domain.limits import Method
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.preferences import FirstUnit, Hand, Preferences, TextSize, preferences_from, read_choices, shown_in
from app.domain.units import LengthUnit
from tests.builders import a_reading
from tests.domain.builders import an_overhaul


def test_before_anything_is_chosen_the_device_and_the_sheet_decide() -> None:
    assert preferences_from({}) == Preferences()
    assert Preferences().unit is FirstUnit.SHEET


def test_choice_that_no_longer_exists_counts_as_not_made() -> None:
    kept = {"text": "large", "hand": "both", "theme": "dark"}

    assert preferences_from(kept) == Preferences(text=TextSize.LARGE, hand=Hand.RIGHT)


def test_form_changes_what_it_names_and_nothing_else() -> None:
    assert read_choices({"csrf": "x", "then": "/", "keys": "glove"}) == {"keys": "glove"}


def test_choice_that_is_not_offered_is_refused_beside_its_field() -> None:
    with pytest.raises(InputRefused) as refusal:
        read_choices({"unit": "ft", "hand": "left"})

    assert list(refusal.value.fields) == ["unit"]


def read(overhaul: Overhaul, first: FirstUnit, ref: str, key: str) -> tuple[LengthUnit, int]:
    """The unit and decimals in which one characteristic is read."""
    part = shown_in(overhaul, first).sheet.part(ref)
    found = part.characteristic(key) if part else None
    assert found is not None
    return found.unit, found.decimals


def test_sizes_are_read_in_the_unit_put_first_with_decimals_as_fine() -> None:
    overhaul = an_overhaul()
    own = read(overhaul, FirstUnit.SHEET, "2.pin", "diameter")

    assert own[0] is LengthUnit.MM
    assert read(overhaul, FirstUnit.MM, "2.pin", "diameter") == own
    assert read(overhaul, FirstUnit.INCH, "2.pin", "diameter") == (LengthUnit.INCH, own[1] + 2)


def test_inches_of_a_sheet_are_read_in_millimetres_with_two_decimals_less() -> None:
    overhaul = an_overhaul()
    in_inches = shown_in(overhaul, FirstUnit.INCH)

    assert read(in_inches, FirstUnit.MM, "2.pin", "diameter") == read(overhaul, FirstUnit.SHEET, "2.pin", "diameter")


def test_gaps_stay_in_the_unit_that_the_leaves_are_marked_in() -> None:
    overhaul = an_overhaul()
    without_leaves = replace(overhaul, sheet=replace(overhaul.sheet, leaves=()))

    assert overhaul.sheet.leaves
    assert read(overhaul, FirstUnit.INCH, "2.ring-1", "closed-gap")[0] is LengthUnit.MM
    assert read(without_leaves, FirstUnit.INCH, "2.ring-1", "closed-gap")[0] is LengthUnit.INCH


@pytest.mark.parametrize("size", ["22.05", "21.90", "21.89", "21.94", "22.00"])
def test_unit_put_first_moves_no_verdict_and_no_size(size: str) -> None:
    overhaul = an_overhaul(a_reading("2.pin", "diameter", size), a_reading("2.bush", "diameter", size))

    by_sheet, in_inches = judge_overhaul(overhaul), judge_overhaul(shown_in(overhaul, FirstUnit.INCH))

    assert [(one.part.ref, one.verdict, one.own) for one in by_sheet] == [
        (one.part.ref, one.verdict, one.own) for one in in_inches
    ]
    assert [limit.size for one in by_sheet for each in one.part.characteristics for limit in each.limits] == [
        limit.size for one in in_inches for each in one.part.characteristics for limit in each.limits
    ]
    assert Decimal(size) in [one.value.value for one in overhaul.readings if one.value]
    assert all(each.method is not Method.FEELER for one in in_inches for each in one.part.characteristics
               if each.unit is LengthUnit.INCH)  # fmt: skip
