"""Puts a backup in the place of the book: verified as a whole before anything is moved, and nothing is thrown away."""

from contextlib import closing
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

from app.domain.errors import WearbookError
from app.store.backup import back_up
from app.store.book import Book
from app.store.chain import chain_head, verify_chain
from app.store.evidence import verify_evidence
from app.store.migration import migrate
from app.store.newer import Head, Newer

BESIDE = ("", "-wal", "-shm")  # The log that SQLite keeps beside a file belongs to that very file.


class NotRestored(WearbookError):
    """The backup was not put in place; the book is as it was."""


RESTORED = "book restored"


def restore(path: Path, backup: Path, by: str, now: datetime, before: Newer | None, left_out: str = "") -> Path | None:
    """Put a backup in the place of a book; give where the book before it stands now, if there was one.

    Who did it, from which backup, how far the book before had come, and what of it is left out is the next entry of
    the chain put in place.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=path.parent, prefix="restoring-") as folder:
        copy = back_up(backup, Path(folder) / path.name)
        _bring_up_to_date_and_verify(copy, backup)
        _enter(copy, backup, (by, now), before, left_out)
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


def _enter(copy: Path, backup: Path, signed: tuple[str, datetime], before: Newer | None, left_out: str) -> None:
    """Enter the restore into the copy, before it is put in place."""
    with closing(Book(copy)) as book:
        with book.reading() as session:
            stands_at = chain_head(session)
        from_backup = {"backup": backup.name, "backup_sha256": sha256(backup.read_bytes()).hexdigest()}
        replaced = _told(before.head) if before and before.head else None
        with book.writing(*signed) as writing:
            writing.enter(RESTORED, "book", replaced, from_backup | _told(stands_at), left_out)


def _told(head: Head) -> dict[str, object]:
    """A head of the chain, as an entry tells it."""
    return {"head": head[0], "head_digest": head[1]}


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
