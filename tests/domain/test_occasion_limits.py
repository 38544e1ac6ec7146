"""What a characteristic is held against: wear limits as found, the new range as fitted, both moved with the bore."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.limits import Measure, PartKind, Side
from app.domain.occasion_limits import limits_as_found, limits_as_made, limits_as_new
from app.domain.verdicts import Verdict
from tests.domain.builders import a_gap, a_part, an_upper

RING, CYLINDER, PISTON = a_part("2.ring-1"), a_part("2.cylinder"), a_part("2.piston")
GAP, SIDE_CLEARANCE = RING.characteristics
BORE, SKIRT = CYLINDER.characteristics[0], PISTON.characteristics[0]
GROWN = Decimal("0.25")


def sizes(limits) -> list[tuple[str, str, Decimal, Verdict]]:
    """Limits as measure, side, size and outcome."""
    return [(str(one.measure), str(one.side), one.size.mm, one.outcome) for one in limits]


def test_a_used_ring_tighter_than_a_new_one_is_asked_about():
    *wear, asked = limits_as_found(RING, GAP)

    assert tuple(wear) == GAP.limits
    assert sizes([asked]) == [("value", "lower", Decimal("0.20"), Verdict.UNDECIDED)]
    assert "wrong ring" in asked.action


def test_a_used_bore_smaller_than_a_new_one_is_asked_about_at_the_size_it_was_made_to():
    assert sizes(limits_as_found(CYLINDER, BORE)[-1:]) == [("value", "lower", Decimal("78.00"), Verdict.UNDECIDED)]
    assert sizes(limits_as_found(CYLINDER, BORE, GROWN)[-1:]) == [
        ("value", "lower", Decimal("78.25"), Verdict.UNDECIDED)
    ]


@pytest.mark.parametrize(
    ("part", "characteristic"),
    [(RING, SIDE_CLEARANCE), (RING, replace(GAP, new=None)), (CYLINDER, replace(BORE, new=None)),
     (replace(RING, kind=PartKind.OTHER), GAP), (CYLINDER, GAP), (PISTON, SKIRT)],
)  # fmt: skip
def test_elsewhere_the_sheets_limits_stand_alone(part, characteristic):
    assert limits_as_found(part, characteristic) == characteristic.limits


def test_a_new_ring_below_the_new_minimum_is_filed_and_above_the_maximum_it_is_not_as_new():
    below, above = limits_as_new(RING, GAP)

    assert sizes([below, above]) == [
        ("value", "lower", Decimal("0.20"), Verdict.REWORK),
        ("value", "upper", Decimal("0.35"), Verdict.RENEW),
    ]
    assert "File the ends" in below.action


def test_any_other_new_part_outside_its_new_range_is_not_as_new():
    below, above = limits_as_new(PISTON, SKIRT)

    assert [below.outcome, above.outcome] == [Verdict.RENEW, Verdict.RENEW]
    assert (below.size.typed, above.size.typed) == ("77.76", "77.80")


def test_without_a_new_range_a_new_part_is_held_against_the_wear_limits():
    assert limits_as_new(RING, replace(GAP, new=None)) == GAP.limits


def test_a_new_range_that_reaches_beyond_a_limit_does_not_hide_it():
    wide = a_gap(an_upper("0.65"), new=("0.20", "0.70"))

    assert sizes(limits_as_new(RING, wide))[-1] == ("value", "upper", Decimal("0.65"), Verdict.RENEW)


def test_a_new_cylinder_is_held_against_ovality_taper_and_wear_as_well():
    measures = [limit.measure for limit in limits_as_new(CYLINDER, BORE)]

    assert measures == [
        Measure.VALUE,
        Measure.VALUE,
        Measure.WEAR,
        Measure.OVALITY,
        Measure.TAPER,
        Measure.OVERALL,
    ]


def test_a_bore_made_to_another_size_is_held_against_the_new_range_at_that_size():
    below, above, *_ = limits_as_made(CYLINDER, BORE, GROWN)

    assert sizes([below, above]) == [
        ("value", "lower", Decimal("78.25"), Verdict.REWORK),
        ("value", "upper", Decimal("78.28"), Verdict.REWORK),
    ]
    assert below.source == "table 5, moved 0.25 mm with the bore"


def test_the_limit_of_a_piston_moves_with_its_bore_as_its_new_range_does():
    [wear] = limits_as_found(PISTON, SKIRT, GROWN)
    below, above = limits_as_new(PISTON, SKIRT, GROWN)

    assert (wear.size.mm, wear.side) == (Decimal("77.95"), Side.LOWER)
    assert (below.size.mm, above.size.mm) == (Decimal("78.01"), Decimal("78.05"))
    assert wear.source.endswith("moved 0.25 mm with the bore")
