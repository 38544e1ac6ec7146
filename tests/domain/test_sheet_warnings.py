"""The traps of printed tables are allowed, but each is put before a person."""

import pytest

from app.domain.sheet_file import read_sheet, sheet_warnings

SHEET = """
[sheet]
name = "QM-T"
revision = "A"
machine_type = "test machine"
approver = "I. Brandreth"
unit = "mm"
source = {{ document = "Quillmoor works manual WM-99", page = "table 1" }}
feelers = {{ leaves = [{leaf}] }}
{judging}
[[stage]]
number = 1
bore = {bore}
{stroke}
[[stage.part]]
key = "ring"
kind = "ring"
name = "Ring"
count = 2
[[stage.part.characteristic]]
key = "closed-gap"
name = "Closed gap"
method = "feeler"
{gap}
[[stage.part]]
key = "cylinder"
kind = "cylinder"
name = "Cylinder"
[[stage.part.characteristic]]
key = "bore"
name = "Bore"
method = "bore gauge"
levels = ["top", "middle", "bottom"]
axes = ["along", "across"]
base = {base}
{grid}
"""
SOUND = {
    "leaf": "0.05",
    "judging": "",
    "bore": "140.00",
    "stroke": "stroke = 90",
    "gap": "new = [0.35, 0.55]\nlimit = [{ upper = 1.10 }, { lower = 0.30 }]",
    "base": "140.00",
    "grid": 'new = [140.00, 140.04]\nlimit = [{ measure = "wear", upper = 0.05 }, { measure = "taper", upper = 0.01 }]',
}
RINGS = "stage 1, parts ring-1, ring-2, characteristic closed-gap"
BORE = "stage 1, part cylinder, characteristic bore"


def doubts_of(**changes):
    """Read the sound sheet with some of its texts changed and give what is doubted."""
    warnings = sheet_warnings(read_sheet(SHEET.format(**(SOUND | changes))))
    assert {warning.line for warning in warnings} <= {None}
    return [(warning.place, warning.expected) for warning in warnings]


def test_a_sound_sheet_raises_no_doubt():
    assert doubts_of() == []
    assert doubts_of(stroke="") == []


@pytest.mark.parametrize("limit", ["0.55", "0.54"])
def test_a_new_maximum_on_or_over_the_limit_is_doubted_once_for_all_rings(limit):
    doubts = doubts_of(gap=f"new = [0.35, 0.55]\nlimit = [{{ upper = {limit} }}]")

    assert doubts == [(f"{RINGS}, new", f"a new maximum clear of the upper limit {limit}; found 0.55")]


def test_a_new_maximum_just_under_the_limit_is_not_doubted():
    assert doubts_of(gap="new = [0.35, 0.55]\nlimit = [{ upper = 0.56 }]") == []


def test_a_limit_is_compared_with_the_new_range_in_the_other_unit():
    doubts = doubts_of(gap='new = [0.35, 0.55]\nlimit = [{ upper = "0.021 in" }]')

    assert doubts == [(f"{RINGS}, new", "a new maximum clear of the upper limit 0.021 in; found 0.55")]


@pytest.mark.parametrize("limit", ["0.35", "0.36"])
def test_a_new_minimum_on_or_under_a_lower_limit_is_doubted(limit):
    doubts = doubts_of(gap=f"new = [0.35, 0.55]\nlimit = [{{ lower = {limit} }}]")

    assert doubts == [(f"{RINGS}, new", f"a new minimum clear of the lower limit {limit}; found 0.35")]


def test_a_new_bore_is_compared_with_the_wear_limit_from_its_base_size():
    doubts = doubts_of(grid='new = [140.00, 140.04]\nlimit = [{ measure = "wear", upper = 0.04 }]')

    assert doubts == [(f"{BORE}, new", "a new maximum clear of the upper limit 0.04; found 140.04")]


def test_a_decimal_comma_that_made_two_numbers_of_one_is_doubted():
    doubts = doubts_of(gap="new = [0,55]\nlimit = [{ upper = 1.10 }]")

    assert doubts == [(f"{RINGS}, new", "a new maximum clear of the upper limit 1.10; found 55")]


def test_a_characteristic_that_nothing_judges_is_doubted():
    doubts = doubts_of(gap="")

    assert doubts == [(RINGS, "a limit or a new range; without either a reading is kept and never judged")]


@pytest.mark.parametrize("size", ["18.0 mm = 0.709 in", "0.709 in = 18 mm", "17.9 mm = 0.704 in", "18 = 0.7 in"])
def test_two_units_that_agree_as_far_as_they_are_rounded_are_not_doubted(size):
    assert doubts_of(stroke=f'stroke = "{size}"') == []


def test_two_units_that_disagree_are_doubted_with_both_in_millimetres():
    doubts = doubts_of(stroke='stroke = "18.0 mm = 0.790 in"')

    expected = "the same size in both units; found 18.0 mm = 0.790 in, which is 18.0 mm and 20.066 mm"
    assert doubts == [("stage 1, stroke", expected)]


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"leaf": '"0.05 mm = 0.02 in"'}, "sheet, feelers, leaves"),
        (
            {"judging": "instrument = [{ method = 'caliper', resolution = '1 mm = 1 in' }]"},
            "sheet, instrument, caliper",
        ),
        ({"bore": '"140.00 mm = 5.6 in"'}, "stage 1, bore"),
        ({"base": '"140.00 mm = 5.6 in"'}, f"{BORE}, base"),
        ({"gap": 'new = ["0.35 mm = 0.1 in", 0.55]'}, f"{RINGS}, new"),
        ({"gap": 'new = [0.35, "0.55 mm = 0.1 in"]'}, f"{RINGS}, new"),
        ({"gap": 'limit = [{ upper = "1.10 mm = 0.4 in" }]'}, f"{RINGS}, limit"),
    ],
)
def test_two_units_are_compared_wherever_a_size_stands(change, place):
    assert [doubted for doubted, _ in doubts_of(**change)] == [place]


@pytest.mark.parametrize(
    ("instruments", "unknown"),
    [
        ("", "“bore gauge”"),
        ("instrument = [{ method = 'feeler', permissible_error = 0.01 }]", "“bore gauge”"),
        ("instrument = [{ method = 'bore gauge', expansion = 11.5e-6 }]", "“bore gauge”"),
    ],
)
def test_a_guard_that_no_uncertainty_is_known_for_is_doubted(instruments, unknown):
    doubts = doubts_of(judging=f'rule = "guarded"\n{instruments}')

    expected = f"without an uncertainty only the simple rule may be claimed; none is given for {unknown}"
    assert doubts == [("sheet, instrument", expected)]


@pytest.mark.parametrize("figure", ["resolution", "permissible_error", "repeatability"])
def test_a_guard_with_an_uncertainty_for_what_is_not_a_feeler_is_not_doubted(figure):
    assert doubts_of(judging=f"rule = 'guarded'\ninstrument = [{{ method = 'bore gauge', {figure} = 0.01 }}]") == []


def test_a_guard_without_any_instrument_is_doubted_even_where_all_is_gauged_with_feelers():
    text = SHEET.format(**(SOUND | {"judging": 'rule = "guarded"'}))

    warnings = sheet_warnings(read_sheet(text[: text.index('[[stage.part]]\nkey = "cylinder"')]))

    expected = "without an uncertainty only the simple rule may be claimed; none is given for any method"
    assert [(warning.place, warning.expected) for warning in warnings] == [("sheet, instrument", expected)]


@pytest.mark.parametrize(("material", "found"), [("", "none is given"), ("brass", "found “brass”")])
def test_a_correction_that_no_expansion_is_known_for_is_doubted(material, found):
    words = f'material = "{material}"\n' if material else ""
    text = SHEET.format(**(SOUND | {"judging": "judging = { temperature = 'corrected to 20 C' }"}))

    warnings = sheet_warnings(read_sheet(text.replace('name = "Cylinder"\n', f'name = "Cylinder"\n{words}')))

    assert [warning.place for warning in warnings] == ["stage 1, part cylinder, material", "sheet, instrument"]
    assert warnings[0].expected.startswith("a material whose expansion is known, to correct to 20 degC: “grey iron”,")
    assert warnings[0].expected.endswith(f"; {found}")
    assert warnings[1].expected == "the expansion of the bore gauge, to correct to 20 degC; none is given"


@pytest.mark.parametrize(("instrument", "doubts"), [("expansion = 11.5e-6", 0), ("resolution = 0.001", 1)])
def test_a_correction_needs_the_expansion_of_the_instrument_too(instrument, doubts):
    judging = f"judging.temperature = 'corrected to 20 C'\ninstrument = [{{ method = 'bore gauge', {instrument} }}]"
    text = SHEET.format(**(SOUND | {"judging": judging}))

    warnings = sheet_warnings(
        read_sheet(text.replace('name = "Cylinder"', 'name = "Cylinder"\nmaterial = "grey iron"'))
    )

    assert len(warnings) == doubts
