"""A workbook (xlsx) that somebody sends: the cells of one of its sheets, as they would have been typed."""

import csv
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO, StringIO
from zipfile import BadZipFile, ZipFile

from app.actions.reading_file import FileRefused
from app.domain.errors import WearbookError

MARK = b"PK\x03\x04"
MOST_UNPACKED_BYTES = 64 * 1024 * 1024
MOST_ROWS, MOST_COLUMNS = 25_000, 60
SHEET = "Readings"


class NoWorkbook(WearbookError):
    """The file is no whole workbook."""


class WorkbookTooLarge(WearbookError):
    """The workbook unpacks to more than any table, or its sheet is longer."""


def is_workbook(content: bytes) -> bool:
    """Whether the bytes are those of a workbook and no text."""
    return content.startswith(MARK)


def rows_of_workbook(content: bytes, most_rows: int, named: str = "") -> list[list[str]]:
    """Give the rows of the sheet of this name, or of the first, as text; a formula counts with its last figure.

    NoWorkbook and WorkbookTooLarge say what cannot be; nothing is unpacked before its size is known.
    """
    from openpyxl import load_workbook  # noqa: PLC0415 - heavy, and few ask for it

    _must_be_bounded(content)
    try:
        book = load_workbook(BytesIO(content), read_only=True, data_only=True)
        sheet = book[named] if named in book.sheetnames else book.worksheets[0]
        rows = sheet.iter_rows(max_row=most_rows + 1, max_col=MOST_COLUMNS, values_only=True)
        found = [[_text(cell) for cell in cells] for cells in rows]
    except Exception:
        raise NoWorkbook("The file cannot be read as a workbook (xlsx). Save it anew, or as CSV in UTF-8.") from None
    if len(found) > most_rows:
        raise WorkbookTooLarge(f"The sheet goes on below line {most_rows}. Bring it in in parts.")
    return found


def text_of_workbook(content: bytes) -> str:
    """Write the sheet named Readings, or the first, as the text of a table; every row keeps its line."""
    text = StringIO()
    try:
        rows = rows_of_workbook(content, MOST_ROWS, SHEET)
    except (NoWorkbook, WorkbookTooLarge) as refusal:
        raise FileRefused(str(refusal)) from None
    csv.writer(text, delimiter="\t", lineterminator="\n").writerows(_as_wide_as_the_heading(rows))
    return text.getvalue()


def _must_be_bounded(content: bytes) -> None:
    """Refuse a workbook that unpacks to more than any table, before it is unpacked."""
    try:
        with ZipFile(BytesIO(content)) as packed:
            size = sum(each.file_size for each in packed.infolist())
    except BadZipFile:
        raise NoWorkbook("The file is no whole workbook. Save it anew, or as CSV in UTF-8.") from None
    if size > MOST_UNPACKED_BYTES:
        raise WorkbookTooLarge("This workbook unpacks to more than a table holds. Bring it in in parts.")


def _as_wide_as_the_heading(rows: list[list[str]]) -> Iterator[list[str]]:
    """Give each row as many cells as the heading has, since a workbook has none where nothing stands."""
    width = 0
    for texts in rows:
        filled = max((place for place, text in enumerate(texts, start=1) if text), default=0)
        width = width or filled
        yield texts[:filled] + [""] * (width - filled) if filled else []


def _text(cell: object) -> str:
    """Write a cell as it would be typed: dates by year, month and day, figures with a point and no power."""
    if isinstance(cell, datetime | date):
        return cell.isoformat()[:10]
    if isinstance(cell, float):
        return f"{Decimal(repr(cell)).normalize():f}"
    return "" if cell is None else " ".join(str(cell).split())
