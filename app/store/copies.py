"""A verified copy of a book, whichever database it stands in."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from app.store.backup import BackupFailed, back_up, must_hold
from app.store.book import Book
from app.store.chain import chain_head
from app.store.dump import dump, verify_dump
from app.store.postgres import COPY_ALONE


def back_up_book(book: Book, target: Path) -> Path:
    """Copy a book; the copy is read again and holds the chain as it was before. One that is there already is kept."""
    with book.reading() as session:
        head = chain_head(session)
    if book.is_file:
        if not target.exists():
            back_up(book.path, target)
        must_hold(target, head)
    elif target.exists():
        verify_dump(target, head)
    else:
        dump(book.url, target, head)
    return target


@contextmanager
def one_copy_at_a_time(book: Book) -> Iterator[None]:
    """Let the processes that serve a book copy it one after the other."""
    try:
        with book.reading() as session:
            if not book.is_file:
                session.connection().exec_driver_sql(COPY_ALONE)
            yield
    except DBAPIError as reason:
        raise BackupFailed(f"{book.place}: {' '.join(str(reason.orig).split())}") from reason


def ending(book: Book) -> str:
    """Give the ending of a copy's name."""
    return ".db" if book.is_file else ".dump"
