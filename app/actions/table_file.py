"""A table that somebody sends, CSV or workbook: its lines, each with its cells as text."""

import csv
from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from io import BytesIO
from zipfile import BadZipFile, ZipFile

from app.actions.meter_file import MeterFileRefused, read_text
from app.domain.sheet_faults import Fault, SheetRefused

Lines = list[tuple[int, list[str]]]

LARGEST_BYTES = 2_000_000
LARGEST_UNPACKED_BYTES = 40_000_000
MOST_ROWS, MOST_COLUMNS = 3_000, 60
WORKBOOK = b"PK"
SEPARATORS = ",;\t"


def read_lines(content: bytes) -> Lines:
    """Read a CSV file or the first sheet of a workbook; blank lines are passed over."""
    if len(content) > LARGEST_BYTES:
        raise _refused("a file of at most 2 MB, which the table of any sheet is")
    lines = []
    for number, cells in _workbook(content) if content[:2] == WORKBOOK else _csv(content):
        if any(cells):
            lines.append((number, cells))
        if len(lines) > MOST_ROWS:
            raise _refused(f"at most {MOST_ROWS} rows")
    if not lines:
        raise _refused("a first line that names the columns; the file is empty")
    return lines


def _refused(expected: str, line: int | None = None) -> SheetRefused:
    """Refuse the whole file."""
    return SheetRefused([Fault(line, "the file", expected)])


def _csv(content: bytes) -> Iterator[tuple[int, list[str]]]:
    """Take CSV apart by whichever separator its first line holds most of."""
    try:
        text = read_text(content).removeprefix("\ufeff").replace("\0", "\N{REPLACEMENT CHARACTER}")
    except MeterFileRefused as refusal:
        raise _refused(str(refusal)) from None
    first = next((line for line in text.splitlines() if line.strip(f" {SEPARATORS}")), "")
    reader = csv.reader(text.splitlines(), delimiter=max(SEPARATORS, key=first.count), strict=True)
    line = 1
    try:
        for cells in reader:
            yield line, [cell.strip() for cell in cells]
            line = reader.line_num + 1
    except csv.Error:
        raise _refused("a quotation mark that is closed again", line) from None


def _workbook(content: bytes) -> Iterator[tuple[int, list[str]]]:
    """Take the first sheet of a workbook apart; a formula counts with the figure it last gave."""
    # Imported when used, so that the server starts fast.
    from openpyxl import load_workbook  # noqa: PLC0415

    try:
        if sum(each.file_size for each in ZipFile(BytesIO(content)).infolist()) > LARGEST_UNPACKED_BYTES:
            raise _refused("a workbook that unpacks to at most 40 MB")
        book = load_workbook(BytesIO(content), read_only=True, data_only=True)
        rows = book.worksheets[0].iter_rows(max_row=MOST_ROWS * 2, max_col=MOST_COLUMNS, values_only=True)
        yield from ((number, [_cell(value) for value in row]) for number, row in enumerate(rows, start=1))
    except (BadZipFile, KeyError, IndexError, ValueError, OSError, TypeError, AttributeError):
        raise _refused("a workbook (.xlsx) with a sheet in it, or a CSV file") from None


def _cell(value: object) -> str:
    """Write the value of a cell as somebody would have typed it."""
    if isinstance(value, float):
        return f"{Decimal(repr(value)).normalize():f}"
    if isinstance(value, datetime):
        return f"{value:%Y-%m-%d}"
    return "" if value is None else str(value).strip()
