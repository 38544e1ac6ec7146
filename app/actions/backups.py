"""Backups of the book: taken each day while it is served and on demand, verified, kept by a rule, and loud when not."""

import logging
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Lock

from app.actions.repeating import repeated
from app.domain.errors import WearbookError
from app.domain.keeping import no_longer_kept
from app.domain.people import Person, Right
from app.settings import Settings
from app.store.backup import BackupFailed
from app.store.book import Book
from app.store.chain import Entry, chain_head, list_entries
from app.store.copies import back_up_book, ending, one_copy_at_a_time
from app.store.heads_file import enter_gone_back, sign_head, sign_head_of_day
from app.store.newer import newest_entry

LOG = logging.getLogger("wearbook")
MOMENT = "%Y%m%dT%H%M%SZ"
LOOKED_EVERY_S = 60
TRIED_AGAIN_AFTER = timedelta(minutes=15)


@dataclass(frozen=True)
class Backup:
    """One backup in the folder."""

    path: Path
    at: datetime
    size_bytes: int


class Backups:
    """The backups of one open book."""

    def __init__(self, book: Book, settings: Settings) -> None:
        self.book = book
        self.folder = settings.data_folder / settings.backup_folder
        self.every = timedelta(hours=0 if settings.is_demonstration else settings.backup_hours)
        self.heads = settings.heads_path
        self._rule = settings.backup_days, settings.backup_months
        self._failed: tuple[datetime, str] | None = None
        self._one = Lock()

    def listed(self) -> list[Backup]:
        """List the backups of this book, newest first; those from before a migration are not among them."""
        name = re.compile(re.escape(self.book.path.stem) + r"-(\d{8}T\d{6}Z)" + re.escape(ending(self.book)))
        if not self.folder.is_dir():
            return []
        found = [(path, name.fullmatch(path.name)) for path in self.folder.iterdir()]
        kept = [Backup(path, _moment(match[1]), path.stat().st_size) for path, match in found if match]
        return sorted(kept, key=lambda each: each.at, reverse=True)

    def take(self, now: datetime) -> Path:
        """Take a backup, verify it, and remove those no longer kept; BackupFailed is remembered for the pages."""
        try:
            with self._one, one_copy_at_a_time(self.book):
                path = self._take(now)
        except (WearbookError, OSError) as reason:
            self._failed = now, str(reason)
            raise BackupFailed(str(reason)) from reason
        self._failed = None
        return path

    def is_due(self, now: datetime) -> bool:
        """Whether the next one is to be taken; after a failure not at once again."""
        if not self.every or (self._failed and now - self._failed[0] < TRIED_AGAIN_AFTER):
            return False
        listed = self.listed()
        # One from a time that is still to come was taken by a wrong clock and keeps no backup from being taken.
        return not any(timedelta(0) <= now - each.at < self.every for each in listed)

    def trouble(self) -> str:
        """Say what the pages must say aloud; nothing while all is well."""
        return f"{self._failed[1]}" if self._failed else ""

    def look(self, now: datetime) -> None:
        """Sign the head of the chain each day and take a backup if it is due; a failure is told on the pages."""
        try:
            sign_head_of_day(self.book, now, self.heads)
            if self.is_due(now):
                with self._one, one_copy_at_a_time(self.book):
                    if self.is_due(now):  # Another process may have taken it while this one waited.
                        self._take(now)
                self._failed = None
        except (WearbookError, OSError) as reason:
            self._failed = now, str(reason)
            LOG.error("Backup failed: %s", reason)

    def beyond_newest(self) -> int:
        """Count the entries that the newest backup does not hold; none where that cannot be read."""
        newest = next(iter(self.listed()), None)
        if newest is None or not self.book.is_file:
            return 0
        try:
            with self.book.reading() as session:
                return max(chain_head(session)[0] - newest_entry(newest.path), 0)
        except (WearbookError, sqlite3.Error):
            return 0

    def begin(self, now: datetime) -> None:
        """Enter it where the book does not hold the head signed last: whoever put another copy in place did not."""
        try:
            enter_gone_back(self.book, now, self.heads)
        except (WearbookError, OSError) as reason:
            LOG.error("The signed heads could not be looked at: %s", reason)

    def end(self, now: datetime) -> None:
        """Sign the head at an orderly end, so that nothing of the day stands unsigned while the server is down."""
        try:
            sign_head(self.book, now, self.heads)
        except (WearbookError, OSError) as reason:
            LOG.error("The head was not signed at the end: %s", reason)

    def _take(self, now: datetime) -> Path:
        """Sign the head and take a backup; of two asked for within a second, the first stands for both."""
        sign_head(self.book, now, self.heads)
        path = self.folder / f"{self.book.path.stem}-{now.strftime(MOMENT)}{ending(self.book)}"
        back_up_book(self.book, path)
        self._remove_old()
        return path

    def _remove_old(self) -> None:
        """Remove what the rule no longer keeps, and what a backup that was cut off has left behind."""
        for unfinished in self.folder.glob(f"{self.book.path.stem}-*{ending(self.book)}.part*"):
            unfinished.unlink(missing_ok=True)
        by_moment = {each.at: each.path for each in self.listed()}
        for moment in no_longer_kept(by_moment, *self._rule):
            by_moment[moment].unlink(missing_ok=True)


@contextmanager
def taken_daily(backups: Backups) -> Iterator[None]:
    """Take backups when they are due, beside whatever else happens, until the block ends."""
    backups.begin(datetime.now(UTC))
    try:
        with repeated("backups", LOOKED_EVERY_S, lambda: backups.look(datetime.now(UTC))):
            yield
    finally:
        backups.end(datetime.now(UTC))


def put_back(book: Book) -> list[Entry]:
    """The entries that tell of another copy in the place of the book, the newest first."""
    with book.reading() as session:
        return list_entries(session, "book")


def back_up_now(backups: Backups, by: Person, now: datetime) -> Path:
    """Take a backup because somebody asks for it."""
    by.must(Right.BACK_UP)
    return backups.take(now)


def _moment(text: str) -> datetime:
    """Read the moment in a backup's name."""
    return datetime.strptime(text, MOMENT).replace(tzinfo=UTC)
