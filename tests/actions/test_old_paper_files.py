"""The files that old paper comes in: encodings, separators, workbooks, templates, and what is no table at all."""

from datetime import datetime
from io import BytesIO

import pytest
from openpyxl import Workbook, load_workbook

from app.actions.old_paper import Checked, Setting, check_paper
from app.actions.reading_file import COLUMNS, FileRefused, ReadingText, decoded
from app.actions.workbook_file import is_workbook, text_of_workbook
from app.domain.overhaul import Machine
from app.reports.reading_template import csv_template, workbook_template
from tests.builders import NOW
from tests.old_paper import a_row, a_sheet, a_table

MACHINE = Machine(1, "GA-1", "QM-0141", "Governor air", "Quillmoor", "QM-GA")


def looked_through(text: str) -> Checked:
    """A text looked through, for a machine of which the book knows nothing else."""
    setting = Setting(MACHINE, a_sheet(), (), (), frozenset())
    return check_paper(ReadingText(text), setting, NOW, lambda *_: None)


WRITTEN = [("utf-8-sig", ";", ","), ("cp1252", "\t", ","), ("utf-16", ";", ","), ("utf-8", ",", ".")]


def test_it_reads_what_spreadsheets_write() -> None:
    for encoding, separator, point in WRITTEN:
        row = a_row("2.pin", "diameter", value=f"21{point}99", measured_by="J. Größe", date="02.03.1999", hours="9350")

        found = looked_through(decoded(a_table([row], separator).encode(encoding)))

        assert [(r.written, r.measured_by) for r in found.ready[0].readings] == [(f"21{point}99 mm", "J. Größe")]


def test_columns_that_are_missing_unknown_or_twice_refuse_the_file_with_every_fault() -> None:
    with pytest.raises(FileRefused) as refusal:
        looked_through("overhaul,part,valeu,part\n1,2.pin,21.9,2.pin\n")

    said = str(refusal.value)
    assert all(words in said for words in ("Column 3: no column “valeu”", "“part” stands there 2 times", "“hours” is"))


def test_a_million_rows_are_refused_in_words_at_the_first_row_too_many() -> None:
    row = "1,9350,1999-03-02,2.pin,diameter,21.99\n"

    with pytest.raises(FileRefused, match=r"More than 20000 rows \(line 20002\)"):
        looked_through("overhaul,hours,date,part,characteristic,value\n" + row * 1_000_000)


def test_what_is_no_text_is_refused() -> None:
    for text in ("overhaul\0", "x" * 70_000):
        with pytest.raises(FileRefused, match="no text"):
            ReadingText(text)


def test_both_templates_come_in_as_they_are_once_a_row_is_filled() -> None:
    table = decoded(csv_template(a_sheet(), "GA-1", COLUMNS))
    workbook = load_workbook(BytesIO(workbook_template(a_sheet(), "GA-1", COLUMNS)))
    cells = {name: number for number, name in enumerate(COLUMNS, start=1)}
    sheet = workbook["Readings"]
    line = next(row[0].row for row in sheet.iter_rows() if row[cells["part"] - 1].value == "2.pin"
                and row[cells["characteristic"] - 1].value == "diameter")  # fmt: skip
    for column, value in {"value": 21.99, "hours": 9350, "date": datetime(1999, 3, 2)}.items():  # noqa: DTZ001
        sheet.cell(line, cells[column], value)
    file = BytesIO()
    workbook.save(file)

    assert is_workbook(file.getvalue())
    found = looked_through(text_of_workbook(file.getvalue()))

    assert looked_through(table).row_count == 0
    assert (found.lines, found.row_count) == ([], 1)
    assert [(r.written, r.id) for r in found.ready[0].readings] == [("21.99 mm", str(line))]
    assert found.ready[0].on.isoformat() == "1999-03-02"


def test_workbook_that_is_none_or_too_long_or_unpacks_to_too_much_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    long, file = Workbook(), BytesIO()
    for number in range(9):
        long.worksheets[0].append([number])
    long.save(file)
    monkeypatch.setattr("app.actions.workbook_file.MOST_ROWS", 8)

    for content, words in ((b"PK\x03\x04 and nothing", "no whole workbook"), (file.getvalue(), "below line 8")):
        with pytest.raises(FileRefused, match=words):
            text_of_workbook(content)
    monkeypatch.setattr("app.actions.workbook_file.MOST_UNPACKED_BYTES", 1000)
    with pytest.raises(FileRefused, match="unpacks to more"):
        text_of_workbook(file.getvalue())
