"""The empty table of readings of a limit sheet: its columns, and one row a place, to be filled from old paper."""

import csv
from collections.abc import Iterator, Sequence
from io import BytesIO, StringIO
from typing import TextIO

from app.domain.limits import LimitSheet, Part
from app.domain.readings import Occasion, Place

# What a column holds, as the page and the workbook say it.
WORDS = {
    "overhaul": "needed: a number or name; the rows of one overhaul have the same",
    "machine": "the machine's tag, or empty",
    "hours": "needed once an overhaul: the operating hours",
    "date": "needed once an overhaul: the day, as 1999-03-02 or 02.03.1999; in other rows the day of gauging",
    "occasion": "as found (so when empty) or as fitted",
    "part": "needed: its reference 2.ring-1, its item 2-03, or its name where only one part has it",
    "characteristic": "its key or name on the sheet; seen for the condition",
    "level": "as on the sheet; may be empty where there is only one",
    "axis": "as on the sheet; may be empty where there is only one",
    "kind": "size, pair, goes, dial, seen or cannot; when empty, told from the columns that are filled",
    "value": "a size, or with set_size the deviation on the dial",
    "goes": "the thickest leaf that goes",
    "does_not_go": "the thinnest leaf that does not go",
    "set_size": "the size a dial was set to",
    "unit": "mm or in; when empty, the sheet's",
    "findings": "what was seen, sound or faults by code or words, with ; between them",
    "reason": "why it cannot be gauged, or a note",
    "instrument": "what it was gauged with",
    "temperature": "of the part, in °C",
    "measured_by": "who gauged",
    "done": "what was done with the part, in one of its rows: reused, reworked or renewed",
    "part_number": "of a renewed part",
    "batch": "of a renewed part: batch or serial number",
    "made_to": "of a reworked bore: the size it was made to",
}


def write_template(sheet: LimitSheet, columns: Sequence[str], file: TextIO, tag: str = "") -> None:
    """Write the columns and one empty row for each place of the sheet, in the order of gauging."""
    table = csv.DictWriter(file, columns, restval="", lineterminator="\n")
    table.writeheader()
    table.writerows(_rows(sheet, tag))


def csv_template(sheet: LimitSheet, tag: str, columns: Sequence[str]) -> bytes:
    """Write the table of one machine with the mark by which spreadsheets know UTF-8."""
    text = StringIO()
    write_template(sheet, columns, text, tag)
    return text.getvalue().encode("utf-8-sig")


def workbook_template(sheet: LimitSheet, tag: str, columns: Sequence[str]) -> bytes:
    """Write the table of one machine as a workbook whose cells are text, so that what is typed stays as typed."""
    from openpyxl import Workbook  # noqa: PLC0415 - heavy, and few ask for it
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415 - heavy, and few ask for it

    book = Workbook(write_only=True)
    readings, words = book.create_sheet("Readings"), book.create_sheet("Columns")
    readings.freeze_panes = "A2"
    for row in (dict(zip(columns, columns, strict=True)), *_rows(sheet, tag)):
        cells = [WriteOnlyCell(readings, row.get(column, "")) for column in columns]
        for cell in cells:
            cell.number_format, cell.data_type = "@", "s"
        readings.append(cells)
    for column in columns:
        words.append([column, WORDS[column]])
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def _rows(sheet: LimitSheet, tag: str) -> Iterator[dict[str, str]]:
    """Give the row of every place."""
    for part in sheet.parts:
        for place in part.required:
            yield _row(part, place) | ({"overhaul": "1", "machine": tag} if tag else {})


def _row(part: Part, place: Place) -> dict[str, str]:
    """Give the row of one place, filled as far as the sheet knows."""
    characteristic = part.characteristic(place.characteristic)
    return {
        "occasion": Occasion.AS_FOUND.value,
        "part": place.part,
        "characteristic": place.characteristic,
        "level": place.level,
        "axis": place.axis,
        "unit": characteristic.unit.value if characteristic else "",
    }
