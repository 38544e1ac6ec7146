"""Moments in the database, which each kind of it writes, reads and reckons with in a way of its own."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from sqlalchemy import Dialect
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.compiler import SQLCompiler
from sqlalchemy.sql.functions import FunctionElement
from sqlmodel.sql.sqltypes import UTCDateTime


class Moment(UTCDateTime):
    """A moment of which very many are read: from a file without a detour, in the one form in which it is written."""

    cache_ok = True

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], datetime | None] | None:
        """Read a moment of a file, which is in UTC without saying so; a server's driver gives them by itself."""
        if dialect.name == "sqlite":
            return _read
        return super().result_processor(dialect, coltype)


def _read(text: str | None) -> datetime | None:
    """Read a moment of a file."""
    return None if text is None else datetime.fromisoformat(f"{text}+00:00")


class days_before(FunctionElement[datetime]):  # noqa: N801, as a function of SQL it is written as one
    """A moment and a number of days: so many days before; in a file cut to the second, and so never later."""

    name = "days_before"
    type = UTCDateTime()
    inherit_cache = True


@compiles(days_before, "sqlite")
def _in_a_file(element: days_before, compiler: SQLCompiler, **given: Any) -> str:
    moment, days = (compiler.process(each, **given) for each in element.clauses)
    return f"datetime({moment}, '-' || {days} || ' days')"


@compiles(days_before, "postgresql")
def _on_a_server(element: days_before, compiler: SQLCompiler, **given: Any) -> str:
    moment, days = (compiler.process(each, **given) for each in element.clauses)
    return f"({moment} - {days} * interval '1 day')"
