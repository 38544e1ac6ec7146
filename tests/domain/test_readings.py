"""Readings as evidence: complete or not built at all, written as typed, the last entry at a place counting."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.errors import InputRefused
from app.domain.numbers import inches, millimetres
from app.domain.readings import LONGEST_SHARED, Kind, Occasion, shared, standing, superseded
from tests.builders import a_reading
from tests.domain.builders import a_cannot, a_dial, ring_gap

SIZE = a_reading("2.pin", "diameter", "21.995")


@pytest.mark.parametrize(
    ("kind", "missing"),
    [
        (Kind.SIZE, {"value"}),
        (Kind.DIAL, {"value", "set_size"}),
        (Kind.PAIR, {"goes", "does_not_go"}),
        (Kind.GOES, {"goes"}),
        (Kind.SEEN, {"findings"}),
        (Kind.CANNOT, {"reason"}),
    ],
)
def test_an_entry_without_what_its_kind_needs_is_not_built(kind, missing):
    with pytest.raises(InputRefused) as refusal:
        replace(SIZE, kind=kind, value=None)

    assert set(refusal.value.fields) == missing


@pytest.mark.parametrize(
    "strange",
    [
        {"goes": millimetres("0.45")},
        {"does_not_go": millimetres("0.50")},
        {"set_size": millimetres("22.00")},
        {"findings": ("sound",)},
    ],
)
def test_an_entry_with_what_belongs_to_another_kind_is_not_built(strange):
    with pytest.raises(InputRefused, match="does not belong to an entry of this kind"):
        replace(SIZE, **strange)


def test_a_reason_may_stand_beside_what_was_seen():
    assert a_reading("2.pin", "seen", "scored", reason="two lines").written == "scored"


@pytest.mark.parametrize("stops", ["0.45", "0.40"])
def test_a_leaf_that_does_not_go_is_thicker_than_one_that_goes(stops):
    with pytest.raises(InputRefused, match="must be thicker"):
        ring_gap(1, f"0.45/{stops}")


def test_leaves_in_two_units_are_compared_in_one():
    with pytest.raises(InputRefused, match="must be thicker"):
        replace(ring_gap(1, "0.45/0.50"), goes=inches("0.018"), does_not_go=millimetres("0.4572"))


@pytest.mark.parametrize(
    ("reading", "written", "size"),
    [
        (SIZE, "21.995 mm", "21.995"),
        (a_reading("2.pin", "diameter", "0,8660 in"), "0,8660 in", "21.9964"),
        (ring_gap(1, "0.45/0.50"), "goes 0.45 mm, does not go 0.50 mm", None),
        (ring_gap(1, "0.45/"), "goes 0.45 mm", None),
        (a_dial("2.cylinder", "mid stroke", "along the pin", "+0,03"), "dial +0,03 mm on 78.00 mm", "78.03"),
        (a_dial("2.cylinder", "mid stroke", "along the pin", "-0.01"), "dial -0.01 mm on 78.00 mm", "77.99"),
        (a_reading("2.pin", "seen", "scored+blued"), "scored, blued", None),
        (a_cannot("2.pin", "diameter", "Pin is fast."), "cannot gauge: Pin is fast.", None),
    ],
)
def test_a_reading_is_written_as_typed_and_has_a_size_where_it_gives_one(reading, written, size):
    assert reading.written == written
    assert reading.size_mm == (Decimal(size) if size else None)


def test_a_later_entry_at_one_place_supersedes_and_the_earlier_stays():
    first, second = ring_gap(1, "0.45/0.50"), ring_gap(1, "0.50/0.55")

    counting = standing((first, second), Occasion.AS_FOUND)

    assert list(counting.values()) == [second]
    assert superseded((first, second)) == {first.id}


def test_an_entry_as_fitted_does_not_strike_the_one_as_found():
    found, new = ring_gap(1, "0.65/0.70"), ring_gap(1, "0.20/0.25", occasion=Occasion.AS_FITTED)

    assert superseded((found, new)) == frozenset()
    assert standing((found, new), Occasion.AS_FITTED) == {new.place: new}


@settings(deadline=None)
@given(st.permutations([ring_gap(1, "0.45/0.50"), ring_gap(2, "0.45/0.50"), SIZE]))
def test_the_order_of_entries_at_different_places_does_not_matter(readings):
    assert standing(tuple(readings), Occasion.AS_FOUND).keys() == {r.place for r in readings}
    assert superseded(tuple(readings)) == frozenset()


def test_a_word_is_shared_and_what_goes_on_for_too_long_is_not():
    words = [sign * LONGEST_SHARED for sign in ("a", "a")]
    longer = [word + "a" for word in words]

    assert words[0] is not words[1]
    assert shared(words[0]) is shared(words[1])
    assert shared(longer[0]) is longer[0]
    assert shared(longer[1]) is longer[1]
