"""A clearance between two parts is worked out from what is gauged on them, and has limits of its own."""

from pathlib import Path

import pytest

from app.domain.limits import Measure, Method, Side
from app.domain.numbers import millimetres
from app.domain.sheet_file import SheetRefused, read_sheet, sheet_warnings
from app.domain.verdicts import Verdict

SAMPLES = Path(__file__).parents[2] / "sample_data"
GUARDED = (SAMPLES / "qm-guarded.toml").read_text(encoding="utf-8")
BETWEEN = 'between = ["cylinder.bore", "piston.skirt"]'
PLACE = "stage 1, part piston, characteristic clearance-in-bore"
# What the clearance lies between instead, and what is expected there.
FAULTS = [
    ('["cylinder.bore"]', "the outer and the inner size, part and characteristic, such as [“cylinder.bore”,"),
    ('["a.b", "c.d", "e.f"]', "the outer and the inner size, part and characteristic"),
    ("[1.1, 2]", "the outer and the inner size, part and characteristic"),
    ('"cylinder.bore"', "found “cylinder.bore”"),
    ('["cylinder", "piston.skirt"]', "the outer and the inner size, part and characteristic"),
    ('["cylinder.bore", "piston skirt"]', "the outer and the inner size, part and characteristic"),
    ('["cylinder.bore", "1.piston.skirt"]', "the outer and the inner size, part and characteristic"),
    ('["cylindr.bore", "piston.skirt"]', "parts of the same stage; no part “cylindr”; perhaps “cylinder” is meant"),
    ('["cylinder.bor", "piston.skirt"]', "something gauged on part cylinder; no “bor” there; perhaps “bore” is meant"),
    ('["cylinder.bore", "delivery-valve.lift"]', "no “lift” there; none are known here"),
    ('["cylinder.bore", "ring.closed-gap"]', "one part each; “ring” means “ring-1”, “ring-2”"),
    ('["cylinder.bore", "ring-1.closed-gap"]', "“ring-1.closed-gap” has “feeler”"),
    (
        '["cylinder.bore", "head.bumping-clearance"]',
        "two diameters, gauged with “bore gauge”, “micrometer”, “caliper”;",
    ),
    (
        '["cylinder.bore", "pin.clearance-in-bush"]',
        "two gauged diameters; “pin.clearance-in-bush” is worked out itself",
    ),
    ('["piston.skirt", "piston.skirt"]', "two different diameters; found piston.skirt twice"),
    ('["piston.skirt", "cylinder.bore"]', "the outer diameter first; no new piston.skirt is as large as a new cylind"),
]


def a_clearance(text=GUARDED, part="1.piston", key="clearance-in-bore"):
    return read_sheet(text).part(part).characteristic(key)


def faults_of(text):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(text)
    return [(fault.place, fault.expected) for fault in refused.value.faults]


@pytest.mark.parametrize(("between", "expected"), FAULTS)
def test_a_clearance_that_cannot_be_worked_out_is_refused(between, expected):
    faults = faults_of(GUARDED.replace(BETWEEN, f"between = {between}"))

    assert [place for place, _ in faults] == [f"{PLACE}, between"]
    assert expected in faults[0][1]


def test_every_end_that_is_not_there_is_named():
    faults = faults_of(GUARDED.replace(BETWEEN, 'between = ["cylinder.bor", "piston.skrt"]'))

    assert [expected.partition(";")[0] for _, expected in faults] == [
        "something gauged on part cylinder",
        "something gauged on part piston",
    ]


def test_a_clearance_has_two_limits_of_its_own():
    clearance = a_clearance()

    wear, seizure = clearance.limit(Measure.VALUE), clearance.limit(Measure.VALUE, Side.LOWER)
    assert (wear.size, wear.outcome, wear.renews) == (millimetres("0.680"), Verdict.RENEW, "piston")
    assert (seizure.size, seizure.outcome) == (millimetres("0.380"), Verdict.REWORK)


def test_a_clearance_has_no_place_to_gauge():
    sheet = read_sheet(GUARDED)

    clearance = sheet.part("1.piston").characteristic("clearance-in-bore")

    assert (clearance.is_derived, clearance.places, clearance.is_grid) == (True, (), False)
    assert [place.characteristic for place in sheet.part("1.piston").required] == ["seen", "skirt"]
    assert not sheet.part("1.piston").characteristic("skirt").is_derived


def test_a_clearance_takes_its_method_from_the_outer_diameter():
    text = GUARDED.replace('name = "Bush bore"\nmethod = "bore gauge"', 'name = "Bush bore"\nmethod = "caliper"')

    assert a_clearance().method is Method.BORE_GAUGE
    assert a_clearance(text, "1.pin", "clearance-in-bush").method is Method.CALIPER


@pytest.mark.parametrize(
    "key", ['method = "feeler"', 'levels = ["a", "b", "c"]', 'axes = ["a", "b"]', "base = 160", "possible = [0, 1]"]
)
def test_a_clearance_is_never_typed_in(key):
    faults = faults_of(GUARDED.replace(BETWEEN, f"{key}\n{BETWEEN}"))

    name = key.partition(" ")[0]
    assert faults == [(f"{PLACE}, {name}", "only a characteristic that is gauged has this key")]


def test_a_measure_of_a_bore_is_no_limit_of_a_clearance():
    faults = faults_of(GUARDED.replace("{ upper = 0.680 }", '{ upper = 0.680, measure = "wear" }'))

    assert [place for place, _ in faults] == [f"{PLACE}, limit 1, measure"]


def test_a_limit_of_a_clearance_can_be_a_share_of_the_bore():
    # Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 227: aluminium 0.003 per unit of bore.
    clearance = a_clearance(GUARDED.replace("{ upper = 0.680 }", "{ per_bore = 0.004 }"))

    assert clearance.limits[0].size == millimetres("0.64")
    assert clearance.decimals == 3


def test_a_clearance_can_have_a_new_range_and_words_of_its_own():
    more = 'new = [0.44, 0.52]\nwhere = "cold"\ndecimals = 2\n'

    clearance = a_clearance(GUARDED.replace(BETWEEN, f"{more}{BETWEEN}"))

    assert (clearance.new.lower, clearance.where, clearance.decimals) == (millimetres("0.44"), "cold", 2)


def test_parts_named_by_a_clearance_are_those_on_the_same_cylinder():
    sheet = read_sheet(GUARDED.replace("cylinders = 1", "cylinders = 2"))

    between = [sheet.part(f"1.c{n}-piston").characteristic("clearance-in-bore").between for n in (1, 2)]
    assert between == [("c1-cylinder.bore", "c1-piston.skirt"), ("c2-cylinder.bore", "c2-piston.skirt")]


def test_a_fault_that_parts_set_out_share_is_named_once():
    text = GUARDED.replace("cylinders = 1", "cylinders = 2").replace(BETWEEN, BETWEEN.replace("piston", "head.x"))

    faults = faults_of(text.replace("head.x.skirt", "head.bumping-clearance"))

    assert [place for place, _ in faults] == [f"{PLACE}, between"]


def test_a_faulty_method_of_a_diameter_starts_no_other_fault():
    text = GUARDED.replace('name = "Skirt diameter"\nmethod = "micrometer"', 'name = "Skirt diameter"\nmethod = "mike"')

    assert [place for place, _ in faults_of(text)] == ["stage 1, part piston, characteristic skirt, method"]


def test_a_diameter_without_a_new_range_can_be_an_end():
    text = GUARDED.replace("new = [159.520, 159.560]\n", "")

    assert a_clearance(text).between == ("cylinder.bore", "piston.skirt")
    assert sheet_warnings(read_sheet(text)) == ()


@pytest.mark.parametrize(
    ("sound", "doubtful", "found"),
    [("upper = 0.680", "upper = 0.520", "0.520"), ("lower = 0.380", "lower = 0.440", "0.440")],
)
def test_a_limit_that_two_new_parts_can_reach_is_doubted(sound, doubtful, found):
    warnings = sheet_warnings(read_sheet(GUARDED.replace(sound, doubtful)))

    expected = f"a limit clear of new parts, which give 0.440 to 0.520 mm; found {found}"
    assert [(warning.place, warning.expected) for warning in warnings] == [(f"{PLACE}, limit", expected)]


def test_the_governor_air_pins_run_closer_than_pin_and_bush_alone_allow():
    sheet = read_sheet((SAMPLES / "qm-ga.toml").read_text(encoding="utf-8"))

    for stage in (1, 2, 3):
        pin, bush = sheet.part(f"{stage}.pin"), sheet.part(f"{stage}.bush")
        alone_mm = bush.characteristic("diameter").limits[0].size.mm - pin.characteristic("diameter").limits[0].size.mm
        assert pin.characteristic("clearance-in-bush").limits[0].size.mm < alone_mm
