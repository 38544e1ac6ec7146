"""What a reading is worth at 20 degC and with what uncertainty."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from app.domain.guard import Guard
from app.domain.limits import InstrumentClass, Method, Part, Rule
from app.domain.measured import AS_20, Gauging, at_twenty, budget_of, difference_budget, guard_mm
from app.domain.numbers import millimetres
from app.domain.sheet_file import read_sheet
from tests.builders import a_reading

SHEET = read_sheet((Path(__file__).parents[2] / "sample_data" / "qm-ga.toml").read_text(encoding="utf-8"))
STEEL_PER_K = Decimal("11.5e-6")
MICROMETER = InstrumentClass(
    Method.MICROMETER, millimetres("0.01"), millimetres("0.004"), millimetres("0.002"), STEEL_PER_K
)


def a_gauging(ref: str, key: str, material: str = "", **sheet: object) -> Gauging:
    part = SHEET.part(ref)
    assert part is not None
    characteristic = part.characteristic(key)
    assert characteristic is not None
    other = replace(SHEET, **({"instruments": (), "temperature_spread_k": Decimal(0)} | sheet))  # type: ignore[arg-type]
    changed: Part = replace(part, material=material or part.material)
    return Gauging(other, changed, characteristic)


def a_skirt(**sheet: object) -> Gauging:
    part = SHEET.part("1.piston")
    assert part is not None
    typed = next(c for c in part.characteristics if c.method is Method.MICROMETER)
    return a_gauging("1.piston", typed.key, "aluminium 356", **({"instruments": (MICROMETER,)} | sheet))


def test_no_temperature_is_taken_as_20_and_said():
    found = at_twenty(a_skirt(is_corrected_to_20=True), Decimal("139.600"), None)

    assert (found.size_mm, found.words) == (Decimal("139.600"), AS_20)


def test_a_sheet_that_asks_for_no_correction_gets_none():
    found = at_twenty(a_skirt(), Decimal("139.600"), Decimal(30))

    assert found.size_mm == Decimal("139.600")
    assert "no correction" in found.words


def test_an_aluminium_piston_and_a_steel_micrometer_both_warm_are_brought_to_20():
    # L x [1 + a_i (t - 20) - a_p (t - 20)] with a_i 11.5e-6 and aluminium 356 of Callister, table B.6: 21.5e-6.
    found = at_twenty(a_skirt(is_corrected_to_20=True), Decimal("160.000"), Decimal(30))

    assert found.size_mm == Decimal("159.984000")
    assert found.words == "Part and instrument at 30 °C brought to 20 °C."


def test_without_the_instruments_expansion_the_part_alone_is_corrected():
    plain = replace(MICROMETER, expansion_per_k=None)

    found = at_twenty(a_skirt(is_corrected_to_20=True, instruments=(plain,)), Decimal("160.000"), Decimal(30))

    assert found.size_mm == Decimal("159.965600")
    assert found.words.startswith("Part alone")


def test_an_unknown_material_is_not_corrected_and_said():
    gauging = replace(a_skirt(is_corrected_to_20=True), part=replace(a_skirt().part, material="unobtainium"))

    found = at_twenty(gauging, Decimal("160.000"), Decimal(30))

    assert found.size_mm == Decimal("160.000")
    assert "unobtainium" in found.words


def test_a_ring_and_bore_of_one_material_need_no_correction():
    gauging = a_gauging("1.ring-1", "closed-gap", "grey iron", is_corrected_to_20=True)

    found = at_twenty(gauging, Decimal("0.500"), Decimal(35))

    assert found.size_mm == Decimal("0.500")
    assert found.words.startswith("Ring and cylinder at 35")


def test_a_ring_of_unknown_material_is_not_corrected_and_said():
    gauging = a_gauging("1.ring-1", "closed-gap", "unobtainium", is_corrected_to_20=True)

    found = at_twenty(gauging, Decimal("0.500"), Decimal(35))

    assert "ring or cylinder is not known" in found.words


def test_a_part_outside_any_stage_has_no_bore():
    gauging = a_gauging("1.ring-1", "closed-gap", "grey iron")

    assert replace(gauging, part=replace(gauging.part, stage=9)).bore is None


def test_the_budget_names_every_contribution_the_sheet_knows():
    gauging = a_skirt(temperature_spread_k=Decimal(5))
    budget = budget_of(gauging, a_reading("1.piston", "x", "139.60"), Decimal("139.60"))

    assert budget is not None
    names = [each.name for each in budget.contributions]
    assert names == ["resolution", "permissible error", "repeatability", "temperature not recorded"]


def test_a_recorded_temperature_leaves_no_spread():
    gauging = a_skirt(temperature_spread_k=Decimal(5))
    reading = a_reading("1.piston", "x", "139.60", temperature_c=Decimal(22))

    budget = budget_of(gauging, reading, Decimal("139.60"))

    assert budget is not None
    assert "temperature not recorded" not in [each.name for each in budget.contributions]


def test_an_instrument_of_unknown_expansion_counts_the_whole_part():
    plain = replace(MICROMETER, expansion_per_k=None, resolution=None, permissible_error=None, repeatability=None)
    gauging = a_skirt(temperature_spread_k=Decimal(5), instruments=(plain,))

    budget = budget_of(gauging, a_reading("1.piston", "x", "100.00"), Decimal(100))

    assert budget is not None
    # 100 mm x 21.5e-6 / K x 5 K / sqrt(3), arithmetic from the stated inputs.
    assert float(budget.combined_u_mm) == pytest.approx(0.0062065, abs=1e-7)


def test_nothing_known_of_the_instrument_gives_no_budget():
    reading = a_reading("1.piston", "x", "139.60")
    silent = InstrumentClass(Method.MICROMETER)

    assert budget_of(a_skirt(instruments=()), reading, Decimal(1)) is None
    assert budget_of(a_skirt(instruments=(silent,)), reading, Decimal(1)) is None
    assert difference_budget(a_skirt(instruments=())) is None
    assert difference_budget(a_skirt(instruments=(silent,))) is None


def test_a_difference_of_two_readings_carries_no_setting_error():
    budget = difference_budget(a_skirt())

    assert budget is not None
    # sqrt(2) x sqrt((0.01 / sqrt(12))^2 + 0.002^2), arithmetic from the stated inputs.
    assert float(budget.combined_u_mm) == pytest.approx(0.0049666, abs=1e-7)


def test_the_guard_band_follows_the_rule_of_the_sheet():
    gauging = a_skirt(rule=Rule.GUARDED)
    budget = budget_of(gauging, a_reading("1.piston", "x", "139.60"), Decimal("139.60"))
    assert budget is not None

    iso = guard_mm(gauging.sheet, budget)
    ilac = guard_mm(replace(gauging.sheet, guard=Guard.ILAC_G8), budget)

    assert iso == Decimal("1.65") * budget.combined_u_mm  # ISO 14253-1:2017, from memory
    assert ilac == budget.expanded_u_mm()  # ILAC-G8:09/2019, 4.2.3
    assert guard_mm(gauging.sheet, None) == 0
    assert guard_mm(SHEET, budget) == 0
