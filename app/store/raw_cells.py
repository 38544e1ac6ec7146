"""The cells of a table as they lie in the database, so that one that only reads like what was written shows too."""

from collections.abc import Callable
from typing import Any

from sqlalchemy import Dialect, RowMapping, Table, select, type_coerce
from sqlalchemy.types import Integer, NullType, String, TypeDecorator, TypeEngine

Convert = Callable[[Any], Any] | None


class NotAsWritten(ValueError):
    """A cell is not in the form in which the book writes what it reads as."""


class RawCells:
    """How one table is read: raw, then as the program knows it, then written again and held against what lay there."""

    def __init__(self, table: Table, dialect: Dialect) -> None:
        kinds = {column.name: column.type.dialect_impl(dialect) for column in table.c}
        self.select: Any = select(*(type_coerce(column, NullType()).label(column.name) for column in table.c))
        self._read: dict[str, Convert] = {name: kind.result_processor(dialect, None) for name, kind in kinds.items()}
        self._write: dict[str, Convert] = {name: kind.bind_processor(dialect) for name, kind in kinds.items()}
        self._lies_as = {name: _lies_as(kind) for name, kind in kinds.items()}

    def values(self, row: RowMapping) -> dict[str, Any]:
        """Give a row as the program knows it; NotAsWritten where a cell could have been written otherwise."""
        return {name: self._value(name, raw) for name, raw in row.items()}

    def _value(self, name: str, raw: object) -> object:
        """Read one cell: " 0.70" reads like 0.70, and so does the number where the text belongs."""
        if raw is None:
            return None
        read, write = self._read[name], self._write[name]
        value = read(raw) if read else raw
        again = write(value) if write else value
        if type(again) is not type(raw) or again != raw or not isinstance(raw, self._lies_as[name]):
            raise NotAsWritten(name)
        return value


def _lies_as(kind: TypeEngine[Any]) -> type:
    """What a cell of this kind must be before it is read; the form of a moment is held by writing it again."""
    plain = kind.impl_instance if isinstance(kind, TypeDecorator) else kind
    return plain.python_type if isinstance(plain, String | Integer) else object
