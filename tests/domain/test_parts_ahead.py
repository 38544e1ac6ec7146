"""What an opening is likely to need, and what of it is to be ordered by when."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.limits import Characteristic, Limit, Measure, Part
from app.domain.order_lines import OrderLine, Oversize
from app.domain.outlook import look_ahead
from app.domain.parts_ahead import (
    NOT_ON_SHEET,
    Foreseen,
    Needed,
    NextOpening,
    Stock,
    as_before,
    next_oversize,
    order_numbers,
    parts_ahead,
    to_order,
)
from app.domain.parts_list import ALWAYS
from app.domain.sheet_file import SheetRefused, read_sheet
from app.domain.sheet_text import write_sheet
from app.domain.verdicts import Verdict
from app.domain.wear import Life, SizeReading
from tests.builders import a_sheet_text
from tests.domain.builders import a_lower, a_part, a_sheet_with, an_upper, mm, the_sheet

OPENING = NextOpening("GA-1", Decimal(10000), Decimal(5000), date(2027, 3, 1))
BORES = (
    Oversize(mm("78.25"), (OrderLine("ring set", "Ring set 78.25", "R25"), OrderLine("piston", "Piston 78.25", "P25"))),
    Oversize(mm("78.50"), (OrderLine("ring set", "Ring set 78.50", "R50"),)),
)
RING, PIN, BUSH, CYLINDER, PISTON = "2.ring-1", "2.pin", "2.bush", "2.cylinder", "2.piston"


def a_life(*readings: tuple[int, str]) -> Life:
    return Life(tuple(SizeReading(Decimal(hours), Decimal(size)) for hours, size in readings))


def a_line(number: str = "QM-1", quantity: int = 1, days: int | None = 30, on: date = OPENING.on) -> Needed:
    return Needed(replace(OPENING, on=on), OrderLine("part", "Seal", number, quantity, delivery_days=days), "worn")


def foreseen(part: Part, characteristic: Characteristic, limit: Limit, life: Life) -> Foreseen:
    return Foreseen(part, look_ahead(characteristic, "", limit, life, OPENING.hours, Decimal("0.003")))


def a_gap_that_reaches(at_hours: int, ref: str = RING) -> Foreseen:
    """A gap that grows from 0.25 mm at 0 h to its limit 0.65 mm at these hours."""
    part = a_part(ref)
    characteristic = part.characteristics[0]
    life = a_life((0, "0.25"), (at_hours, "0.65"))
    return foreseen(part, characteristic, an_upper("0.65"), life)


def a_bore_that_reaches(expected: str, oversizes: tuple[Oversize, ...] = BORES) -> Foreseen:
    """A bore that is expected at this diameter at the opening, past its limit."""
    part = replace(a_part(CYLINDER), oversizes=oversizes)
    limit = an_upper("78.09", measure=Measure.WEAR, outcome=Verdict.REWORK)
    life = a_life((0, "78.00"), (int(OPENING.hours), expected))
    return foreseen(part, part.characteristics[0], limit, life)


def needed(*found: Foreseen, parts: tuple[Part, ...] = (), made: dict[str, Oversize] | None = None):
    """What the wear asks for, without what is always renewed."""
    sheet = a_sheet_with(*(each.part for each in found), *parts)
    return [line for line in parts_ahead(OPENING, sheet, found, made or {}) if line.why != ALWAYS]


def test_what_is_always_renewed_is_needed_whatever_the_wear_says():
    lines = parts_ahead(OPENING, the_sheet(), (), {})

    assert [line.order for line in lines] == [item.order for item in the_sheet().always]
    assert {line.why for line in lines} == {ALWAYS}


def test_a_ring_at_its_limit_before_the_opening_needs_its_set_once_with_the_reason():
    [line] = needed(a_gap_that_reaches(9000), a_gap_that_reaches(8000, "2.ring-2"))

    assert (line.order.name, line.order.number, line.order.kit) == ("Ring set 78", "QM-31-230", "Ring kit 78")
    assert line.why.startswith("2-03 Ring 1: ")
    assert "limit 0.65 mm reached at 9000 h" in line.why


@pytest.mark.parametrize(("at_hours", "count"), [(14999, 1), (15000, 0), (15001, 0)])
def test_a_part_is_needed_if_its_limit_comes_before_the_opening_after_this_one(at_hours, count):
    assert len(needed(a_gap_that_reaches(at_hours))) == count


def test_a_size_without_a_forecast_asks_for_nothing():
    part = a_part(RING)

    assert needed(foreseen(part, part.characteristics[0], an_upper("0.65"), a_life((0, "0.25")))) == []


def test_of_two_sizes_of_a_part_the_one_that_runs_out_first_gives_the_reason():
    [line] = needed(a_gap_that_reaches(9500), a_gap_that_reaches(7000))

    assert "reached at 7000 h" in line.why


def test_a_part_alone_is_needed_by_the_object_its_limit_names_and_takes_what_goes_with_it_along():
    pin, bush = a_part(PIN), replace(a_part(BUSH), renew_with=("2.pin",))
    worn = foreseen(pin, pin.characteristics[0], a_lower("21.97"), a_life((0, "22.00"), (9000, "21.97")))

    lines = needed(worn, parts=(bush,))

    assert {line.order.number for line in lines} == {"QM-31-260", "QM-31-270"}
    assert [line.why for line in lines if line.order.number == "QM-31-270"] == [
        f"{bush.item} {bush.name}: renewed with another part."
    ]


def test_a_valve_is_needed_by_the_object_that_its_limit_renews():
    valve = a_part("2.suction-valve")
    life = a_life((0, "18.0"), (9000, "17.0"))
    springs = foreseen(valve, valve.characteristics[0], a_lower("17.0", renews="plate and springs"), life)
    whole = foreseen(valve, valve.characteristics[0], a_lower("17.0", renews="whole valve"), life)

    assert [line.order.number for line in needed(springs)] == ["QM-31-211"]
    assert [line.order.number for line in needed(whole)] == ["QM-31-210"]


def test_a_part_without_an_order_line_is_listed_with_its_number_to_find():
    ring = a_part(PIN)
    bare = replace(ring, orders=())
    worn = foreseen(bare, bare.characteristics[0], a_lower("21.97"), a_life((0, "22.00"), (9000, "21.97")))

    [line] = needed(worn)

    assert (line.order.number, line.order_by) == (NOT_ON_SHEET, None)
    assert line.order.name == f"{ring.name}, stage 2: pin"


@pytest.mark.parametrize(("expected", "size"), [("78.20", "78.25"), ("78.25", "78.50"), ("78.30", "78.50")])
def test_a_bore_goes_to_the_smallest_oversize_over_the_diameter_expected(expected, size):
    found = next_oversize(a_bore_that_reaches(expected))

    assert found is not None
    assert found.size.typed == size


def test_rings_and_piston_made_for_the_oversize_take_the_place_of_the_worn_standard_ones():
    lines = needed(a_bore_that_reaches("78.20"), a_gap_that_reaches(9000))

    assert [(line.order.number, line.oversize) for line in lines] == [("R25", "78.25"), ("P25", "78.25")]
    assert lines[0].why.startswith("For the bore made to 78.25. ")


def test_a_bore_too_worn_for_every_oversize_needs_a_cylinder():
    [line] = needed(a_bore_that_reaches("78.60"))

    assert (line.order.number, line.oversize) == ("QM-31-240", "")


def test_a_bore_without_oversizes_on_its_sheet_is_reworked_with_no_part():
    assert needed(a_bore_that_reaches("78.20", oversizes=())) == []


def test_rings_of_a_bore_that_is_oversize_already_are_needed_in_its_size():
    cylinder = replace(a_part(CYLINDER), oversizes=BORES)

    [line] = needed(a_gap_that_reaches(9000), parts=(cylinder,), made={CYLINDER: BORES[0]})

    assert (line.order.number, line.oversize) == ("R25", "78.25")


def test_a_piston_without_one_of_the_oversize_is_needed_as_the_sheet_has_it():
    piston = a_part(PISTON)
    worn = foreseen(piston, piston.characteristics[0], a_lower("77.80"), a_life((0, "77.90"), (9000, "77.80")))
    cylinder = replace(a_part(CYLINDER), oversizes=BORES)

    [line] = needed(worn, parts=(cylinder,), made={CYLINDER: BORES[1]})

    assert (line.order.number, line.oversize) == ("QM-31-250", "")


def test_a_part_fitted_anew_is_taken_to_wear_as_the_one_before_it():
    before, fitted = a_life((0, "0.30"), (5000, "0.50"), (8000, "0.68")), SizeReading(Decimal(8000), Decimal("0.25"))

    assert as_before(before, fitted) == a_life((8000, "0.25"), (13000, "0.45"), (16000, "0.63"))


def test_a_reason_drawn_from_the_part_before_says_so():
    found = replace(a_gap_that_reaches(9000), is_as_before=True)

    assert found.why.endswith("New since; taken to wear as the one before it.")


def test_order_by_date_is_the_opening_less_the_delivery_time():
    assert a_line(days=30).order_by == date(2027, 1, 30)
    assert a_line(days=None).order_by is None


def test_openings_of_several_machines_are_ordered_together_by_the_soonest_day():
    [line] = to_order([a_line(on=date(2027, 6, 1)), a_line(quantity=2)], {})

    assert (line.needed, line.quantity, line.order_by, line.order.number) == (3, 3, date(2027, 1, 30), "QM-1")
    assert line.stock is None
    assert not line.is_out_of_date


def test_what_is_on_hand_serves_the_soonest_opening_and_the_rest_has_the_later_day():
    needs = [a_line(quantity=2), a_line(quantity=2, on=date(2027, 6, 1))]

    [line] = to_order(needs, {"QM-1": Stock("QM-1", 3)})

    assert (line.covered, line.quantity, line.order_by) == (3, 1, date(2027, 5, 2))


def test_what_is_on_hand_for_everything_leaves_nothing_to_order_and_stands_last():
    lines = to_order([a_line(), a_line("QM-2", days=None)], {"QM-1": Stock("QM-1", 9)})

    assert [(line.order.number, line.quantity, line.order_by) for line in lines] == [
        ("QM-2", 1, None),
        ("QM-1", 0, None),
    ]


@pytest.mark.parametrize(("best_before", "covered"), [(date(2027, 2, 28), 0), (OPENING.on, 1), (None, 1)])
def test_seals_past_their_best_before_on_the_day_of_the_opening_are_not_counted(best_before, covered):
    [line] = to_order([a_line()], {"QM-1": Stock("QM-1", 1, best_before)})

    assert line.covered == covered
    assert line.is_out_of_date is (covered == 0)


def test_none_on_hand_is_never_called_out_of_date():
    [line] = to_order([a_line()], {"QM-1": Stock("QM-1", 0, date(2020, 1, 1))})

    assert not line.is_out_of_date


@given(st.lists(st.tuples(st.integers(1, 9), st.integers(1, 28)), min_size=1, max_size=6), st.integers(0, 40))
def test_what_is_covered_and_what_is_ordered_make_up_what_is_needed(quantities, on_hand):
    needs = [a_line(quantity=quantity, on=date(2027, 3, day)) for quantity, day in quantities]

    [line] = to_order(needs, {"QM-1": Stock("QM-1", on_hand)})

    assert line.covered + line.quantity == line.needed
    assert line.covered == min(on_hand, line.needed)
    assert (line.order_by is None) is (line.quantity == 0)


def test_every_number_a_sheet_orders_by_is_known():
    cylinder = replace(a_part(CYLINDER), oversizes=BORES)

    numbers = order_numbers(a_sheet_with(cylinder))

    assert {"R25", "R50", "QM-31-230", "QM-31-260", the_sheet().always[0].order.number} <= numbers


def test_delivery_time_is_read_from_order_lines_and_from_what_is_always_renewed_and_written_back():
    sheet = read_sheet(a_sheet_text())

    assert sheet.always[0].order.delivery_days == 10
    assert sheet.sets[0].order is not None
    assert sheet.sets[0].order.delivery_days == 42
    assert read_sheet(write_sheet(sheet)) == sheet


def test_delivery_time_that_cannot_be_is_refused_with_its_line():
    text = a_sheet_text().replace("delivery_days = 10\n", "delivery_days = -3\n", 1)

    with pytest.raises(SheetRefused) as refused:
        read_sheet(text)

    [fault] = refused.value.faults
    assert text.split("\n")[(fault.line or 0) - 1] == "delivery_days = -3"
