"""The file of the book itself: whether SQLite can read all of it, and whether it has the form this program knows."""

from sqlalchemy import text
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from app.store.migration import newest_revision

MOST_NAMED = 20


def file_faults(session: Session, revision: str | None) -> list[str]:
    """Name what is wrong with the file, before anything in it is believed."""
    try:
        said = list(session.connection().execute(text("PRAGMA integrity_check(20)")).scalars())
        strays = session.connection().execute(text("PRAGMA foreign_key_check")).all()
    except DBAPIError as reason:
        return [f"The file cannot be read ({reason.orig})."]
    faults = [f"The file is damaged: {line}." for line in said if line != "ok"]
    faults += [f"{row[0]}, row {row[1]}, refers to a row of {row[2]} that is not there." for row in strays[:MOST_NAMED]]
    if revision != newest_revision():
        faults.append(f"The book is of revision {revision}; this program knows {newest_revision()}.")
    return faults
