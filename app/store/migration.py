"""Brings a book up to the form this version of the program works with, after a verified backup."""

from datetime import UTC, datetime
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from app.domain.errors import WearbookError
from app.store.backup import back_up
from app.store.book import Book

MIGRATIONS = Path(__file__).parents[2] / "migrations"


class NotThisBook(WearbookError):
    """The file is no book, or one that a newer version of the program has written."""


def migrate(book: Book, scripts: Path = MIGRATIONS) -> Path | None:
    """Upgrade a book to the newest form; give the backup that was taken where there was something to back up."""
    config = _configuration(scripts)
    known = ScriptDirectory.from_config(config)
    stands_at, newest = book.revision(), known.get_current_head()
    if stands_at == newest:
        return None
    _must_be_ours(book, stands_at, {script.revision for script in known.walk_revisions()})
    backup = back_up(book.path, _backup_path(book.path, stands_at)) if stands_at else None
    with book.writer.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
    return backup


def newest_revision(scripts: Path = MIGRATIONS) -> str | None:
    """Name the form that this version of the program works with."""
    return ScriptDirectory.from_config(_configuration(scripts)).get_current_head()


def _configuration(scripts: Path) -> Config:
    """Configure the migrations without a file of settings."""
    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _must_be_ours(book: Book, stands_at: str | None, known: set[str]) -> None:
    """Refuse to touch what another program, or a later version of this one, has written."""
    if stands_at is None:
        with book.reading() as session:
            if inspect(session.connection()).get_table_names():
                raise NotThisBook(f"{book.path} holds something else than a book; it was left alone.")
    elif stands_at not in known:
        raise NotThisBook(
            f"{book.path} was written by a newer version (it stands at {stands_at}). Start that version, "
            "or restore a backup from before."
        )


def _backup_path(path: Path, stands_at: str) -> Path:
    """Name the backup for the book, the form it is in and the moment."""
    moment = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    return path.parent / "backups" / f"{path.stem}-at-{stands_at}-{moment}{path.suffix}"
