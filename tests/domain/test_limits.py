"""The limit sheet as data: parts are found by reference, limits by what they compare."""

import pytest

from app.domain.errors import LimitMissing
from app.domain.limits import Measure, Side
from tests.domain.builders import a_part, the_sheet


def test_a_part_has_a_reference_and_an_item_number():
    ring = the_sheet().part("2.ring-2")

    assert (ring.ref, ring.item) == ("2.ring-2", "2-04")


def test_a_set_is_found_by_any_of_its_members():
    part_set = the_sheet().set_of("2.ring-3")

    assert part_set.ref == "2.ring-set"
    assert part_set.members == ("2.ring-1", "2.ring-2", "2.ring-3")
    assert part_set in the_sheet().sets


def test_what_the_sheet_does_not_have_is_not_found():
    assert the_sheet().part("9.ring-1") is None
    assert the_sheet().set_of("2.pin") is None
    assert the_sheet().stage(9) is None
    assert the_sheet().stage(2).number == 2
    assert a_part("2.pin").characteristic("lift") is None


def test_a_bore_is_a_grid_of_levels_and_axes_and_a_gap_is_not():
    bore, gap = a_part("2.cylinder").characteristics[0], a_part("2.ring-1").characteristics[0]

    assert (bore.is_grid, len(bore.places)) == (True, 6)
    assert (gap.is_grid, gap.places) == (False, (("worst place", ""),))


def test_a_limit_is_found_by_measure_and_side():
    bore = a_part("2.cylinder").characteristics[0]

    assert bore.limit(Measure.WEAR).size.typed == "0.09"
    with pytest.raises(LimitMissing, match="the sheet holds no lower limit for Bore, wear"):
        bore.limit(Measure.WEAR, Side.LOWER)


def test_the_sheet_is_cited_by_name_and_revision():
    assert the_sheet().title == f"QM-GA rev {the_sheet().revision}"
