"""Rows added at the pace of readings: in a file, the statement of a table is worked out once and not for each row."""

import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Connection, Dialect
from sqlalchemy.exc import DBAPIError
from sqlmodel import SQLModel

from app.store.rows import insert_into, table_of

Process = Callable[[Any], Any]


@dataclass(frozen=True)
class _Made:
    """A statement for the columns of a table that are given, in their order, and what turns each value for the file."""

    words: str
    columns: tuple[tuple[str, Process | None], ...]
    key: str  # the column that the file numbers, nothing where the key is given

    def values(self, given: Mapping[str, object]) -> list[object]:
        """Give the values in the order of the columns, as the file keeps them."""
        return [given[name] if process is None else process(given[name]) for name, process in self.columns]


def insert_row(connection: Connection, row: type[SQLModel], values: Mapping[str, object]) -> dict[str, object]:
    """Add a row without making an object of it, and give its primary key by the names of its columns."""
    if connection.dialect.name != "sqlite":
        key: Any = connection.execute(insert_into(row), dict(values)).inserted_primary_key
        return dict(key._mapping)
    made = _made(row, tuple(values), connection.dialect)
    number = _execute(connection, made, made.values(values))
    return {made.key: number} if made.key else {name: values[name] for name in _key_of(row)}


def _execute(connection: Connection, made: _Made, values: list[object]) -> int | None:
    """Let the driver add the row, in the transaction of the connection; its errors are named as everywhere."""
    driver: Any = connection.connection.driver_connection
    try:
        number: int | None = driver.execute(made.words, values).lastrowid
    except sqlite3.Error as reason:
        raise DBAPIError.instance(made.words, values, reason, sqlite3.Error, dialect=connection.dialect) from reason
    return number


@cache
def _key_of(row: type[SQLModel]) -> tuple[str, ...]:
    """Name the columns of a table's primary key."""
    return tuple(column.name for column in table_of(row).primary_key)


@cache
def _made(row: type[SQLModel], names: tuple[str, ...], dialect: Dialect) -> _Made:
    """Work a statement out."""
    table = table_of(row)
    statement = insert_into(row).compile(dialect=dialect, column_keys=list(names))
    columns = ((name, _process(table.c[name].type, dialect)) for name in statement.positiontup or ())
    unnamed = [name for name in _key_of(row) if name not in names]
    return _Made(str(statement), tuple(columns), unnamed[0] if unnamed else "")


def _process(kind: Any, dialect: Dialect) -> Process | None:
    """Give what turns a value of a kind into what the file keeps."""
    found: Process | None = kind.dialect_impl(dialect).bind_processor(dialect)
    return found
