"""A table of readings is read whatever program wrote it, or refused in words before anything is judged."""

from pathlib import Path

import pytest

from app.actions.reading_file import COLUMNS, FileRefused, ReadingFile
from tests.old_paper import a_file, a_row, a_table, rejudged

GAP = a_row("2.ring-1", "closed-gap", level="worst place", value="0.50")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_every_encoding_gives_the_same_letters(tmp_path: Path, encoding: str) -> None:
    text = a_table([GAP | {"measured_by": "Jürgen Ångström", "machine": "GA–1"}])

    row = next(ReadingFile(a_file(tmp_path, text, encoding)).rows())

    assert (row.cells["measured_by"], row.cells["machine"]) == ("Jürgen Ångström", "GA–1")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_every_separator_is_told_from_the_heading(tmp_path: Path, separator: str) -> None:
    run = rejudged(tmp_path, a_table([GAP], separator))

    assert (run.tally.reading_count, run.tally.refused_count) == (1, 0)


@pytest.mark.parametrize(("separator", "written"), [(";", "0,50"), (",", "0,50"), ("\t", "0,50"), (",", "0.50")])
def test_decimal_comma_is_a_decimal_point(tmp_path: Path, separator: str, written: str) -> None:
    run = rejudged(tmp_path, a_table([GAP | {"value": written}], separator))

    reason = run.part("2.ring-1")["reasons"]
    assert "0.50 mm is within the limit 0.65 mm." in [each["reason"] for each in reason]


def test_decimal_comma_without_quotation_marks_between_commas_is_refused_and_explained(tmp_path: Path) -> None:
    text = a_table([GAP | {"value": "0,50"}, GAP]).replace('"0,50"', "0,50")

    run = rejudged(tmp_path, text)

    assert (run.tally.reading_count, run.tally.refused_count) == (1, 1)
    assert run.refused[0]["line"] == "2"
    assert run.refused[0]["words"] == (
        "This row has 25 cells and the heading 24. A decimal comma between commas stands in quotation marks."
    )


def test_columns_stand_in_any_order_and_any_capitals(tmp_path: Path) -> None:
    text = (
        "Does not go;Goes;PART;characteristic;Level;hours;Overhaul\n0,55;0,50;2.ring-1;Closed gap;worst place;9350;7\n"
    )

    run = rejudged(tmp_path, text)

    assert run.tally.refused_count == 0
    assert any(each["figure"] == "goes 0.50, not 0.55" for each in run.part("2.ring-1")["reasons"])


def test_unknown_missing_and_repeated_columns_are_all_named_at_once(tmp_path: Path) -> None:
    path = a_file(tmp_path, "overhaul,hours,hours,charateristic,valeu\n")

    with pytest.raises(FileRefused) as refusal:
        ReadingFile(path)

    assert str(refusal.value).splitlines() == [
        "Column 4: no column “charateristic”; perhaps “characteristic” is meant.",
        "Column 5: no column “valeu”; perhaps “value” is meant.",
        "The column “hours” stands there 2 times.",
        "The column “part” is missing.",
        "The column “characteristic” is missing.",
        "No column says what was read. At least one of these is needed: "
        "value, goes, does_not_go, set_size, findings, reason.",
    ]


@pytest.mark.parametrize("text", ["", "\r\n\r\n", ";;;\n"])
def test_file_without_a_heading_is_refused(tmp_path: Path, text: str) -> None:
    path = a_file(tmp_path, text)

    with pytest.raises(FileRefused, match="The file is empty"):
        ReadingFile(path)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("overhaul,hours\n".encode("utf-16"), "UTF-16"),
        (b"overhaul,hours\n\x81\xff\n", "neither UTF-8 nor Windows-1252"),
        (b"x" * 200_000, "Line 1 of readings.csv is longer than any row"),
    ],
)
def test_what_is_no_text_of_a_table_is_refused(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "readings.csv"
    path.write_bytes(content)

    with pytest.raises(FileRefused, match=said):
        ReadingFile(path)


def test_file_that_is_not_there_is_refused_by_its_name(tmp_path: Path) -> None:
    with pytest.raises(FileRefused, match=r"lost\.csv cannot be read: No such file"):
        ReadingFile(tmp_path / "lost.csv")


def test_blank_lines_and_empty_cells_behind_the_last_column_do_not_count(tmp_path: Path) -> None:
    text = f"\r\n{','.join(COLUMNS)},,\r\n\r\n{a_table([GAP]).splitlines()[1]},,\r\n,,,\r\n\r\n"

    rows = list(ReadingFile(a_file(tmp_path, text)).rows())

    assert [(row.line, row.refused, row.cells["value"]) for row in rows] == [(4, "", "0.50")]


def test_text_over_two_lines_in_quotation_marks_is_one_row_and_the_next_keeps_its_line(tmp_path: Path) -> None:
    note = a_row("2.pin", "seen", findings="sound", reason="Dry\nbush.")

    rows = list(ReadingFile(a_file(tmp_path, a_table([note, GAP]))).rows())

    assert [(row.line, row.refused) for row in rows] == [(2, ""), (4, "")]
    assert rows[0].cells["reason"] == "Dry\nbush."


def test_quotation_mark_that_is_never_closed_is_refused_with_the_lines_it_swallows(tmp_path: Path) -> None:
    text = a_table([GAP | {"instrument": "F-03"}, GAP, GAP]).replace("F-03", '"F-03', 1)

    rows = list(ReadingFile(a_file(tmp_path, text)).rows())

    assert [row.line for row in rows] == [2]
    assert "not closed" in rows[0].refused
    assert "Lines 2 to 4 were not read" in rows[0].refused


def test_quotation_mark_within_a_text_is_refused_and_the_rows_after_it_are_read(tmp_path: Path) -> None:
    text = a_table([GAP | {"instrument": "F-03"}, GAP]).replace("F-03", '"F"03', 1)

    rows = list(ReadingFile(a_file(tmp_path, text)).rows())

    assert [(row.line, bool(row.refused)) for row in rows] == [(2, True), (3, False)]


def test_row_that_is_too_short_is_refused(tmp_path: Path) -> None:
    text = f"{a_table([])}7,GA-1,9350,,,2.ring-1\r\n"

    rows = list(ReadingFile(a_file(tmp_path, text)).rows())

    assert rows[0].refused.startswith("This row has 6 cells and the heading 24.")


def test_cell_behind_the_last_column_is_refused(tmp_path: Path) -> None:
    heading, row = a_table([GAP]).splitlines()

    rows = list(ReadingFile(a_file(tmp_path, f"{heading},\n{row},0.70\n")).rows())

    assert rows[0].refused == "Something stands behind the last column."
