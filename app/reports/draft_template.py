"""The table of a limit sheet as a file to fill in: CSV, or a workbook in which every cell is text."""

import csv
from collections.abc import Iterable, Sequence
from io import BytesIO, StringIO

BOM = "\ufeff"  # by which a spreadsheet program knows the text for UTF-8
WIDEST = 28


def template_csv(columns: Sequence[str], rows: Iterable[dict[str, str]]) -> bytes:
    """Write the table as CSV."""
    text = StringIO()
    table = csv.DictWriter(text, columns, restval="", lineterminator="\r\n")
    table.writeheader()
    table.writerows(rows)
    return f"{BOM}{text.getvalue()}".encode()


def template_workbook(columns: Sequence[str], rows: Iterable[dict[str, str]]) -> bytes:
    """Write the table as a workbook; its cells are text, so that 0.70 stays 0.70 and nothing is worked out."""
    from openpyxl import Workbook  # noqa: PLC0415 - heavy, and few ask for it
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - heavy, and few ask for it

    book = Workbook()
    book.remove(book.worksheets[0])
    sheet = book.create_sheet("limits")
    sheet.freeze_panes = "A2"
    for line, row in enumerate([dict(zip(columns, columns, strict=True)), *rows], start=1):
        for place, column in enumerate(columns, start=1):
            cell = sheet.cell(line, place)
            cell.number_format = "@"
            cell.value = row.get(column) or None
    for place, column in enumerate(columns, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = min(WIDEST, len(column) + 4)
    file = BytesIO()
    book.save(file)
    return file.getvalue()
