"""Brings a book up to the form this version of the program works with, after a verified backup."""

from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from sqlalchemy import Connection, inspect

from app.domain.errors import WearbookError
from app.store.book import Book, revision_of
from app.store.copies import back_up_book, ending

MIGRATIONS = Path(__file__).parents[2] / "migrations"


class NotThisBook(WearbookError):
    """The file is no book, or one that a newer version of the program has written."""


def migrate(book: Book, scripts: Path = MIGRATIONS) -> Path | None:
    """Upgrade a book to the newest form; give the backup that was taken where there was something to back up."""
    stands_at, has_tables = _found(book)
    if stands_at == newest_revision(scripts):
        return None
    _must_be_ours(book, stands_at, has_tables, _revisions(scripts))
    backup = back_up_book(book, _backup_path(book, stands_at)) if stands_at else None
    with book.writer.begin() as connection:
        upgrade(connection, scripts)
    return backup


def upgrade(connection: Connection, scripts: Path = MIGRATIONS) -> None:
    """Bring what a connection leads to into the newest form, within its transaction."""
    from alembic import command  # which takes a tenth of a second, and most starts find nothing to do
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


@cache
def newest_revision(scripts: Path = MIGRATIONS) -> str:
    """Name the form that this version of the program works with."""
    return max(_revisions(scripts))


def _revisions(scripts: Path) -> set[str]:
    """Name every form that there has been, in order; the name of each step's file begins with it."""
    return {path.stem.partition("_")[0] for path in (scripts / "versions").glob("[0-9]*.py")}


def _found(book: Book) -> tuple[str | None, bool]:
    """Look, at one moment, at which migration a book stands, and whether there is any table."""
    with book.reading() as session:
        connection = session.connection()
        return revision_of(connection), bool(inspect(connection).get_table_names())


def _must_be_ours(book: Book, stands_at: str | None, has_tables: bool, known: set[str]) -> None:
    """Refuse to touch what another program, or a later version of this one, has written."""
    if stands_at is None:
        if has_tables:
            raise NotThisBook(f"{book.place} holds something else than a book; it was left alone.")
    elif stands_at not in known:
        raise NotThisBook(
            f"{book.place} was written by a newer version (it stands at {stands_at}). Start that version, "
            "or restore a backup from before."
        )


def _backup_path(book: Book, stands_at: str) -> Path:
    """Name the backup for the book, the form it is in and the moment."""
    moment = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    return book.path.parent / "backups" / f"{book.path.stem}-at-{stands_at}-{moment}{ending(book)}"
