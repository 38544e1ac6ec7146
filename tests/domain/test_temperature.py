"""Sizes brought to 20 degC, held against worked values."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.sizes import SizeNotPositive
from app.domain.temperature import (
    EXPANSION,
    PI,
    ExpansionNotPlausible,
    Material,
    TemperatureOutOfRange,
    Warmth,
    bore_at_20_mm,
    gap_at_20_mm,
    length_at_20_mm,
)

IRON = EXPANSION[Material.GREY_IRON].per_k
ALUMINIUM = EXPANSION[Material.ALUMINIUM_356].per_k
TEMPERATURES = st.decimals(min_value=-20, max_value=120, places=1)


def warm(temperature_c, expansion_per_k=IRON):
    return Warmth(Decimal(temperature_c), Decimal(expansion_per_k))


@pytest.mark.parametrize(
    ("material", "millionths_per_k"),
    [
        # Callister, Materials Science and Engineering, table B.6.
        (Material.GREY_IRON, "11.4"),
        (Material.STEEL_1020, "11.7"),
        (Material.STEEL_4140, "12.3"),
        (Material.ALUMINIUM_356, "21.5"),
        (Material.BEARING_BRONZE, "18.0"),
        # From memory, not checked against a printed copy.
        (Material.FILLED_PTFE, "60"),
    ],
)
def test_every_material_has_its_expansion_and_a_source(material, millionths_per_k):
    coefficient = EXPANSION[material]

    assert coefficient.per_k == Decimal(millionths_per_k) / 1_000_000
    assert ("Callister" in coefficient.source) is (material is not Material.FILLED_PTFE)
    assert set(EXPANSION) == set(Material)


def test_pi_agrees_with_the_floating_point_constant_to_all_its_digits():
    assert float(PI) == math.pi


def test_a_warm_iron_bore_of_200_mm_reads_0_0342_mm_large_at_15_k_over():
    # Arithmetic from the stated inputs, with Callister's coefficient for grey iron.
    part = warm(35)

    too_large_mm = Decimal("200.0342") - length_at_20_mm(Decimal("200.0342"), part)

    assert round(too_large_mm, 4) == Decimal("0.0342")


def test_an_aluminium_piston_and_a_steel_micrometer_at_30_degrees_are_both_corrected():
    # Arithmetic from the stated inputs: 160 x (1 + 115e-6 - 230e-6).
    part, micrometer = warm(30, "23e-6"), warm(30, "11.5e-6")

    length_mm = length_at_20_mm(Decimal("160.000"), part, micrometer)

    assert length_mm == Decimal("159.9816")


def test_at_20_degrees_nothing_is_corrected():
    part, instrument = warm(20, ALUMINIUM), warm(20, IRON)

    length_mm = length_at_20_mm(Decimal("160.00"), part, instrument)

    assert length_mm == Decimal("160.00")


@given(TEMPERATURES)
def test_part_and_instrument_equally_warm_and_of_one_material_need_no_correction(temperature_c):
    body = warm(temperature_c)

    length_mm = length_at_20_mm(Decimal("160.00"), body, body)

    assert length_mm == Decimal("160.00")


@given(TEMPERATURES, TEMPERATURES)
def test_a_warmer_part_is_never_larger_at_20_degrees(first_c, second_c):
    cooler, warmer = sorted((first_c, second_c))

    lengths_mm = [length_at_20_mm(Decimal("160.00"), warm(temperature_c)) for temperature_c in (cooler, warmer)]

    assert lengths_mm[0] >= lengths_mm[1]


def test_a_bore_gauge_is_corrected_by_the_warmth_of_its_setting_master():
    # Arithmetic from the stated inputs: 200 x (1 + 11.7e-6 x 10 - 11.4e-6 x 15).
    cylinder, master = warm(35), warm(30, EXPANSION[Material.STEEL_1020].per_k)

    bore_mm = bore_at_20_mm(Decimal("200.000"), cylinder, master)

    assert bore_mm == Decimal("199.9892")


def test_the_gap_of_an_iron_ring_in_an_aluminium_bore_shrinks_by_0_037_mm_from_35_degrees():
    # Arithmetic from the stated inputs: pi x 78 x 10.1e-6 x 15.
    gap_mm = Decimal("0.300")

    at_20_mm = gap_at_20_mm(gap_mm, Decimal(78), ALUMINIUM, IRON, Decimal(35))

    assert round(gap_mm - at_20_mm, 3) == Decimal("0.037")


@given(TEMPERATURES)
def test_the_gap_of_a_ring_in_a_bore_of_the_same_material_is_never_corrected(temperature_c):
    gap_mm = Decimal("0.300")

    at_20_mm = gap_at_20_mm(gap_mm, Decimal(78), IRON, IRON, temperature_c)

    assert at_20_mm == gap_mm


@pytest.mark.parametrize("temperature_c", ["-20", "120"])
def test_the_ends_of_the_gauging_range_are_allowed(temperature_c):
    part = warm(temperature_c)

    length_mm = length_at_20_mm(Decimal(100), part, part)

    assert length_mm == 100


@pytest.mark.parametrize("temperature_c", ["-20.1", "120.1", "1200", "NaN", "Infinity"])
def test_a_temperature_outside_the_gauging_range_is_refused_with_what_is_allowed(temperature_c):
    with pytest.raises(TemperatureOutOfRange) as refusal:
        length_at_20_mm(Decimal(100), warm(temperature_c))

    assert f"{temperature_c} degC is outside" in str(refusal.value)


def test_the_refusal_of_a_part_too_hot_to_gauge_names_the_gauging_range():
    with pytest.raises(TemperatureOutOfRange, match="-20 to 120 degC"):
        length_at_20_mm(Decimal(100), warm(121))


def test_an_instrument_too_hot_to_gauge_with_is_refused():
    with pytest.raises(TemperatureOutOfRange, match="-20 to 120 degC"):
        length_at_20_mm(Decimal(100), warm(20), warm(121))


def test_a_gap_too_hot_to_gauge_is_refused():
    with pytest.raises(TemperatureOutOfRange, match="-20 to 120 degC"):
        gap_at_20_mm(Decimal("0.3"), Decimal(78), ALUMINIUM, IRON, Decimal(121))


@pytest.mark.parametrize("expansion_per_k", ["0", "0.0005"])
def test_the_ends_of_what_a_solid_can_expand_are_allowed(expansion_per_k):
    body = warm(30, expansion_per_k)

    assert body.strain == 10 * Decimal(expansion_per_k)


@pytest.mark.parametrize("expansion_per_k", ["-0.000001", "0.0005001", "11.4", "NaN"])
def test_an_expansion_that_no_solid_has_is_refused(expansion_per_k):
    with pytest.raises(ExpansionNotPlausible, match="grey iron has"):
        warm(20, expansion_per_k)


def test_a_length_of_nothing_is_refused_with_and_without_an_instrument():
    for instrument in (None, warm(20)):
        with pytest.raises(SizeNotPositive, match="the length read"):
            length_at_20_mm(Decimal(0), warm(20), instrument)


def test_a_gap_in_a_bore_of_nothing_is_refused():
    with pytest.raises(SizeNotPositive, match="the bore"):
        gap_at_20_mm(Decimal("0.3"), Decimal(0), ALUMINIUM, IRON, Decimal(35))
