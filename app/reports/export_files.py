"""Tables as files: CSV written row by row, and a workbook whose cells are text or numbers and never formulas."""

import csv
import re
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from io import StringIO
from tempfile import TemporaryFile

from app.domain.overhaul import Overhaul
from app.reports.export_tables import COLUMNS, Cell, Row, table_rows
from app.reports.site_times import with_site_time
from app.reports.verdict_files import spoken

PIECE = 64 * 1024
LONGEST_CELL = 32_000  # a spreadsheet takes 32,767
UNREADABLE = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")

Overhauls = Callable[[], Iterable[Overhaul]]


def csv_file(name: str, overhauls: Iterable[Overhaul], zone: str) -> Iterator[bytes]:
    """Write one table as CSV, with the mark by which spreadsheets know UTF-8."""
    yield "\ufeff".encode()
    columns, rows = with_site_time(COLUMNS[name], table_rows(name, overhauls), zone)
    yield _line(columns)
    for row in rows:
        yield _line([spoken("" if cell is None else cell) for cell in row])


def _line(cells: Iterable[object]) -> bytes:
    """Write one row."""
    text = StringIO()
    csv.writer(text, lineterminator="\r\n").writerow(cells)
    return text.getvalue().encode(errors="replace")


def workbook(overhauls: Overhauls, zone: str) -> Iterator[bytes]:
    """Write a workbook, a sheet for each table; it is put together in a file of its own and handed on from there."""
    from openpyxl import Workbook  # noqa: PLC0415 - heavy, and few ask for it

    book = Workbook(write_only=True)
    for name in COLUMNS:
        sheet = book.create_sheet(name)
        sheet.freeze_panes = "A2"
        columns, rows = with_site_time(COLUMNS[name], table_rows(name, overhauls()), zone)
        sheet.append([_cell(sheet, column) for column in columns])
        for row in rows:
            sheet.append([_cell(sheet, cell) for cell in row])
    with TemporaryFile() as file:
        book.save(file)
        file.seek(0)
        while piece := file.read(PIECE):
            yield piece


def _cell(sheet: object, content: Cell) -> object:
    """Write a cell; a text is marked as one, so that whatever it begins with is never worked out."""
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415 - heavy, and few ask for it

    if content is None or isinstance(content, (int, Decimal)):
        return content
    cell = WriteOnlyCell(sheet, UNREADABLE.sub("\N{REPLACEMENT CHARACTER}", content)[:LONGEST_CELL])  # type: ignore[arg-type]
    cell.data_type = "s"
    return cell


__all__ = ["Row", "csv_file", "workbook"]
