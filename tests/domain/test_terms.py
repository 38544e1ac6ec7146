"""How much room a value has left to its limit, in proportion to the way from new."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.limits import Measure
from app.domain.verdicts import Verdict
from tests.domain.builders import a_gap, a_lower, an_upper, mm, terms


@pytest.mark.parametrize(
    ("value", "limit", "new", "room"),
    [
        ("0.20", an_upper("0.65"), ("0.20", "0.35"), "1"),  # as new
        ("0.65", an_upper("0.65"), ("0.20", "0.35"), "0"),
        ("0.56", an_upper("0.65"), ("0.20", "0.35"), "0.2"),
        ("0.74", an_upper("0.65"), ("0.20", "0.35"), "-0.2"),
        ("0.26", a_lower("0.25"), ("0.30", "0.35"), "0.1"),
        ("0.52", an_upper("0.65"), None, "0.2"),
        ("0.52", an_upper("0.65"), ("0.65", "0.70"), "0.2"),  # no way from new: of the limit itself
        ("0.02", an_upper("0.08", Measure.WEAR), ("0.20", "0.35"), "0.75"),
        ("0.01", a_lower("0"), None, "0.01"),
    ],
)
def test_room_is_the_share_of_the_way_from_new_that_is_left(value, limit, new, room):
    assert terms(a_gap(limit, new=new)).room(Decimal(value), limit) == Decimal(room)


def test_a_diameter_without_a_new_range_counts_from_its_base_size():
    limit = an_upper("78.20")
    judging = replace(terms(a_gap(limit, new=None)), base=mm("78.00"))

    assert judging.room(Decimal("78.15"), limit) == Decimal("0.25")


def test_a_bound_that_is_only_asked_about_has_no_room_and_so_leads_no_sound_part():
    asked = a_lower("0.20", outcome=Verdict.UNDECIDED)

    assert terms(a_gap(asked)).room(Decimal("0.21"), asked) is None
