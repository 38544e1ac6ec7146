"""The server's clock, held against the last entry of the book: one that was set back is never silent."""

import logging
from datetime import datetime, timedelta

from app.reports.moments import moment_writer
from app.store.book import Book
from app.store.chain import is_entered

LOG = logging.getLogger("wearbook")
SET_BACK = "clock set back"
MOST_BEHIND = timedelta(minutes=2)


def clock_trouble(book: Book, now: datetime, zone: str = "UTC") -> str:
    """Say that the clock is behind the last entry; nothing while it is not."""
    last = book.last_moment()
    is_behind = last is not None and now < last - MOST_BEHIND
    return f"behind the last entry of {moment_writer(zone)(last)}" if last and is_behind else ""


def enter_clock_set_back(book: Book, now: datetime) -> None:
    """Enter once into the chain that the clock runs behind, before what is entered by it, whichever process does."""
    last = book.last_moment()
    if last is None or not clock_trouble(book, now):
        return
    with book.reading() as session:
        if is_entered(session, SET_BACK, "clock", {"at": last}):
            return
    LOG.error("The clock says %s and the last entry %s: was it set back?", now, last)
    with book.writing("the clock", now) as writing:
        if not is_entered(writing.session, SET_BACK, "clock", {"at": last}):
            writing.enter(SET_BACK, "clock", {"at": last}, {"at": now}, "the times of what follows may be too early")
