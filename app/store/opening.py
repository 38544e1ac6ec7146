"""Opens a book, or says in words why it cannot be opened and which backup there is."""

import sqlite3
from pathlib import Path

from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from app.domain.errors import NotThere, WearbookError
from app.domain.site_seal import fingerprint
from app.store.book import Book
from app.store.migration import migrate
from app.store.postgres import read_address
from app.store.site_key import KeyRefused, find_site_key, open_site_key
from app.store.site_signatures import current_public_key, must_sign_for
from app.store.wholeness import STILL_UNREAD, must_be_whole, take_note, way_out


class CannotOpen(WearbookError):
    """The book cannot be opened as it stands; it was left alone."""


def open_and_migrate(path: Path, backups: Path, *, reads_later: bool = False) -> Book:
    """Open a book whose pages are whole and bring it up to date; CannotOpen names the newest backup.

    Whoever reads the pages later, beside the book's use, has to wait for them only where it was not closed in order.
    """
    book = None
    try:
        is_unread = reads_later and take_note(path)
        if not is_unread:
            must_be_whole(path)
        book = Book(path)
        book.memory[STILL_UNREAD] = is_unread
        migrate(book)
    except (DBAPIError, sqlite3.Error, OSError) as reason:
        if book is not None:
            book.close()
        told = reason.orig if isinstance(reason, DBAPIError) else reason
        raise CannotOpen(f"{path} cannot be opened: {told}. It was left as it is. {way_out(path, backups)}") from reason
    return book


def open_on_server(path: Path, address: str) -> Book:
    """Open a book that stands in PostgreSQL and bring it up to date; its backups lie where the path says."""
    book = None
    try:
        book = Book(path, read_address(address))
        _must_keep_every_sign(book)
        migrate(book)
    except (WearbookError, DBAPIError, OSError) as reason:
        if book is not None:
            book.close()
        if book is None or isinstance(reason, WearbookError):
            raise
        told = reason.orig if isinstance(reason, DBAPIError) else reason
        raise CannotOpen(
            f"{book.place} cannot be opened: {' '.join(str(told).split())}. Is the database there, and may this "
            "name in? Its password stands in the address, in PGPASSWORD or in the file ~/.pgpass."
        ) from reason
    return book


def open_existing(path: Path, address: str, key: Path) -> Book:
    """Open a book that is there, as it stands: nothing is migrated, and neither a book nor a key is made."""
    if not address and not path.is_file():
        raise NotThere(f"There is no book {path}.")
    book = Book(path, read_address(address) if address else None)
    book.key = find_site_key(key)
    return book


def give_key(book: Book, path: Path) -> None:
    """Give a book the site's key, made where there is none; KeyRefused where the book is signed by another one."""
    must_have_key(book, path)
    book.key = open_site_key(path)


def must_have_key(book: Book, path: Path) -> None:
    """Refuse a book that is signed by a key which is not the one at a path; one without any takes every key."""
    with book.reading() as session:
        signed_by = current_public_key(session)
        if signed_by and not path.exists():
            raise KeyRefused(
                f"This book is signed by the site's key {fingerprint(signed_by)}, which is not at {path}. Put its file "
                "there, or let WEARBOOK_SITE_KEY name it. Where it is lost, a new one is begun by: "
                "python -m app new-key"
            )
        if signed_by:
            must_sign_for(session, open_site_key(path))


def _must_keep_every_sign(book: Book) -> None:
    """Refuse a database that would lose or refuse signs such as µ and ⌀."""
    with book.reading() as session:
        encoding = session.connection().execute(text("SHOW server_encoding")).scalar_one()
    if encoding != "UTF8":
        raise CannotOpen(
            f"{book.place} keeps texts in {encoding}. Make the database anew: "
            "createdb --template=template0 --encoding=UTF8 --locale=C NAME"
        )
