"""Whether every page of a book's file is whole: read before it is opened, or beside its use after an orderly end.

A note beside the file says how an orderly end has left it. What was killed, cut off, copied or changed since has none
that fits, so its pages are read before anything is written to them; so are those of a file in which damage was found.
"""

import logging
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from threading import Event, Thread

from sqlalchemy import event

from app.store.book import Book, NotStored

LOG = logging.getLogger("wearbook")
DAMAGE, STILL_UNREAD = "damage", "pages are still unread"  # as the memory of a book holds them
PIECE = 1 << 23
TAKES_A_WHILE = 500_000_000  # bytes
ASKED_EVERY = 100_000  # steps of the database's machine, after which it is asked whether to go on


def must_be_whole(path: Path, ended: Event | None = None) -> None:
    """Read every page of the file once; what is torn is found before anything is written to it.

    The file is read in its own order first: the check goes to and fro, for which a disk takes many times as long.
    """
    if not path.exists() or not path.stat().st_size:
        return
    with path.open("rb", buffering=0) as file:
        while file.read(PIECE) and not (ended and ended.is_set()):
            pass
    with closing(sqlite3.connect(path)) as connection:
        if ended:
            connection.set_progress_handler(ended.is_set, ASKED_EVERY)
        (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise sqlite3.DatabaseError(f"it is damaged ({' '.join(found.split())})")


def take_note(path: Path) -> bool:
    """Whether the file is as an orderly end has left it; the note is gone before anything is written to the file."""
    note, log = _note(path), path.with_name(f"{path.name}-wal")
    if not path.exists() or not path.stat().st_size:
        return True
    try:
        is_as_left = note.read_text(encoding="ascii") == _state(path) and not (log.exists() and log.stat().st_size)
        note.unlink()
        _flush_folder(path.parent)
    except (OSError, ValueError):
        is_as_left = False
    if not is_as_left and path.stat().st_size > TAKES_A_WHILE:
        LOG.warning("%s was not closed in order: each of its pages is read before it is opened.", path)
    return is_as_left


def leave_note(book: Book) -> None:
    """Note, once every connection is closed, how the file was left; nothing where damage was found in it."""
    if book.is_file and not damage_of(book):
        with suppress(OSError):  # Without a note the next start takes longer, and that is all.
            _note(book.path).write_text(_state(book.path), encoding="ascii")


def damage_of(book: Book) -> str:
    """Say what is damaged; nothing while all is well."""
    return str(book.memory.get(DAMAGE, ""))


def say_damaged(book: Book, words: str) -> None:
    """Remember it for the pages, and store nothing more: a backup that is put in place would not have it."""
    if not book.is_file or damage_of(book):
        return
    LOG.error("%s", words)
    book.memory[DAMAGE] = words

    @event.listens_for(book.writer, "checkout")
    def refuse(*_given: object) -> None:
        raise NotStored(f"{words} Nothing was stored.")


@contextmanager
def looked_through(book: Book, backups: Path) -> Iterator[None]:
    """Read the pages that are still unread beside whatever else happens, until the block ends."""
    ended = Event()
    thread = Thread(target=_look, args=(book, backups, ended), name="pages", daemon=True)
    if book.memory.pop(STILL_UNREAD, False):
        thread.start()
    try:
        yield
    finally:
        ended.set()
        if thread.ident is not None:
            thread.join()


def way_out(path: Path, backups: Path) -> str:
    """Name the newest backup and how to put it in place."""
    found = [
        each
        for folder in {backups, path.parent / "backups"}
        if folder.is_dir()
        for each in folder.glob(f"{path.stem}-*.db")
    ]
    if not found:
        return "See that its disk is there, has room and can be written. There is no backup in the folder for backups."
    newest = max(found, key=lambda each: each.stat().st_mtime)
    return (
        "See that its disk is there, has room and can be written. If the file is damaged, the newest backup is "
        f"{newest}: python -m app restore {newest} (it lists first what this file holds beyond the backup)"
    )


def _look(book: Book, backups: Path, ended: Event) -> None:
    """Read every page; what is torn is told on the pages."""
    try:
        must_be_whole(book.path, ended)
    except (sqlite3.Error, OSError) as reason:
        if not ended.is_set():
            say_damaged(book, f"{book.path}: {reason}. Stop the server. {way_out(book.path, backups)}")


def _note(path: Path) -> Path:
    """Where it is noted how a file was left."""
    return path.with_name(f"{path.name}-closed")


def _state(path: Path) -> str:
    """How a file lies there, as its folder has it."""
    found = path.stat()
    return f"{found.st_size} {found.st_mtime_ns} {found.st_ino}"


def _flush_folder(folder: Path) -> None:
    """Let the disk know of a file that is gone; Windows opens no folders, and sees to it itself."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
