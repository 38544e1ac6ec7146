"""Moves what the log of the book's file holds into the file, beside the writer, who then waits for the log alone."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread

from app.store.book import Book

EVERY_S = 30


@contextmanager
def checkpointed(book: Book) -> Iterator[None]:
    """Do so every few seconds until the block ends."""
    ended = Event()

    def watch() -> None:
        """Move what is there."""
        while not ended.wait(EVERY_S):
            book.checkpoint()

    thread = Thread(target=watch, name="checkpoints", daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join()
