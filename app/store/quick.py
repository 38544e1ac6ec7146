"""Rows added and looked up at the pace of readings: in a file, a statement is worked out once and not each time."""

import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select
from sqlalchemy.dialects import sqlite
from sqlalchemy.exc import DBAPIError
from sqlmodel import SQLModel

from app.store.rows import insert_into, table_of

FILE = sqlite.dialect()
Process = Callable[[Any], Any]


@dataclass(frozen=True)
class Made:
    """The words of a statement, with the names of its values in their order and what turns each for the file."""

    words: str
    names: tuple[tuple[str, Process | None], ...]
    own: Mapping[str, object]  # the values that stand in the statement itself

    def values(self, given: Mapping[str, object]) -> list[object]:
        """Give the values in their order, as the file keeps them."""
        said = {**self.own, **given} if self.own else given
        return [said[name] if process is None else process(said[name]) for name, process in self.names]

    def run(self, connection: Connection, given: Mapping[str, object]) -> sqlite3.Cursor:
        """Let the driver run it in the transaction of the connection; its errors are named as everywhere."""
        values = self.values(given)
        driver: Any = connection.connection.driver_connection
        try:
            found: sqlite3.Cursor = driver.execute(self.words, values)
        except sqlite3.Error as reason:
            raise DBAPIError.instance(self.words, values, reason, sqlite3.Error, dialect=FILE) from reason
        return found


def insert_row(connection: Connection, row: type[SQLModel], values: Mapping[str, object]) -> dict[str, object]:
    """Add a row without making an object of it, and give its primary key by the names of its columns."""
    if connection.dialect.name != FILE.name:
        key: Any = connection.execute(insert_into(row), dict(values)).inserted_primary_key
        return dict(key._mapping)
    number = _insert(row, tuple(values)).run(connection, values).lastrowid
    return {name: values.get(name, number) for name in _key_of(row)}  # the file numbers a key that is not given


def look_up(connection: Connection, statement: Select[Any], values: Mapping[str, object]) -> list[tuple[Any, ...]]:
    """Give the rows that a statement finds, as plain tuples."""
    if connection.dialect.name != FILE.name:
        return [tuple(row) for row in connection.execute(statement, dict(values))]
    made, readers = _select(statement)
    rows: list[tuple[Any, ...]] = made.run(connection, values).fetchall()
    if not rows or not any(readers):
        return rows
    return [tuple(read(cell) if read else cell for read, cell in zip(readers, row, strict=True)) for row in rows]


@cache
def _insert(row: type[SQLModel], names: tuple[str, ...]) -> Made:
    """Work out the statement that adds a row with these columns."""
    return _made(insert_into(row).compile(dialect=FILE, column_keys=list(names)))


@cache
def _select(statement: Select[Any]) -> tuple[Made, tuple[Process | None, ...]]:
    """Work out a statement, and what turns each of its columns into what the program reads."""
    kinds = (column.type.dialect_impl(FILE) for column in statement.selected_columns)
    return _made(statement.compile(dialect=FILE)), tuple(kind.result_processor(FILE, None) for kind in kinds)


def _made(compiled: Any) -> Made:
    """Take down the words of a statement, and what it asks for."""
    own = {name: value for name, value in compiled.params.items() if value is not None}
    return Made(str(compiled), tuple((name, _process(compiled, name)) for name in compiled.positiontup), own)


def _process(compiled: Any, name: str) -> Process | None:
    """Give what turns a value into what the file keeps."""
    found: Process | None = compiled.binds[name].type.dialect_impl(FILE).bind_processor(FILE)
    return found


@cache
def _key_of(row: type[SQLModel]) -> tuple[str, ...]:
    """Name the columns of a table's primary key."""
    return tuple(column.name for column in table_of(row).primary_key)
