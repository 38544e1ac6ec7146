"""Writes a book as this version of the program writes it, for the versions to come: python -m tests.old_books."""

import gzip
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from app.store.heads_file import sign_head
from app.store.migration import newest_revision
from tests.builders import a_book
from tests.web.workshop import Workshop

FOLDER = Path(__file__).parent


def write() -> Path:
    """Write one overhaul, from making safe to the last signature, and sign the head."""
    target = FOLDER / f"{newest_revision()}.db.gz"
    with TemporaryDirectory() as folder, closing(a_book(Path(folder))) as book:
        Workshop(book).returned()
        sign_head(book, datetime.now(UTC), Path(folder) / "heads.txt")
        with closing(sqlite3.connect(book.path)) as file:
            whole = file.serialize()
    target.write_bytes(gzip.compress(whole, mtime=0))
    return target


if __name__ == "__main__":
    print(write())
