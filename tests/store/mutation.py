"""The attacker of the mutation test: takes every seal off a copy of the book, and changes one cell after another."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from random import Random

from app.actions.verifying import verify_book
from app.settings import Settings
from app.store.book import Book

# An index of words keeps tables of its own; they are the index's, and not the book's.
TABLES = """SELECT name FROM pragma_table_list WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"""
SEALS = "SELECT name FROM sqlite_master WHERE type = 'trigger'"


@dataclass(frozen=True)
class Cell:
    """One column of one row."""

    table: str
    row: int
    column: str

    def __str__(self) -> str:
        return f"{self.table}.{self.column}, row {self.row}"


class Attacker:
    """Somebody who may write the file, past the program and past every trigger."""

    def __init__(self, path: Path, settings: Settings) -> None:
        """Open a copy of the book, beside whose original lie the site's key and the file of signed heads."""
        self.book, self.settings = Book(path), settings
        self.file = sqlite3.connect(path, isolation_level=None)
        self.file.execute("PRAGMA synchronous = OFF")  # Nothing needs to survive.
        for (seal,) in self.file.execute(SEALS).fetchall():
            self.file.execute(f"DROP TRIGGER {seal}")

    def close(self) -> None:
        """Let go of the file."""
        self.file.close()
        self.book.close()

    def tables(self) -> list[str]:
        """Every table that the file has."""
        return [name for (name,) in self.file.execute(TABLES)]

    def cells(self, table: str) -> list[Cell]:
        """Every cell of a table."""
        columns = [row[1] for row in self.file.execute(f"PRAGMA table_info({table})")]
        rows = [row for (row,) in self.file.execute(f"SELECT rowid FROM {table} ORDER BY rowid")]
        return [Cell(table, row, column) for row in rows for column in columns]

    def unseen(self, cell: Cell, chance: Random | None = None, most: int = 0) -> Iterator[object]:
        """Change a cell to one thing after another, and give each that the verification has not found and named."""
        where = f"WHERE rowid = {cell.row}"
        (before,) = self.file.execute(f'SELECT "{cell.column}" FROM {cell.table} {where}').fetchone()
        every = others(before)
        for other in chance.sample(every, min(most, len(every))) if chance else every:
            try:
                self.file.execute(f'UPDATE {cell.table} SET "{cell.column}" = ? {where}', (other,))
            except (sqlite3.IntegrityError, sqlite3.OperationalError):
                continue  # The database itself does not take it.
            if not any(is_named(cell, fault) for fault in self.faults()):
                yield other
            self._put_back(cell, before, other)

    def is_missed(self, cell: Cell) -> bool:
        """Whether the verification names what is missing when the row of a cell is taken out; then put it back."""
        row = self.file.execute(f"SELECT * FROM {cell.table} WHERE rowid = {cell.row}").fetchone()
        self.file.execute(f"DELETE FROM {cell.table} WHERE rowid = {cell.row}")
        faults = self.faults()
        self.file.execute(f"INSERT INTO {cell.table} VALUES ({', '.join('?' * len(row))})", row)
        is_last_entry = cell.table == "entry"  # the chain's end is held by the row that it speaks of
        return any(is_named(cell, fault) or is_last_entry for fault in faults)

    def _put_back(self, cell: Cell, before: object, other: object) -> None:
        """Write what stood there before; a row that was given another number is found by that."""
        key = [
            row[1] for row in self.file.execute(f"PRAGMA table_info({cell.table})") if row[5] and row[2] == "INTEGER"
        ]
        row = other if cell.column in key else cell.row
        self.file.execute(f'UPDATE {cell.table} SET "{cell.column}" = ? WHERE rowid = ?', (before, row))

    def faults(self) -> tuple[str, ...]:
        """What the book's own verification says."""
        return verify_book(self.book, self.settings).faults


def is_named(cell: Cell, fault: str) -> bool:
    """Whether a fault says where it is."""
    where = {"entry": f"broken at entry {cell.row}:", "alembic_version": "The book is of revision"}
    return where.get(cell.table, f"{cell.table}, ") in fault or f"a row of {cell.table} that is not there" in fault


def others(value: object) -> list[object]:
    """What a value could be changed to, from coarse to a single byte."""
    match value:
        case None:
            return ["", "0"]
        case int():
            return [value + 1000, 1 - value] if value in (0, 1) else [value + 1000]
        case bytes():
            return [value[:-1], value[:3] + bytes([value[3] ^ 1]) + value[4:], value.decode("latin-1")]
        case str() if value:
            middle = len(value) // 2
            flipped = value[:middle] + chr(ord(value[middle]) ^ 1) + value[middle + 1 :]
            return [None, "", flipped, value + " ", " " + value, value + "0", value.encode()]
    return [None, " ", b""]


def copy_of(path: Path, folder: Path) -> Path:
    """A copy of a book, taken while it is open."""
    folder.mkdir(parents=True, exist_ok=True)
    copied = folder / "attacked.db"
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copied)) as target:
        source.backup(target)
    return copied
