"""A cylinder's oversizes say what bore it may be made to, and which rings and piston fit it then."""

from pathlib import Path

import pytest

from app.domain.numbers import millimetres
from app.domain.order_lines import OrderLine, Oversize
from app.domain.sheet_file import SheetRefused, read_sheet, sheet_warnings

SAMPLES = Path(__file__).parents[2] / "sample_data"
GUARDED = (SAMPLES / "qm-guarded.toml").read_text(encoding="utf-8")
PLACE = "stage 1, part cylinder, oversize 1"
LINE = '{ renews = "ring set", name = "Ring set 160.25", number = "QM-47-131", quantity = 1 }'
LARGEST = "a size over the bore 160.00 and not over 176 mm, the largest that can be gauged in it"
# What stands in the guarded sheet, what is put in its place, the fault's place, its line's text, and what is expected.
FAULTS = [
    ("size = 160.25", "size = 160.00", f"{PLACE}, size", "size = 160.00", f"{LARGEST}; found “160.00”"),
    ("size = 160.25", "size = 159.75", f"{PLACE}, size", "size = 159.75", LARGEST),
    ("size = 160.25", "size = 176.001", f"{PLACE}, size", "size = 176.001", LARGEST),
    ("size = 160.25", 'size = "6.299 in"', f"{PLACE}, size", "size = ", f"{LARGEST}; found “6.299 in”"),
    ("size = 160.25", "size = 0", f"{PLACE}, size", "size = 0", "a size above zero; found 0"),
    ("size = 160.25", "size = 160.50", "stage 1, part cylinder, oversize", "[[stage.part.over", "smallest first"),
    ("size = 160.25\n", "", f"{PLACE}, size", "[[stage.part.over", "this key, which is missing"),
    (
        LINE,
        LINE.replace("ring set", "rings", 1),
        f"{PLACE}, order 1, renews",
        '{ renews = "rings"',
        "one of “ring set”,",
    ),
    (
        LINE,
        LINE.replace('renews = "ring set", ', ""),
        f"{PLACE}, order 1, renews",
        '{ name = "Ring set 160.25',
        "missing",
    ),
    (LINE, LINE.replace("number", "numbr"), f"{PLACE}, order 1", "{ renews", "perhaps “number” is meant"),
]


def faults_of(text):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(text)
    return refused.value.faults


def line_of(text, sign):
    """The line on which a piece of the text begins."""
    return text[: text.index(sign)].count("\n") + 1


@pytest.mark.parametrize(("sound", "faulty", "place", "sign", "expected"), FAULTS)
def test_a_fault_of_an_oversize_is_named_with_its_place(sound, faulty, place, sign, expected):
    assert GUARDED.count(sound) == 1
    text = GUARDED.replace(sound, faulty)

    faults = [fault for fault in faults_of(text) if fault.place == place]

    assert any(expected in fault.expected for fault in faults), faults
    assert "numbr" in faulty or {fault.line for fault in faults} == {line_of(text, sign)}


def test_an_oversize_names_the_rings_and_the_piston_made_for_it():
    first, second = read_sheet(GUARDED).part("1.cylinder").oversizes

    rings, piston = first.orders
    assert (first.size, second.size) == (millimetres("160.25"), millimetres("160.50"))
    assert rings == OrderLine("ring set", "Ring set 160.25", "QM-47-131", 1)
    assert (piston.renews, piston.number) == ("piston", "QM-47-151")


def test_only_a_cylinder_has_oversizes():
    faults = faults_of(GUARDED.replace('key = "head"\nkind', 'key = "head"\noversize = [{ size = 161 }]\nkind'))

    assert [fault.words.partition(", ")[2] for fault in faults] == [
        "stage 1, part head, oversize: only a cylinder has this key"
    ]


def test_an_oversize_without_parts_made_for_it_is_read():
    text = GUARDED.replace('key = "cylinder"\n', 'key = "cylinder"\noversize = [{ size = 161 }]\n')
    start = text.index("[[stage.part.oversize]]")

    cylinder = read_sheet(text[:start] + text[text.index("[[stage.part.characteristic]]", start) :]).part("1.cylinder")

    assert cylinder.oversizes == (Oversize(millimetres("161")),)


def test_an_oversize_beyond_what_the_sheet_calls_possible_is_refused():
    text = GUARDED.replace("base = 160.00", "base = 160.00\npossible = [158.0, 160.4]")

    faults = faults_of(text)

    assert [fault.place for fault in faults] == ["stage 1, part cylinder, oversize 2, size"]
    assert "not over 160.4 mm" in faults[0].expected


def test_a_cylinder_whose_bore_is_not_gauged_goes_by_the_bore_of_its_stage():
    start = GUARDED.index('[[stage.part.characteristic]]\nkey = "bore"')
    without = GUARDED[:start] + GUARDED[GUARDED.index('[[stage.part]]\nkey = "piston"') :]
    without = without.replace(
        'between = ["cylinder.bore", "piston.skirt"]', 'between = ["bush.diameter", "pin.diameter"]'
    )

    assert len(read_sheet(without).part("1.cylinder").oversizes) == 2
    assert [fault.place for fault in faults_of(without.replace("160.50\norder", "176.01\norder"))] == [
        "stage 1, part cylinder, oversize 2, size"
    ]


def test_a_bad_bore_starts_no_fault_of_an_oversize():
    text = (
        GUARDED.replace("bore = 160.00", "bore = -1")
        .replace("base = 160.00\n", "")
        .replace("new = [160.000", "new = [0.1")
    )

    assert [fault.place for fault in faults_of(text)] == ["stage 1, bore"]


def test_an_oversize_in_two_units_that_disagree_is_doubted():
    warnings = sheet_warnings(read_sheet(GUARDED.replace("size = 160.25", 'size = "160.25 mm = 6.4 in"')))

    assert [warning.place for warning in warnings] == ["stage 1, part cylinder, oversize"]
