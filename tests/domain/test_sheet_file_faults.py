"""Every fault of a limit sheet's file is named with its line, its place and what is expected there."""

from pathlib import Path

import pytest

from app.domain.sheet_file import SheetRefused, read_sheet

SHEET = (Path(__file__).parent / "sound_sheet.toml").read_text(encoding="utf-8")
# What stands in the sound sheet, what is put in its place, the fault's place, its line's text, and what is expected.
FAULTS = [
    ('name = "QM-T"\n', "", "sheet, name", "[sheet]", "this key, which is missing"),
    ('name = "QM-T"', "name = 7", "sheet, name", "name = 7", "a text in quotes; found 7"),
    ('name = "QM-T"', "name = 1.0", "sheet, name", "name = 1.0", "a text in quotes; found 1.0"),
    ('name = "QM-T"', 'name = " "', "sheet, name", 'name = " "', "a text that is not empty; found “ ”"),
    ('name = "QM-T"', 'name = "Q٣"', "sheet, name", 'name = "Q٣"', "digits 0 to 9 only; found “Q٣”"),
    ('name = "QM-T"', r'name = "Q\u0007"', "sheet, name", "name = ", "a text of printed signs and plain spaces;"),
    ('"QM-T"', f'"{"Q" * 301}"', "sheet, name", "name = ", f"a text of at most 300 signs; found “{'Q' * 40}…”"),
    ('"A"', "1979-05-27", "sheet, revision", "revision", "a text in quotes; found the date 1979-05-27"),
    ('unit = "mm"', 'unit = "cm"', "sheet, unit", "cm", "one of “mm”, “in”; found “cm”"),
    ('unit = "mm"', 'unit = "mm"\nrule = "soft"', "sheet, rule", "soft", "one of “simple”, “guarded”; found “soft”"),
    ('unit = "mm"', 'unit = "mm"\nrevison = "A"', "sheet", "revison", "no key “revison”; perhaps “revision” is meant"),
    ("[sheet.source]", "[sheet.sauce]", "sheet, source", "[sheet]", "a table; it is missing"),
    ("[sheet.feelers]\nleaves = [0.05, 0.10]", "[sheet]", "the file", "[sheet]\n\n[[", "each key and each table once"),
    ("[0.05, 0.10]", "[0.10, 0.10]", "sheet, feelers, leaves", "leaves", "each leaf once, thinnest first"),
    ("[0.05, 0.10]", "[]", "sheet, feelers, leaves", "leaves", "a list of 1 to 100; found a list of 0"),
    ("[0.05, 0.10]", "0.05", "sheet, feelers, leaves", "leaves", "a list of 1 to 100; found 0.05"),
    (
        "[0.05, 0.10]",
        "[{ a = 1 }]",
        "sheet, feelers, leaves",
        "leaves",
        "such as 18.0, “0.709 in” or “18.0 mm = 0.709 in”; found a table",
    ),
    ("number = 2\nbore", "number = 3\nbore", "stage 2, number", "number = 3", "2, as the stages stand in order from 1"),
    ("number = 2\nbore", "number = 0\nbore", "stage 2, number", "number = 0", "a whole number from 1 to 8; found 0"),
    ("78.00", "0.0", "stage 2, bore", "bore = 0.0", "a size above zero; found 0.0"),
    ("78.00", "-78.0", "stage 2, bore", "bore = -78.0", "no sign, no power,"),
    ("78.00", "nan", "stage 2, bore", "bore = nan", "a size: digits and one point,"),
    ("78.00", "inf", "stage 2, bore", "bore = inf", "a size: digits and one point,"),
    ("78.00", "7.8e1", "stage 2, bore", "bore = 7.8e1", "found 7.8e1"),
    ("78.00", "true", "stage 2, bore", "bore = true", "found true"),
    ("78.00", "78000000", "stage 2, bore", "bore = 78000000", "found 78000000"),
    ("78.00", "1" * 41, "stage 2, bore", "bore = 111", "found a number far too large"),
    ("78.00", '"78 bar"', "stage 2, bore", "78 bar", "found “78 bar”"),
    ("78.00", '"٧٨"', "stage 2, bore", "٧٨", "a size: digits and one point,"),
    ("78.00", '"78.00 mm = 79 mm"', "stage 2, bore", "79 mm", "found “78.00 mm = 79 mm”"),
    ("bore = 78.00", "cylinders = 9\nbore = 78.00", "stage 2, cylinders", "cylinders", "a whole number from 1 to 8"),
    ('kind = "valve"', 'kind = "vale"', "stage 2, part suction-valve, kind", "vale", "one of “valve”, “cylinder”,"),
    ('port = "suction"\n', "", "stage 2, part suction-valve, port", 'part]]\nkey = "suc', "this key, which is missing"),
    (
        'port = "suction"',
        'port = "inlet"',
        "stage 2, part suction-valve, port",
        "inlet",
        "one of “suction”, “delivery”",
    ),
    (
        'construction = "plate"\n',
        "",
        "stage 2, part suction-valve, construction",
        'part]]\nkey = "suc',
        "this key, which",
    ),
    ('"plate"', '"disc"', "stage 2, part suction-valve, construction", "disc", "one of “plate”, “reed”; found “disc”"),
    (
        'name = "Ring"',
        'name = "Ring"\nport = "suction"',
        "stage 2, part ring, port",
        'port = "suction"\ncount',
        "only a valve has",
    ),
    (
        'name = "Head"',
        'name = "Head"\njoint = "butt"',
        "stage 1, part head, joint",
        "joint",
        "only a ring has this key",
    ),
    (
        'name = "Ring"',
        'name = "Ring"\njoint = "but"',
        "stage 2, part ring, joint",
        "joint",
        "one of “butt”, “step”, “angle”,",
    ),
    ("count = 2", "count = 13", "stage 2, part ring, count", "count", "a whole number from 1 to 12; found 13"),
    ("count = 2", "count = 2.0", "stage 2, part ring, count", "count", "a whole number from 1 to 12; found 2.0"),
    (
        "count = 2",
        "cylinder = 2",
        "stage 2, part ring, cylinder",
        "cylinder = 2",
        "a whole number from 1 to 1; found 2",
    ),
    (
        'key = "ring"',
        'key = "Ring 1"',
        "stage 2, part Ring 1, key",
        '"Ring 1"',
        "small letters a to z, digits and single hyphens",
    ),
    (
        'key = "cylinder"',
        'key = "suction-valve"',
        "stage 2, part suction-valve, key",
        'suction-valve"\nkind = "c',
        "no other part",
    ),
    (
        "quantity = 1",
        "quantity = 0",
        "stage 2, part ring, order, quantity",
        "quantity",
        "a whole number from 1 to 999; found 0",
    ),
    ("quantity = 1", "quantity = -2", "stage 2, part ring, order, quantity", "quantity", "found -2"),
    ("quantity = 1", "quantity = true", "stage 2, part ring, order, quantity", "quantity", "found true"),
    ("quantity = 1", "quantaty = 1", "stage 2, part ring, order", "quantaty", "perhaps “quantity” is meant"),
    (
        "order = [\n",
        "order = [ 3,\n",
        "stage 2, part ring, order",
        "order",
        "a list of tables, [[order]]; found a list of 2",
    ),
    ('["ring"]', '["rung"]', "stage 2, set rings, members", "rung", "no part “rung” in it; perhaps “ring” is meant"),
    ('members = ["ring"]\n', "", "stage 2, set rings, members", "[[stage.set]]", "this key, which is missing"),
    (
        'key = "rings"',
        'key = "ring-1"',
        "stage 2, set",
        "[[stage.set]]",
        "a key that no part has; found “ring-1” for both",
    ),
    ('["ring"]', '["ring"]\norder = 3', "stage 2, set rings, order", "order = 3", "a table; found 3"),
    ("stage = 2\n", "stage = 3\n", "always 1, stage", "stage = 3", "a whole number from 1 to 2; found 3"),
    ("stage = 2\n", 'when = "never"\n', "always 1, when", "never", "one of “any opening”, “rings”; found “never”"),
    ("[sheet]", "notes = 1\n[sheet]", "the file", "notes", "no key “notes”"),
]


def faults_of(text):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(text)
    return refused.value.faults


def line_of(text, sign):
    """The line on which a piece of the text begins."""
    return text[: text.index(sign)].count("\n") + 1


def test_the_sound_sheet_is_read():
    assert read_sheet(SHEET).title == "QM-T rev A"


@pytest.mark.parametrize(("sound", "faulty", "place", "sign", "expected"), FAULTS)
def test_a_fault_is_named_with_its_place_and_line(sound, faulty, place, sign, expected):
    assert SHEET.count(sound) == 1 or sound in ('"A"', '"plate"')
    text = SHEET.replace(sound, faulty, 1)

    faults = [fault for fault in faults_of(text) if fault.place == place]

    assert any(expected in fault.expected for fault in faults), faults
    assert {fault.line for fault in faults} == {line_of(text, sign)}


def test_a_sheet_needs_no_feeler_set():
    text = SHEET.replace("[sheet.feelers]\nleaves = [0.05, 0.10]\n", "")

    assert read_sheet(text).leaves == ()


def test_every_fault_is_found_at_once_in_line_order():
    text = SHEET
    for sound, faulty, *_ in (FAULTS[0], FAULTS[-4], FAULTS[-2]):
        text = text.replace(sound, faulty, 1)

    faults = faults_of(text)

    assert [fault.place for fault in faults] == [FAULTS[0][2], FAULTS[-4][2], FAULTS[-2][2]]
    assert [fault.line for fault in faults] == sorted(fault.line for fault in faults)


def test_a_refusal_reads_as_one_sentence_a_fault():
    with pytest.raises(SheetRefused) as refused:
        read_sheet("\n" + SHEET.replace("78.00", "-78.0"))

    assert str(refused.value).startswith("Line 27, stage 2, bore: a size: digits")


def test_nothing_of_an_empty_file_is_read():
    faults = faults_of("")

    assert [fault.words for fault in faults] == [
        "sheet: a table; it is missing",
        "stage: at least one table [[stage]]",
    ]


def test_a_stage_has_parts():
    text = SHEET.replace("[[always]]", "[[stage]]\nnumber = 3\nbore = 40\n[[always]]")

    assert [fault.words for fault in faults_of(text)] == ["Line 74, stage 3, part: at least one table [[stage.part]]"]


def test_there_are_at_most_eight_stages():
    text = SHEET.replace("[[always]]", "[[stage]]\nnumber = 3\nbore = 40\n[[stage.part]]\n" * 7 + "[[always]]")

    places = {fault.place: fault.expected for fault in faults_of(text)}

    assert places["stage"] == "at most 8 of these; found a list of 9"
    assert "stage 9, bore" not in places


def test_a_key_stands_once_among_the_characteristics_of_a_part():
    again = '[[stage.part.characteristic]]\nkey = "bore"\nname = "Bore"\nmethod = "caliper"\n'

    faults = faults_of(SHEET.replace("[[stage.set]]", f"{again}[[stage.set]]"))

    place = "stage 2, part cylinder, characteristic"
    assert [(fault.place, fault.expected) for fault in faults] == [
        (place, "a key of its own for each; found “bore” twice")
    ]


@pytest.mark.parametrize(
    ("key", "expected"),
    [("rings", "a key of its own for each; found “rings” twice"), ("more", "found part 2.ring-1 in two")],
)
def test_no_two_sets_share_a_key_or_a_part(key, expected):
    again = f'[[stage.set]]\nkey = "{key}"\nname = "More"\nmembers = ["ring-1"]\n'

    faults = faults_of(SHEET.replace("[[always]]", f"{again}[[always]]"))

    assert any(fault.expected.endswith(expected) for fault in faults)
    assert {fault.place for fault in faults} == {"stage 2, set"}


def test_reading_stops_after_a_thousand_faults():
    faults = faults_of("".join(f"key-{number} = 1\n" for number in range(2000)))

    assert len(faults) == 1001
    assert faults[0].words == "sheet: a table; it is missing"
    assert any(fault.expected == "a limit sheet; reading stopped after 1000 faults" for fault in faults)


def test_a_key_unlike_any_other_is_answered_by_all_that_are_known():
    faults = faults_of(SHEET.replace("stage = 2\n", "xyzzy = 2\n"))

    known = "“delivery_days”, “kit”, “name”, “number”, “quantity”, “stage”, “when”"
    assert [fault.words for fault in faults] == [f"Line 77, always 1: no key “xyzzy”; known here: {known}"]
