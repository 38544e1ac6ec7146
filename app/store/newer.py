"""What a book's file holds that a backup of it does not, as far as its pages can still be read."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from app.store.backup import BackupFailed
from app.store.chain import EMPTY_CHAIN, Entry, is_as_written
from app.store.timeline import OverhaulName

Head = tuple[int, str]
ENTRY_AT = "SELECT seq, at, person, what, subject, old, new, why, previous, digest FROM entry WHERE seq = ?"
DIGEST_AT = "SELECT digest FROM entry WHERE seq = ?"
NAMES = "SELECT o.id, m.tag, o.number FROM overhaul AS o JOIN machine AS m ON m.id = o.machine_id"
FAR = 10_000  # so many numbers are asked for beyond the last that was read, where nobody can say how many there are
UNREADABLE = (sqlite3.Error, ValueError, TypeError)


@dataclass(frozen=True)
class Newer:
    """The entries of a book beyond the last that a backup shares with it, and what is known of them."""

    shared: Head = EMPTY_CHAIN
    entries: tuple[Entry, ...] = ()  # those that can be read, in their order
    unread: tuple[int, ...] = ()  # the numbers of those that cannot
    is_end_known: bool = True  # whether the file can still say which entry is its last
    names: dict[int, OverhaulName] = field(default_factory=dict)

    @property
    def head(self) -> Head | None:
        """The last entry of the book; None where the file cannot say it."""
        if not self.is_end_known or (self.unread and self.unread[-1] > self.last):
            return None
        return (self.entries[-1].seq, self.entries[-1].digest) if self.entries else self.shared

    @property
    def last(self) -> int:
        """The number of the last entry that was read."""
        return self.entries[-1].seq if self.entries else self.shared[0]

    @property
    def altered(self) -> tuple[int, ...]:
        """The numbers of those that are not as they were written, or do not follow on the one before."""
        before = {self.shared[0]: self.shared[1]} | {each.seq: each.digest for each in self.entries}
        return tuple(
            each.seq
            for each in self.entries
            if not is_as_written(each) or before.get(each.seq - 1, each.previous) != each.previous
        )

    @property
    def is_nothing(self) -> bool:
        """Whether the backup surely holds all that the book holds."""
        return self.is_end_known and not self.entries and not self.unread


def find_newer(path: Path, backup: Path) -> Newer | None:
    """Read what a book's file holds beyond a backup; None where there is no book. Neither file is touched."""
    if not path.exists():
        return None
    with _opened(backup) as held:
        try:
            end = head_of(held)
        except sqlite3.Error as reason:
            raise BackupFailed(f"{backup} is not a whole book: {reason}.") from reason
        try:
            with _opened(path) as book:
                return _beyond(book, held, end)
        except sqlite3.Error:
            return Newer(shared=end, is_end_known=False)


def head_of(connection: sqlite3.Connection) -> Head:
    """Give the last entry of a file: its number and its digest."""
    return connection.execute("SELECT seq, digest FROM entry ORDER BY seq DESC LIMIT 1").fetchone() or EMPTY_CHAIN


def newest_entry(path: Path) -> int:
    """Give the number of the last entry that a backup holds."""
    with _opened(path) as connection:
        return head_of(connection)[0]


def _beyond(book: sqlite3.Connection, held: sqlite3.Connection, end: Head) -> Newer:
    """Read everything beyond the last entry that both have."""
    shared, names = _shared(book, held, end), _names(held) | _names(book)
    try:
        last: int | None = head_of(book)[0]
    except sqlite3.Error:
        last = None
    entries, unread = _read_after(book, shared[0], last)
    if last is None:
        unread = [number for number in unread if entries and number < entries[-1].seq]
    return Newer(shared, tuple(entries), tuple(unread), last is not None, names)


def _shared(book: sqlite3.Connection, held: sqlite3.Connection, end: Head) -> Head:
    """Find the last entry of a backup that the book has too; one that cannot be read in the book is taken for it."""
    number = end[0]
    while number:
        (own,) = held.execute(DIGEST_AT, (number,)).fetchone() or ("",)
        try:
            found = book.execute(DIGEST_AT, (number,)).fetchone()
        except sqlite3.Error:
            return number, own
        if found == (own,):
            return number, own
        number -= 1
    return EMPTY_CHAIN


def _read_after(book: sqlite3.Connection, after: int, last: int | None) -> tuple[list[Entry], list[int]]:
    """Read each entry by itself, so that one that cannot be read hides no other; and the numbers of those."""
    entries, unread, number, missed = list[Entry](), list[int](), after, 0
    while number < last if last is not None else missed < FAR:
        number, missed = number + 1, missed + 1
        try:
            entry = _entry(book.execute(ENTRY_AT, (number,)).fetchone())
        except UNREADABLE:
            entry = None
        if entry is None:
            unread.append(number)
        else:
            entries.append(entry)
            missed = 0
    return entries, unread


def _entry(row: tuple[Any, ...] | None) -> Entry | None:
    """Make an entry of a row; ValueError or TypeError where it is none any more."""
    if row is None:
        return None
    if not all(isinstance(cell, str) for cell in row[1:]):
        raise TypeError("a cell is of another kind than it was written")
    return Entry(row[0], datetime.fromisoformat(row[1]).astimezone(UTC), *row[2:])


def _names(connection: sqlite3.Connection) -> dict[int, OverhaulName]:
    """Name the overhauls of a file, where they can still be read."""
    try:
        return {row[0]: OverhaulName(*row) for row in connection.execute(NAMES)}
    except sqlite3.Error:
        return {}


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a file that must be there, to be read alone; what is no UTF-8 any more is read with a mark in its place."""
    if not path.is_file():
        raise BackupFailed(f"{path} is not there.")
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
        connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
        yield connection
