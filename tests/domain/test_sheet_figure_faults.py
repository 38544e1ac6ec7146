"""Every fault of a characteristic or limit is named with its line, its place and what is expected there."""

from pathlib import Path

import pytest

from app.domain.sheet_file import SheetRefused, read_sheet

SHEET = (Path(__file__).parent / "sound_sheet.toml").read_text(encoding="utf-8")
GAP = "stage 2, part ring, characteristic closed-gap"
BORE = "stage 2, part cylinder, characteristic bore"
UPPER, LOWER = "{ upper = 0.65 }", "{ lower = 0.10,"
# What stands in the sound sheet, what is put in its place, the fault's place, its line's text, and what is expected.
FAULTS = [
    ('"feeler"', '"feelr"', f"{GAP}, method", "feelr", "one of “feeler”, “bore gauge”,"),
    ("[0.20, 0.35]", "[0.35, 0.20]", f"{GAP}, new", "new =", "the lower size first; found 0.35 before 0.20"),
    ("[0.20, 0.35]", "[0.35]", f"{GAP}, new", "new =", "a list of two sizes, lower and upper; found a list of 1"),
    (
        "[0.20, 0.35]",
        "[0, 20, 0, 35]",
        f"{GAP}, new",
        "new =",
        "a list of two sizes, lower and upper; found a list of 4",
    ),
    ("[0.20, 0.35]", "[0.20, 0]", f"{GAP}, new", "new =", "a size above zero; found 0"),
    (
        "[0.20, 0.35]",
        "[0.66, 0.70]",
        f"{GAP}, limit 1",
        UPPER,
        "a limit that a new part is within; the whole new range",
    ),
    ("[0.20, 0.35]", "[0.01, 0.09]", f"{GAP}, limit 2", LOWER, "the whole new range is beyond 0.10"),
    ("new = [0.20", "base = 0.3\nnew = [0.20", f"{GAP}, base", "base", "axes on the characteristic; only diameters"),
    ("new = [0.20", "possible = [0.3, 1]\nnew = [0.20", f"{GAP}, possible", "possible", "a range wide enough for"),
    ("new = [0.20", 'unit = "m"\nnew = [0.20', f"{GAP}, unit", 'unit = "m"\nn', "one of “mm”, “in”; found “m”"),
    ("new = [0.20", "decimals = 7\nnew = [0.20", f"{GAP}, decimals", "decimals", "a whole number from 0 to 6; found 7"),
    (
        'key = "closed-gap"',
        'key = "seen"',
        GAP.replace("closed-gap", "seen, key"),
        "seen",
        "another key; “seen” is kept",
    ),
    (UPPER, "{ upper = 0.09 }", f"{GAP}, limit 2, lower", LOWER, "found lower 0.10, upper 0.09"),
    (UPPER, "{ upper = 0.10 }", f"{GAP}, limit 2, lower", LOWER, "a lower limit below the upper;"),
    (
        LOWER,
        "{ upper = 0.65,",
        f"{GAP}, limit 2",
        "{ upper = 0.65,",
        "before the renew limit; found rework 0.65, renew 0.65",
    ),
    (
        f'{LOWER} outcome = "rework" }}',
        UPPER,
        f"{GAP}, limit 2",
        f"{UPPER},\n]",
        "one upper limit of value leading to renew;",
    ),
    (UPPER, '{ source = "t" }', f"{GAP}, limit 1", "{ source", "one of upper, lower, per_bore, per_stroke; found none"),
    (LOWER, "{ lower = 0.1, upper = 1,", f"{GAP}, limit 2", "{ lower", "found upper and lower"),
    (UPPER, "{ per_stroke = 0.01 }", f"{GAP}, limit 1, per_stroke", "per_str", "a stroke on the stage"),
    (
        UPPER,
        "{ per_bore = 0.5 }",
        f"{GAP}, limit 1, per_bore",
        "per_bore",
        "a share above 0 and below 0.1, such as 0.00075",
    ),
    (UPPER, "{ per_bore = 1e-3 }", f"{GAP}, limit 1, per_bore", "per_bore", "found 1e-3"),
    (UPPER, "{ upper = 0.65, at_most = 1 }", f"{GAP}, limit 1, at_most", "at_most", "only a limit with per_bore or"),
    (
        UPPER,
        '{ upper = 0.65, measure = "wear" }',
        f"{GAP}, limit 1, measure",
        'wear" },\n    {',
        "levels and axes on the",
    ),
    (
        UPPER,
        '{ upper = 0.65, on_limit = "passes" }',
        f"{GAP}, limit 1, on_limit",
        "passes",
        "one of “must not be exceeded”,",
    ),
    (
        UPPER,
        '{ upper = 0.65, outcome = "reuse" }',
        f"{GAP}, limit 1, outcome",
        '"reuse',
        "one of “renew”, “rework”; found “reuse”",
    ),
    (
        'outcome = "rework"',
        'outcome = "rework", renews = "ring"',
        f"{GAP}, limit 2, renews",
        LOWER,
        "only a limit that leads",
    ),
    (UPPER, "{ uper = 0.65 }", f"{GAP}, limit 1", "uper", "no key “uper”; perhaps “upper” is meant"),
    ('"middle", ', "", f"{BORE}, levels", "levels", "3 levels or more where there are axes; found 2"),
    ('"middle"', '"top"', f"{BORE}, levels", "levels", "different texts; found “top” more than once"),
    (', "across"', "", f"{BORE}, axes", "axes", "2 axes or more; found 1"),
    ('"wear"', '"where"', f"{BORE}, limit, measure", '"where"', "one of “value”, “wear”, “ovality”, “taper”, “overall"),
    ("axes = [", "new = [79, 80]\naxes = [", f"{BORE}, limit", "0.09", "a limit that a new part is within"),
]


def faults_of(text):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(text)
    return refused.value.faults


def line_of(text, sign):
    """The line on which a piece of the text begins."""
    return text[: text.index(sign)].count("\n") + 1


@pytest.mark.parametrize(("sound", "faulty", "place", "sign", "expected"), FAULTS)
def test_a_fault_of_a_figure_is_named_with_its_place_and_line(sound, faulty, place, sign, expected):
    assert SHEET.count(sound) == 1 or sound in ('"A"', '"plate"')
    text = SHEET.replace(sound, faulty, 1)

    faults = [fault for fault in faults_of(text) if fault.place == place]

    assert any(expected in fault.expected for fault in faults), faults
    assert {fault.line for fault in faults} == {line_of(text, sign) if sign else None}


def test_a_share_that_comes_to_nothing_is_refused():
    share = '{ per_bore = 0.000001, source = "t" }'
    text = SHEET.replace("bore = 78.00", "bore = 0.5").replace("[0.20, 0.35]", "[0.20, 0.25]").replace(UPPER, share)

    faults = faults_of(text)

    assert [fault.expected for fault in faults if fault.place.startswith(GAP)] == [
        "a share that gives at least 0.000001 mm"
    ]


def test_a_source_leaves_room_for_how_a_share_was_worked_out():
    share = f'{{ per_bore = 0.01, source = "{"t" * 290}" }}'

    faults = faults_of(SHEET.replace(UPPER, share))

    assert [(fault.place, fault.expected) for fault in faults] == [
        (f"{GAP}, limit 1, source", "a text of at most 281 signs beside the share")
    ]


def test_a_limit_that_may_not_be_reached_leaves_room_for_a_new_part():
    limit = '{ upper = 0.20, on_limit = "must not be reached" }'

    faults = faults_of(SHEET.replace(UPPER, limit))

    assert [fault.place for fault in faults] == [f"{GAP}, limit 1"]
    assert read_sheet(SHEET.replace(UPPER, "{ upper = 0.20 }"))


def test_faults_of_a_characteristic_do_not_hide_those_of_its_limits():
    text = SHEET.replace('"feeler"', '"feelr"').replace(UPPER, "{ upper = 0.09 }").replace("[0.20", "[0.01")

    assert [fault.place for fault in faults_of(text)] == [f"{GAP}, method", f"{GAP}, limit 2, lower"]


def test_a_limit_with_a_fault_is_compared_with_nothing():
    text = SHEET.replace(UPPER, "{ upper = 0.09, uper = 1 }")

    assert [fault.place for fault in faults_of(text)] == [f"{GAP}, limit 1"]


def test_a_bad_bore_starts_no_other_fault():
    text = SHEET.replace("bore = 78.00", "bore = -78.00").replace("axes = [", "new = [77.99, 78.01]\naxes = [")

    assert [fault.place for fault in faults_of(text)] == ["stage 2, bore"]
