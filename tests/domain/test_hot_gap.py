"""Hot gaps: worked values, and never a claim where the sheet is silent."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.hot_gap import HotGapFinding, WorkingConditions, gap_closing_mm, hot_gap
from app.domain.sizes import SizeNotPositive
from app.domain.temperature import EXPANSION, PI, Material, TemperatureOutOfRange, Warmth

IRON = EXPANSION[Material.GREY_IRON].per_k
PTFE = EXPANSION[Material.FILLED_PTFE].per_k
AT_WORK = WorkingConditions(Decimal(180), IRON, Decimal(120), IRON)


@pytest.mark.parametrize(("ring_per_k", "closing"), [(PTFE, "3.72"), (IRON, "0.30")])
def test_a_ring_in_a_140_mm_iron_bore_closes_by_this_much(ring_per_k, closing):
    # Arithmetic from the stated inputs: 180 degC ring, 120 degC cylinder; the PTFE coefficient is from memory.
    ring, cylinder = Warmth(Decimal(180), ring_per_k), Warmth(Decimal(120), IRON)

    closing_mm = gap_closing_mm(Decimal(140), ring, cylinder)

    assert round(closing_mm, 2) == Decimal(closing)


def test_a_ring_as_warm_as_its_cylinder_and_of_its_material_does_not_close():
    body = Warmth(Decimal(150), IRON)

    assert gap_closing_mm(Decimal(140), body, body) == 0


def test_an_iron_ring_with_gap_enough_stays_open():
    result = hot_gap(Decimal("0.42"), Decimal(140), AT_WORK)

    assert result.finding is HotGapFinding.STAYS_OPEN
    assert round(result.gap_mm, 2) == Decimal("0.12")
    assert result.missing == ()


def test_a_ptfe_ring_cut_as_if_it_were_iron_butts():
    result = hot_gap(Decimal("0.42"), Decimal(140), replace(AT_WORK, ring_expansion_per_k=PTFE))

    assert result.finding is HotGapFinding.BUTTS
    assert round(result.gap_mm, 2) == Decimal("-3.30")


@pytest.mark.parametrize(
    ("spare_mm", "finding"),
    [("0.001", HotGapFinding.STAYS_OPEN), ("0", HotGapFinding.BUTTS), ("-0.001", HotGapFinding.BUTTS)],
)
def test_ends_that_just_meet_already_butt(spare_mm, finding):
    closing_mm = PI * 140 * (IRON * 160 - IRON * 100)

    result = hot_gap(closing_mm + Decimal(spare_mm), Decimal(140), AT_WORK)

    assert result.finding is finding


@pytest.mark.parametrize(
    ("field", "name"),
    [
        ("ring_temperature_c", "ring temperature"),
        ("ring_expansion_per_k", "ring material"),
        ("cylinder_temperature_c", "cylinder temperature"),
        ("cylinder_expansion_per_k", "cylinder material"),
    ],
)
def test_where_the_sheet_is_silent_nothing_is_claimed_and_what_is_missing_is_named(field, name):
    result = hot_gap(Decimal("0.42"), Decimal(140), replace(AT_WORK, **{field: None}))

    assert (result.finding, result.gap_mm, result.missing) == (HotGapFinding.NOT_CHECKED, None, (name,))
    assert result.finding == "not checked"


def test_a_sheet_that_says_nothing_misses_everything():
    assert len(WorkingConditions().missing) == 4


@pytest.mark.parametrize(
    ("temperature_c", "is_allowed"), [("300", True), ("300.1", False), ("-20", True), ("-21", False)]
)
def test_working_temperatures_are_taken_from_minus_20_to_300_degrees(temperature_c, is_allowed):
    conditions = replace(AT_WORK, ring_temperature_c=Decimal(temperature_c))

    if is_allowed:
        assert hot_gap(Decimal("0.42"), Decimal(140), conditions).gap_mm is not None
    else:
        with pytest.raises(TemperatureOutOfRange, match="-20 to 300 degC"):
            hot_gap(Decimal("0.42"), Decimal(140), conditions)


@pytest.mark.parametrize("sizes", [("0", "140"), ("0.42", "0")])
def test_sizes_of_nothing_are_refused(sizes):
    with pytest.raises(SizeNotPositive):
        hot_gap(Decimal(sizes[0]), Decimal(sizes[1]), AT_WORK)
