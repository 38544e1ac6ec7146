"""Slips: ten times off, impossible, less worn than it was; each asks, and nothing else does."""

from dataclasses import replace

import pytest

from app.domain.comparison import apart_mm, span_of
from app.domain.entries import Typed, read_entry
from app.domain.errors import SlipAsked
from app.domain.limits import LimitSheet
from app.domain.measured import Gauging
from app.domain.readings import Kind, Occasion
from app.domain.slips import Before, slips_in, wears_larger
from tests.builders import NOW, a_reading
from tests.domain.builders import a_part, an_overhaul, the_sheet

GAP, PIN, BORE = ("2.ring-1", "closed-gap"), ("2.pin", "diameter"), ("2.cylinder", "bore")
CELL = {"level": "mid stroke", "axis": "along the pin"}


def gauging(place: tuple[str, str], sheet: LimitSheet | None = None) -> Gauging:
    """Where a size is gauged."""
    part = a_part(place[0])
    characteristic = part.characteristic(place[1])
    assert characteristic is not None
    return Gauging(sheet or the_sheet(), part, characteristic)


def asked(
    place: tuple[str, str], short: str, last: str = "", is_same_part: bool = True, **where: str
) -> dict[str, str]:
    """What is asked about a reading, after another one at the last overhaul."""
    before = Before(a_reading(*place, last, **where), is_same_part) if last else None
    return slips_in(gauging(place), a_reading(*place, short, **where), before)


@pytest.mark.parametrize("short", ["0.50", "1.30", "0.30/0.35", "0.70/0.75", "0.05/", "0.95/", "0.12"])
def test_gap_that_may_well_be_is_not_asked_about(short: str) -> None:
    assert asked(GAP, short) == {}


@pytest.mark.parametrize(
    ("short", "field"),
    [("5.0", "value"), ("0.05", "value"), ("5.0/", "goes"), ("0.45/5.0", "does_not_go"), ("0.04/0.50", "goes")],
)
def test_gap_ten_times_off_is_asked_about_beside_its_field(short: str, field: str) -> None:
    found = asked(GAP, short)

    assert list(found) == [field]
    assert "Is the point in its place?" in found[field]


def test_reading_like_the_last_one_is_not_ten_times_off() -> None:
    assert asked(GAP, "5.0", last="5.1", is_same_part=False) == {}


def test_size_outside_what_is_possible_is_asked_about_once() -> None:
    dial = replace(a_reading(*BORE, "0.02", **CELL), kind=Kind.DIAL, set_size=a_reading(*BORE, "780").value)

    found = slips_in(gauging(BORE), dial)

    assert list(found) == ["set_size"]
    assert "780.00 mm cannot be: Bore lies within" in found["set_size"]


def test_characteristic_of_which_nothing_is_expected_is_asked_about_only_where_it_is_impossible() -> None:
    bare = replace(gauging(GAP).characteristic, new=None, limits=(), base_size=None)

    assert slips_in(replace(gauging(GAP), characteristic=bare), a_reading(*GAP, "5.0")) == {}


@pytest.mark.parametrize(
    ("place", "last", "now", "field"),
    [
        (GAP, "0.60", "0.40", "value"), (GAP, "0.60/0.65", "0.45/0.50", "does_not_go"),
        (PIN, "21.950", "21.990", "value"),
    ],
)  # fmt: skip
def test_part_less_worn_than_at_the_last_overhaul_is_asked_about(
    place: tuple[str, str], last: str, now: str, field: str
) -> None:
    found = asked(place, now, last)

    assert list(found) == [field]
    assert "at the last overhaul, by more than both can be off" in found[field]


@pytest.mark.parametrize(
    ("place", "last", "now"),
    [
        (GAP, "0.40", "0.60"), (GAP, "0.60", "0.59"), (GAP, "0.60/0.65", "0.55/0.60"), (GAP, "0.60", "0.40/"),
        (GAP, "0.60/", "0.60/0.65"), (PIN, "21.990", "21.950"), (PIN, "21.990", "21.991"),
    ],
)  # fmt: skip
def test_part_as_worn_as_before_or_more_or_within_what_both_can_be_off_is_not_asked_about(
    place: tuple[str, str], last: str, now: str
) -> None:
    assert asked(place, now, last) == {}


def test_part_renewed_since_is_not_asked_about() -> None:
    assert asked(GAP, "0.40", "0.60", is_same_part=False) == {}


def test_last_entry_without_a_size_says_nothing() -> None:
    cannot = replace(a_reading(*GAP, "0.60"), kind=Kind.CANNOT, value=None, reason="seized in its groove")

    assert slips_in(gauging(GAP), a_reading(*GAP, "0.40"), Before(cannot, True)) == {}


def test_size_bounded_on_both_sides_or_on_none_tells_no_direction_of_wear() -> None:
    gap = gauging(GAP).characteristic
    pin = gauging(PIN).characteristic

    assert wears_larger(gap) is True
    assert wears_larger(pin) is False
    assert wears_larger(replace(gap, limits=(*gap.limits, *pin.limits))) is None
    both = replace(gauging(GAP), characteristic=replace(gap, limits=()))
    assert slips_in(both, a_reading(*GAP, "0.40"), Before(a_reading(*GAP, "0.60"), True)) == {}


def test_smaller_end_of_a_size_that_shrinks_is_told_by_the_leaf_that_goes() -> None:
    shrinking = replace(gauging(GAP).characteristic, limits=gauging(PIN).characteristic.limits, new=None)
    place = replace(gauging(GAP), characteristic=shrinking)

    found = slips_in(place, a_reading(*GAP, "15.0/15.1"), Before(a_reading(*GAP, "14.0/14.1"), True))
    open_ended = slips_in(place, a_reading(*GAP, "15.0/15.1"), Before(a_reading(*GAP, "14.0/"), True))

    assert found["goes"].startswith("More than 14.10 mm at the last overhaul")
    assert open_ended == {}


def test_spans_of_leaves_that_touch_are_not_apart_whichever_is_named_first() -> None:
    lower, upper = (span_of(gauging(GAP), a_reading(*GAP, short)) for short in ("0.55/0.60", "0.60/0.65"))
    assert lower is not None
    assert upper is not None

    assert apart_mm(lower, upper) == apart_mm(upper, lower) == 0


def test_what_cannot_be_is_held_back_even_where_nobody_is_asked_and_kept_with_a_reason() -> None:
    typed = Typed("entry-0001", a_reading(*BORE, "1", **CELL).place, Occasion.AS_FOUND, "size", value="780")

    with pytest.raises(SlipAsked, match="cannot be"):
        read_entry(an_overhaul(), typed, "M. Tarrow", NOW)

    assert read_entry(an_overhaul(), replace(typed, reason="Measured twice."), "M. Tarrow", NOW).reason
    with pytest.raises(SlipAsked):
        read_entry(an_overhaul(), replace(typed, reason="ok"), "M. Tarrow", NOW, is_asking=True)
