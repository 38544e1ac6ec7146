"""A table that somebody sends, CSV or workbook: its lines, each with its cells as text."""

import csv
from collections.abc import Iterator

from app.actions.meter_file import MeterFileRefused, read_text
from app.actions.workbook_file import NoWorkbook, WorkbookTooLarge, is_workbook, rows_of_workbook
from app.domain.sheet_faults import Fault, SheetRefused

Lines = list[tuple[int, list[str]]]

LARGEST_BYTES = 2_000_000
MOST_ROWS = 3_000
SEPARATORS = ",;\t"


def read_lines(content: bytes) -> Lines:
    """Read a CSV file or the first sheet of a workbook; blank lines are passed over."""
    if len(content) > LARGEST_BYTES:
        raise _refused("a file of at most 2 MB, which the table of any sheet is")
    lines = []
    for number, cells in _workbook(content) if is_workbook(content) else _csv(content):
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
    """Take the first sheet of a workbook apart."""
    try:
        yield from enumerate(rows_of_workbook(content, MOST_ROWS * 2), start=1)
    except NoWorkbook:
        raise _refused("a workbook (.xlsx) with a sheet in it, or a CSV file") from None
    except WorkbookTooLarge as refusal:
        raise _refused(f"the table of one sheet. {refusal}") from None
