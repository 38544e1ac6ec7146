"""A fault's line is the line in the person's own file, however the file is laid out."""

import time

import pytest

from app.domain.sheet_file import SheetRefused, read_sheet
from app.domain.sheet_lines import line_of, lines_by_path

TEXT = '''# The first line is a comment with a [[stage]] in it.
[sheet]
name = "a # b [c"   # no list here
source.document = 'x'
note = """
bore = 3
[[stage]]
"""
other = """one line"""

[[stage]]
bore = 1
"quoted" = 2
[[stage.part]]
leaves = [
    1, 2,
]
[[stage.part]]
limit = [
    { upper = 1, order = { a = [1, 2] } },
    # { upper = 2 },
    { upper = 3 }, { upper = 4 },
]
[stage.part.more]
key = [{ a = 1 }]
[[stage]]
bore = 5
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("sheet", "name"), 3),
        (("sheet", "source", "document"), 4),
        (("sheet", "source"), 4),
        (("sheet", "note"), 5),
        (("sheet", "other"), 9),
        (("stage",), 11),
        (("stage", 0, "bore"), 12),
        (("stage", 0, "quoted"), 13),
        (("stage", 0, "part", 0, "leaves"), 15),
        (("stage", 0, "part", 1, "limit", 0, "upper"), 20),
        (("stage", 0, "part", 1, "limit", 1), 22),
        (("stage", 0, "part", 1, "limit", 2, "upper"), 22),
        (("stage", 0, "part", 1, "more", "key", 0), 25),
        (("stage", 0, "part", 1, "not there"), 18),
        (("stage", 1, "bore"), 27),
        (("always", 0, "name"), None),
    ],
)
def test_each_table_and_key_is_found_on_its_line(path, line):
    assert line_of(lines_by_path(TEXT), path) == line


def fault_of(text):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(text)
    assert len(refused.value.faults) == 1
    return refused.value.faults[0]


@pytest.mark.parametrize(
    ("text", "line", "expected"),
    [
        ("[sheet]\nname =\n", 2, "a line of TOML, such as upper = 1.10; the reader says: Invalid value."),
        ("[sheet]\nname = [1\n\n", 2, "the reader says: Unclosed array."),
        ("[sheet]\nname = 1,10\n", 2, "Decimals are written with a point."),
        ("limit = [\n  { upper = 1,10 },\n]\n", 2, "Decimals are written with a point."),
        ('[sheet]\nname = "A"\nrule = 1\nname = "B"\n', 4, "each key and each table once; found one a second time"),
        ("[sheet]\n[other]\n[sheet]\n", 3, "each key and each table once"),
        ("a = { b = 1, b = 2 }\n", 1, "each key and each table once"),
        ("[sheet]\r\nname =\r\n", 2, "the reader says: Invalid value."),
        ("bore = ٧٨\n", 1, "the reader says: Invalid value."),
        ("a = " + "9" * 5000, None, "numbers of a few digits each"),
        ("a = " + "[" * 100_000, None, "lists and tables with a few brackets at most"),
        ("b = 1\n" + "a." * 20 + "a = 1", 2, "keys with a few dots at most"),
        ("# too long" + " " * 1_000_000, None, "a text of at most 1000000 bytes, which any sheet is"),
        ("é" * 500_001, None, "a text of at most 1000000 bytes"),
        ("\ud800", 1, "the reader says: Invalid statement."),
    ],
)
def test_a_text_that_is_not_toml_is_refused_with_its_line(text, line, expected):
    fault = fault_of(text)

    assert (fault.line, fault.place) == (line, "the file")
    assert expected in fault.expected


@pytest.mark.parametrize(
    "text",
    [
        "a." * 499_000 + "a = 1",
        '"a" . ' * 160_000 + "a = 1",
        "[[stage]]\n" * 90_000,
        "".join(f"a{number} = 1\n" for number in range(90_000)),
        "a = '''" + "'x" * 490_000,
        '\\"' * 490_000,
        " " * 990_000,
        "a" * 990_000,
        "[sheet]\nname = 0x" + "9" * 900_000,
        "[[stage]]\n[[stage.part]]\n[[stage.part.characteristic]]\nlimit = [" + "{ upper = 1.0 }," * 60_000 + "]",
    ],
    ids=["dots", "quoted dots", "tables", "keys", "quotes", "escapes", "spaces", "letters", "digits", "limits"],
)
def test_a_text_made_to_be_slow_is_refused_in_seconds(text):
    started = time.process_time()  # not the clock on the wall, which a busy machine stretches

    with pytest.raises(SheetRefused):
        read_sheet(text)

    assert time.process_time() - started < 30
