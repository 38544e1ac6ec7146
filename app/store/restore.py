"""Puts a backup in the place of the book: verified as a whole before anything is moved, and nothing is thrown away."""

from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from app.domain.errors import WearbookError
from app.store.backup import back_up
from app.store.book import Book
from app.store.chain import verify_chain
from app.store.evidence import verify_evidence
from app.store.migration import migrate

BESIDE = ("", "-wal", "-shm")  # The log that SQLite keeps beside a file belongs to that very file.


class NotRestored(WearbookError):
    """The backup was not put in place; the book is as it was."""


def restore(path: Path, backup: Path) -> Path | None:
    """Put a backup in the place of a book; give where the book before it stands now, if there was one."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=path.parent, prefix="restoring-") as folder:
        copy = back_up(backup, Path(folder) / path.name)
        _bring_up_to_date_and_verify(copy, backup)
        aside = _set_aside(path)
        copy.rename(path)
    return aside


def _bring_up_to_date_and_verify(copy: Path, backup: Path) -> None:
    """Migrate the copy, and refuse one whose chain or rows are not as they were written."""
    book = Book(copy)
    try:
        migrate(book)
        with book.reading() as session:
            broken, altered = verify_chain(session), verify_evidence(session)
    finally:
        book.close()
    if broken or altered:
        what = f"entry {broken} of its chain is not as written" if broken else f"{altered[0]} is not as entered"
        raise NotRestored(f"{backup} was not put in place: {what}. The book was left as it is.")


def _set_aside(path: Path) -> Path | None:
    """Rename the present book, with what SQLite keeps beside it."""
    moment = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
    aside = path.with_name(f"{path.stem}-set-aside-{moment}{path.suffix}")
    was_there = path.exists()
    for end in BESIDE:
        old = path.with_name(path.name + end)
        if old.exists():
            old.rename(aside.with_name(aside.name + end))
    return aside if was_there else None
