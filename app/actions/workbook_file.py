"""A table of readings in a workbook (xlsx), as the text of the table that a spreadsheet would save from it."""

import csv
from collections.abc import Iterator
from datetime import date, datetime
from io import BytesIO, StringIO
from zipfile import BadZipFile, ZipFile

from app.actions.reading_file import FileRefused

MARK = b"PK\x03\x04"
MOST_UNPACKED_BYTES = 64 * 1024 * 1024
MOST_ROWS, MOST_COLUMNS = 25_000, 60
SHEET = "Readings"


def is_workbook(content: bytes) -> bool:
    """Whether the bytes are those of a workbook and no text."""
    return content.startswith(MARK)


def text_of_workbook(content: bytes) -> str:
    """Write the sheet named Readings, or the first, as text; every row keeps its line."""
    from openpyxl import load_workbook  # noqa: PLC0415 - heavy, and few ask for it

    _must_be_bounded(content)
    try:
        book = load_workbook(BytesIO(content), read_only=True, data_only=True)
        sheet = book[SHEET] if SHEET in book.sheetnames else book.worksheets[0]
        text = StringIO()
        csv.writer(text, delimiter="\t", lineterminator="\n").writerows(_rows(sheet.iter_rows(values_only=True)))
    except FileRefused:
        raise
    except Exception:
        raise FileRefused("The file cannot be read as a workbook (xlsx). Save it anew, or as CSV in UTF-8.") from None
    return text.getvalue()


def _must_be_bounded(content: bytes) -> None:
    """Refuse a workbook that unpacks to more than any table, before it is unpacked."""
    try:
        with ZipFile(BytesIO(content)) as packed:
            size = sum(each.file_size for each in packed.infolist())
    except BadZipFile:
        raise FileRefused("The file is no whole workbook. Save it anew, or as CSV in UTF-8.") from None
    if size > MOST_UNPACKED_BYTES:
        raise FileRefused("This workbook unpacks to more than a table of readings holds. Bring it in in parts.")


def _rows(rows: Iterator[tuple[object, ...]]) -> Iterator[list[str]]:
    """Give the cells of each row as text."""
    width = 0
    for number, cells in enumerate(rows, start=1):
        if number > MOST_ROWS:
            raise FileRefused(f"The sheet goes on below line {MOST_ROWS}. Bring it in in parts.")
        texts = [_text(cell) for cell in cells[:MOST_COLUMNS]]
        filled = max((place for place, text in enumerate(texts, start=1) if text), default=0)
        width = width or filled  # that of the heading; a workbook has no cells where nothing stands
        yield texts[:filled] + [""] * (width - filled) if filled else []


def _text(cell: object) -> str:
    """Write a cell as it would be typed: dates by year, month and day, figures with a point."""
    if isinstance(cell, datetime | date):
        return cell.isoformat()[:10]
    return "" if cell is None else " ".join(str(cell).split())
