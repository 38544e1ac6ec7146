"""Clearances of pairs, held against published figures."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.clearances import (
    ALUMINIUM_PISTON_RULE,
    CRANKPIN_RULE,
    GREATEST_BUMPING_RULE,
    IRON_PISTON_RULE,
    LEAST_BUMPING_RULE,
    SizesMissing,
    WireNotFlattened,
    bumping_clearance,
    pin_clearance,
    piston_clearance,
)
from app.domain.sizes import SizeNotPositive

INCH_MM = Decimal("25.4")
SIZES_MM = st.lists(st.decimals(min_value=1, max_value=200, places=3), min_size=1, max_size=6)


def sizes_mm(written):
    return [Decimal(size) for size in written.split()]


def test_a_piston_is_checked_at_its_tightest_and_at_its_widest_place():
    # Arithmetic from the stated inputs.
    bores, in_travel, skirts = sizes_mm("100.03 100.12 100.20"), sizes_mm("100.03 100.12"), sizes_mm("99.85 99.88")

    clearance = piston_clearance(bores, in_travel, skirts)

    assert clearance.least_mm == Decimal("0.15")
    assert clearance.largest_mm == Decimal("0.27")


def test_a_piston_larger_than_its_bore_shows_a_clearance_below_zero():
    assert piston_clearance(sizes_mm("100.00"), sizes_mm("100.00"), sizes_mm("100.02")).least_mm == Decimal("-0.02")


@given(SIZES_MM, SIZES_MM)
def test_the_least_clearance_is_never_over_the_largest(holes, shafts):
    for clearance in (piston_clearance(holes, holes, shafts), pin_clearance(holes, shafts)):
        assert clearance.least_mm <= clearance.largest_mm


def test_a_pin_and_a_bush_that_each_pass_can_fail_as_a_pair():
    # US Army TM 5-4310-384-13, table G-2: pin down to 0.5622 in, bush up to 0.5638 in, clearance 0.0005 to 0.0015 in.
    bush_mm, pin_mm = Decimal("0.5638") * INCH_MM, Decimal("0.5622") * INCH_MM

    clearance = pin_clearance([bush_mm], [pin_mm])

    assert clearance.largest_mm == Decimal("0.0016") * INCH_MM
    assert clearance.largest_mm > Decimal("0.0015") * INCH_MM


def test_an_oval_pin_in_an_oval_bush_pairs_the_worst_places():
    clearance = pin_clearance(sizes_mm("14.320 14.330"), sizes_mm("14.280 14.300"))

    assert (clearance.least_mm, clearance.largest_mm) == (Decimal("0.020"), Decimal("0.050"))


@pytest.mark.parametrize(
    ("rule", "per_unit", "source"),
    [
        (IRON_PISTON_RULE, "0.00125", "p. 227"),
        (ALUMINIUM_PISTON_RULE, "0.003", "p. 227"),
        (CRANKPIN_RULE, "0.00075", "p. 227"),
        (LEAST_BUMPING_RULE, "0.005", "common practice, no source"),
        (GREATEST_BUMPING_RULE, "0.01", "common practice, no source"),
    ],
)
def test_rules_for_new_clearances_carry_their_figure_and_source(rule, per_unit, source):
    # Bloch & Hoefner, p. 227, for pistons and crankpin; bumping clearance is common practice, no source.
    assert rule.size_mm(Decimal(100)) == 100 * Decimal(per_unit)
    assert rule.source.endswith(source)


def test_lead_wires_give_the_least_and_the_largest_bumping_clearance():
    clearance = bumping_clearance(sizes_mm("0.94 0.90 0.98"), Decimal("2.00"))

    assert (clearance.least_mm, clearance.largest_mm) == (Decimal("0.90"), Decimal("0.98"))


@pytest.mark.parametrize("thickest", ["2.00", "2.01"])
def test_a_wire_that_was_not_squeezed_proves_nothing_and_is_refused(thickest):
    with pytest.raises(WireNotFlattened, match="thicker wire"):
        bumping_clearance(sizes_mm(f"0.90 {thickest}"), Decimal("2.00"))


def test_a_wire_just_squeezed_is_accepted():
    assert bumping_clearance(sizes_mm("1.99"), Decimal("2.00")).least_mm == Decimal("1.99")


def test_a_clearance_without_sizes_is_refused_by_the_part_that_lacks_them():
    some = sizes_mm("100.00")
    askings = {
        "the bore": lambda: piston_clearance([], some, some),
        "the bore in skirt travel": lambda: piston_clearance(some, [], some),
        "the skirt": lambda: piston_clearance(some, some, []),
        "the bush": lambda: pin_clearance([], some),
        "the pin": lambda: pin_clearance(some, []),
        "the flattened wire": lambda: bumping_clearance([], Decimal(2)),
    }

    for part, asking in askings.items():
        with pytest.raises(SizesMissing, match=f"^no size of {part} is given$"):
            asking()


def test_sizes_of_nothing_are_refused_by_their_part():
    some, nothing = sizes_mm("1.00"), sizes_mm("1.00 0")

    with pytest.raises(SizeNotPositive, match="the skirt"):
        piston_clearance(some, some, nothing)
    with pytest.raises(SizeNotPositive, match="the bush"):
        pin_clearance(nothing, some)
    with pytest.raises(SizeNotPositive, match="the wire"):
        bumping_clearance(some, Decimal(0))
