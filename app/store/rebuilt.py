"""A book of its own made from an export, so that all that shows a book shows what came from elsewhere."""

from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import Table, insert

from app.domain.errors import WearbookError
from app.store.book import Book
from app.store.export import OVERHAUL, all_tables, columns_of
from app.store.migration import migrate
from app.store.photo_rows import PhotoFileRow
from app.store.rows import MachineRow, PersonRow, SheetRevisionRow, table_of
from app.store.site_signatures import HEAD

READ: dict[str, Callable[[Any], Any]] = {
    "moment": datetime.fromisoformat,
    "day": date.fromisoformat,
    "digits": Decimal,
}
UNREADABLE = (KeyError, TypeError, ValueError, AttributeError, ArithmeticError)
Row = dict[str, Any]


class NotRebuilt(WearbookError):
    """An export that this version of the program cannot read back."""


def rebuild(export: Row, picture: Callable[[str], bytes], folder: Path) -> Book:
    """Make a book in a folder from an export; it is no copy of the other book, and holds no more than the export."""
    book = Book(folder / "book.db")
    migrate(book)
    try:
        rows = list(_rows(export))
    except UNREADABLE as reason:
        book.close()
        raise NotRebuilt(
            f"The bundle was made by another version of the program: {type(reason).__name__} {reason}."
        ) from None
    pictures = {row["digest"] for table, row in rows if table.name == "photo"}
    with closing(book.writer.raw_connection()) as connection:
        # An export of one record leaves out what its rows refer to elsewhere in the other book.
        connection.cursor().execute("PRAGMA foreign_keys = OFF")
    with book.writer.begin() as kept:
        for table, row in rows:
            kept.execute(insert(table), row)
        for digest in sorted(pictures):
            kept.execute(insert(table_of(PhotoFileRow)), {"digest": digest, "content": picture(digest)})
    return book


def _rows(export: Row) -> Iterator[tuple[Table, Row]]:
    """Give every row of an export with its table, as the program knows it."""
    tables = all_tables()
    lists = [
        ("people", table_of(PersonRow)),
        ("machines", table_of(MachineRow)),
        ("sheets", table_of(SheetRevisionRow)),
    ]
    lists += [("overhauls", OVERHAUL), ("entries", tables["entry"]), ("signed_heads", HEAD)]
    lists += [(name, table) for name, table in tables.items() if name in export]
    for name, table in lists:
        for row in export[name]:
            yield table, _values(table, row)
            inside = {key: value for key, value in row.items() if isinstance(value, list) and key in tables}
            yield from ((tables[key], _values(tables[key], each)) for key, every in inside.items() for each in every)


def _values(table: Table, row: Row) -> Row:
    """Read a row's values; what never leaves a book, such as digests of passwords, is empty."""
    kinds = columns_of(table)
    strange = {name for name, value in row.items() if name not in kinds and not isinstance(value, list)}
    if strange:
        raise KeyError(f"{table.name} has no {', '.join(sorted(strange))}")
    values = {name: _value(kind, _cell(row, name, kind, may_lack)) for name, (kind, may_lack) in kinds.items()}
    return values | {column.name: "" for column in table.c if column.name not in kinds}


def _cell(row: Row, name: str, kind: str, may_lack: bool) -> Any:
    """Give a cell; a column that came later than the version which exported the row stands empty."""
    if name in row:
        return row[name]
    if not may_lack and kind != "text":
        raise KeyError(name)
    return None if may_lack else ""


def _value(kind: str, value: Any) -> Any:
    """Read one value."""
    return value if value is None or kind not in READ else READ[kind](value)
