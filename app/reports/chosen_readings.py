"""Readings that were chosen by an auditor, as a table that a spreadsheet reads."""

import csv
from collections.abc import Iterable
from io import StringIO

from app.reports.verdict_files import spoken

COLUMNS = (
    "overhaul", "hours", "measured_at", "measured_at_site", "stored_at", "stored_at_site",
    "item", "part", "name", "characteristic", "level", "axis",
    "occasion", "reading", "unit", "instrument", "measured_by", "entered_by", "limits", "sheet", "verdict", "reason",
    "id", "from_paper", "amended_to", "by_amended_values",
)  # fmt: skip


def chosen_csv(rows: Iterable[tuple[object, ...]]) -> bytes:
    """Write the readings with the mark by which spreadsheets know UTF-8; no cell is worked out as a formula."""
    file = StringIO()
    lines = (COLUMNS, *rows)
    csv.writer(file, lineterminator="\r\n").writerows([spoken(cell) for cell in line] for line in lines)
    return file.getvalue().encode("utf-8-sig", errors="replace")
