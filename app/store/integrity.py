"""The database of the book: whether all of it can be read, and whether it has the form that this program knows."""

from sqlalchemy import ForeignKeyConstraint, and_, exists, func, inspect, select, text
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session, SQLModel

from app.store.migration import newest_revision
from app.store.postgres import UNSEALED

MOST_NAMED = 20


def file_faults(session: Session, revision: str | None) -> list[str]:
    """Name what is wrong with the file or the database, before anything in it is believed."""
    is_file = session.connection().dialect.name == "sqlite"
    try:
        faults = _faults_in_file(session) if is_file else _faults_on_server(session)
    except DBAPIError as reason:
        return [f"The {'file' if is_file else 'database'} cannot be read ({reason.orig})."]
    if revision != newest_revision():
        faults.append(f"The book is of revision {revision}; this program knows {newest_revision()}.")
    return faults


def _faults_in_file(session: Session) -> list[str]:
    """Let SQLite read every page."""
    said = list(session.connection().execute(text("PRAGMA integrity_check(20)")).scalars())
    strays = session.connection().execute(text("PRAGMA foreign_key_check")).all()
    faults = [f"The file is damaged: {line}." for line in said if line != "ok"]
    return faults + [
        f"{row[0]}, row {row[1]}, refers to a row of {row[2]} that is not there." for row in strays[:MOST_NAMED]
    ]


def _faults_on_server(session: Session) -> list[str]:
    """Look for rows that refer to nothing, and for tables whose seal was taken off, which a server's keeper can do."""
    there = set(inspect(session.connection()).get_table_names())
    unsealed = session.connection().execute(text(UNSEALED)).scalars()
    return [
        *(words for table in SQLModel.metadata.sorted_tables if table.name in there for key in
          table.foreign_key_constraints for words in _strays(session, key)),
        *(f"The seal of {table} is off: its rows can be changed." for table in unsealed),
    ]  # fmt: skip


def _strays(session: Session, key: ForeignKeyConstraint) -> list[str]:
    """Say how many rows refer to rows that are not there."""
    (element,) = key.elements
    column, other = element.parent, element.column
    is_astray = and_(column.is_not(None), ~exists().where(other == column))
    count = session.connection().execute(select(func.count()).select_from(key.table).where(is_astray)).scalar_one()
    words = f"{count} rows of {key.table.name} refer to rows of {other.table.name} that are not there."
    return [words] if count else []
