"""Tests of a sheet's table: whatever a spreadsheet makes of it is read, and a bad cell is named by line and column."""

import csv
from io import StringIO

import pytest

from app.actions.draft_places import text_of
from app.actions.draft_table import COLUMNS, rows_from, values_from
from app.actions.table_file import LARGEST_BYTES, read_lines
from app.domain.draft_values import Values
from app.domain.sheet_faults import SheetRefused
from app.domain.sheet_file import read_sheet, toml_values
from app.domain.sheet_skeleton import SheetAnswer, StageAnswer, skeleton
from app.reports.draft_template import template_csv, template_workbook
from tests.builders import a_sheet_text

ANSWER = SheetAnswer("X", "A", "t", "a", "mm", (StageAnswer("140", "110"), StageAnswer("78,5", "110", 2)))
LAID_OUT = skeleton(ANSWER)
HEAD = LAID_OUT["sheet"]
assert isinstance(HEAD, dict)
Rows = list[dict[str, str]]


def as_csv(rows: Rows, separator: str = ",", columns: tuple[str, ...] = COLUMNS) -> str:
    """The rows as a spreadsheet writes them."""
    text = StringIO()
    table = csv.DictWriter(text, columns, delimiter=separator, restval="", extrasaction="ignore")
    table.writeheader()
    table.writerows(rows)
    return text.getvalue()


def read(content: bytes) -> Values:
    """The tables that a file gives."""
    return values_from(read_lines(content), HEAD)  # type: ignore[arg-type]


def refused(content: str | bytes) -> list[str]:
    """Every fault of a file, in words."""
    with pytest.raises(SheetRefused) as refusal:
        read(content.encode() if isinstance(content, str) else content)
    return [fault.words for fault in refusal.value.faults]


def rows_with(place: int, **cells: str) -> Rows:
    """The rows of the laid-out sheet, some cells of one otherwise."""
    rows = list(rows_from(LAID_OUT))
    rows[place] = rows[place] | cells
    return rows


@pytest.mark.parametrize(
    ("separator", "encoding"),
    [(",", "utf-8"), (";", "utf-8-sig"), ("\t", "utf-16"), (";", "cp1252")],
)
def test_table_is_read_in_the_ways_that_spreadsheets_write(separator: str, encoding: str) -> None:
    assert read(as_csv(list(rows_from(LAID_OUT)), separator).encode(encoding)) == LAID_OUT


def test_template_comes_back_as_the_sheet_it_was_made_of() -> None:
    as_text, as_workbook = (write(COLUMNS, rows_from(LAID_OUT)) for write in (template_csv, template_workbook))

    assert read(as_text) == read(as_workbook) == LAID_OUT


@pytest.mark.parametrize("file", ["qm-ga.toml", "qm-ba.toml"])
def test_parts_and_limits_of_a_whole_sheet_survive_the_table(file: str) -> None:
    values = toml_values(a_sheet_text(file))

    back = values_from(read_lines(as_csv(list(rows_from(values))).encode()), values["sheet"])  # type: ignore[arg-type]

    gauged = [[(p.key, p.kind, p.name, [(c.key, c.new, [(x.measure, x.side, x.size)
              for x in c.limits]) for c in p.characteristics if not c.is_derived]) for p in sheet.parts]
              for sheet in (read_sheet(text_of(back)), read_sheet(a_sheet_text(file)))]  # fmt: skip
    assert gauged[0] == gauged[1]


def test_number_cell_of_a_workbook_and_decimal_commas_are_figures() -> None:
    workbook = template_workbook(COLUMNS, rows_with(0, limit_value="0,70"))

    values = read(workbook)

    assert values["stage"][0]["part"][0]["characteristic"][0]["limit"] == [{"upper": "0.70"}]  # type: ignore[index]


def test_cells_left_empty_are_as_in_the_row_above() -> None:
    text = (
        "stage,part,kind,port,construction,part_name,characteristic,characteristic_name,method,limit_kind,limit_value\n"
    )
    text += "1,piston,piston,,,Piston,skirt,Skirt,micrometer,lower,79.5\n,,,,,,crown,Crown,micrometer,lower,79\n"
    text += ",pin,pin,,,Pin,diameter,Diameter,micrometer,lower,21\n"

    values = read(text.encode())

    parts = values["stage"][0]["part"]  # type: ignore[index]
    assert [(part["key"], [each["key"] for each in part["characteristic"]]) for part in parts] == [
        ("piston", ["skirt", "crown"]),
        ("pin", ["diameter"]),
    ]


@pytest.mark.parametrize(
    ("place", "cells", "words"),
    [
        (0, {"limit_value": "abc"}, "Line 2, column limit_value: a size"),
        (4, {"kind": "rng"}, "Line 6, column kind: one of “valve”"),
        (5, {"limit_kind": "max"}, "Line 7, column limit_kind: one of upper, lower"),
        (1, {"method": "ruler"}, "Line 3, column method: one of “feeler”"),
        (0, {"kind": ""}, "Line 2, column kind: a value; the cell is empty"),
        (0, {"bore": "wide"}, "Line 2, column bore: a size"),
        (4, {"count": "many"}, "Line 6, column count: a whole number"),
        (1, {"port": "delivery"}, "Line 3, column port: as on line 2, “suction”, or nothing"),
        (0, {"characteristic": "", "limit_value": "2"}, "Line 2, column characteristic: the key of what is gauged"),
        (0, {"new_lower": "2"}, "Line 2, column new_lower: a value; the cell is empty"),
        (0, {"stage": "2"}, "Line 2, column stage: 1, as the stages stand in order"),
    ],
)
def test_bad_cell_is_named_by_line_and_column(place: int, cells: dict[str, str], words: str) -> None:
    found = refused(as_csv(rows_with(place, **cells)))

    assert any(fault.startswith(words) for fault in found), found


def test_columns_missing_unknown_or_twice_are_named() -> None:
    heading = "stage,part,kindd,characteristic,limit_kind,limit_value,stage\n1,a,b,c,d,e,f\n"

    found = refused(heading)

    assert "Line 1, column 3: no column “kindd”; perhaps “kind” is meant" in found
    assert "Line 1, column stage: this column once" in found
    assert "Line 1, column kind: this column, which is missing" in found


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "a first line that names the columns"),
        (b"PK\x03\x04 no workbook", "a workbook (.xlsx) with a sheet in it"),
        (b"\xff\xfe", "a first line that names the columns"),
        (b"x" * (LARGEST_BYTES + 1), "a file of at most 2 MB"),
        (b"stage,part\n" + b"1,a\n" * 4000, "at most 3000 rows"),
        (b'stage,part\n"1,a\n', "a quotation mark that is closed again"),
    ],
)
def test_file_that_is_no_table_is_refused_in_words(content: bytes, words: str) -> None:
    assert words in refused(content)[0]


def test_cells_beyond_the_heading_and_a_row_without_its_stage_are_named() -> None:
    heading = "stage,part,kind,characteristic,limit_kind,limit_value\n"

    beyond = refused(f"{heading}1,pin,pin,d,lower,2,5\n")
    homeless = refused(f"{heading},pin,pin,d,lower,2\n")
    bare = refused(f"{heading},,pin,,lower,2\n")

    assert beyond[0].startswith("Line 2, the row: no more cells than the heading has")
    assert homeless[0] == "Line 2, column stage: the stage it belongs to"
    assert bare[0] == "Line 2, column stage: the number of the stage"
