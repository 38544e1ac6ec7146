"""The list to order as a table that a spreadsheet reads."""

import csv
from collections.abc import Sequence
from io import StringIO

from app.domain.parts_ahead import ToOrder
from app.reports.verdict_files import spoken

COLUMNS = (
    "number", "name", "oversize", "kit", "needed", "on hand", "best before", "covered", "to order", "delivery days",
    "order by", "for", "why",
)  # fmt: skip


def order_csv(lines: Sequence[ToOrder]) -> bytes:
    """Write the list with the mark by which spreadsheets know UTF-8; no cell is worked out as a formula."""
    file = StringIO()
    rows = (COLUMNS, *(_row(line) for line in lines))
    csv.writer(file, lineterminator="\r\n").writerows([spoken(cell) for cell in row] for row in rows)
    return file.getvalue().encode("utf-8-sig")


def _row(line: ToOrder) -> tuple[object, ...]:
    """One part number."""
    order, stock = line.order, line.stock
    openings = dict.fromkeys(f"{need.opening.tag} {need.opening.on.isoformat()}" for need in line.needs)
    return (
        order.number,
        order.name,
        line.needs[0].oversize,
        order.kit,
        line.needed,
        stock.on_hand if stock else "",
        stock.best_before or "" if stock else "",
        line.covered,
        line.quantity,
        "" if order.delivery_days is None else order.delivery_days,
        line.order_by or "",
        "; ".join(openings),
        " | ".join(dict.fromkeys(need.why for need in line.needs)),
    )
