"""Moments reckoned by the database, which each kind of it does in words of its own."""

from datetime import datetime
from typing import Any

from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.compiler import SQLCompiler
from sqlalchemy.sql.functions import FunctionElement
from sqlmodel.sql.sqltypes import UTCDateTime


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
