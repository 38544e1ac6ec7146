"""The book: one writer behind a lock, readers beside it that never wait, and nothing acknowledged before it is kept."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import Any

from alembic.runtime.migration import MigrationContext
from sqlalchemy import URL, Engine, create_engine, text
from sqlalchemy.exc import DatabaseError, DBAPIError, OperationalError
from sqlmodel import Session, SQLModel

from app.domain.errors import WearbookError
from app.store import sqlite
from app.store.attempts import Attempts
from app.store.chain import append_entry, change_of, latest_moment
from app.store.rows import insert_into

LONGEST_WAIT_S = 15
MEMORY = "memory"


class Damaged(WearbookError):
    """A page of the book's file is not what was written there."""


class NotStored(WearbookError):
    """The book could not be written; nothing of this change was kept."""


@dataclass(frozen=True)
class Writing:
    """One change of the book in the making: who makes it, when, and the transaction it is part of."""

    session: Session
    person: str
    now: datetime

    def insert(self, row: type[SQLModel], **values: object) -> int:
        """Add a row without making an object of it, and give its primary key."""
        key: Any = self.session.connection().execute(insert_into(row), values).inserted_primary_key
        number: int = key[0]
        return number

    def enter(self, what: str, subject: str, old: object, new: object, why: str = "") -> None:
        """Append the change to the chain, in the same transaction."""
        append_entry(self.session, self.person, self.now, change_of(what, subject, old, new, why))


class Book:
    """An open book; `migrate` brings it up to date before anything is read from it."""

    def __init__(self, path: Path, url: URL | None = None) -> None:
        """Open the file at a path; a URL names another database, beside which the path still takes the backups."""
        self.path = path
        path.parent.mkdir(parents=True, exist_ok=True)
        url = url or URL.create("sqlite", database=str(path))
        self.writer = create_engine(url, pool_size=1, max_overflow=0, pool_timeout=LONGEST_WAIT_S)
        self._readers = create_engine(url, pool_size=8, max_overflow=32)
        self._turn = Lock()
        self.attempts = Attempts()
        self.memory: dict[str, Any] = {}  # what the store holds of this book between sessions, each module its own
        self.is_clock_entered = False
        self._last: datetime | None = None
        if url.get_backend_name() == "sqlite":
            sqlite.prepare_writer(self.writer)
            sqlite.prepare_readers(self._readers)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Give a session that sees one moment of the book and cannot change it."""
        with _naming_damage(), _session(self._readers, self.memory) as session:
            yield session

    @contextmanager
    def writing(self, person_name: str, now: datetime) -> Iterator[Writing]:
        """Give a change in the making; it is kept whole when the block ends, and not at all when the block fails."""
        before = self.last_moment()
        with self.noting() as session:
            yield Writing(session, person_name, now)
        self._last = now if before is None else max(before, now)

    def last_moment(self) -> datetime | None:
        """Give the latest moment of any entry; None for a book without one."""
        if self._last is None:
            with self.reading() as session:
                self._last = latest_moment(session)
        return self._last

    @contextmanager
    def noting(self) -> Iterator[Session]:
        """Give a session for what is no evidence and so has no entry in the chain; kept when the block ends."""
        with (
            self._one_at_a_time(),
            _refusing_in_words(),
            _naming_damage(),
            _session(self.writer, self.memory) as session,
            session.begin(),
        ):
            yield session

    def revision(self) -> str | None:
        """Name the migration the book stands at; None for a book not yet begun."""
        with self._readers.connect() as connection:
            return MigrationContext.configure(connection).get_current_revision()

    def is_writable(self) -> bool:
        """Whether a change can be kept, found by keeping one that changes nothing."""
        try:
            with self._one_at_a_time(), self.writer.begin() as connection:
                connection.execute(text("UPDATE alembic_version SET version_num = version_num"))
        except (DBAPIError, NotStored):
            return False
        return True

    def close(self) -> None:
        """Close every connection."""
        self._readers.dispose()
        self.writer.dispose()

    @contextmanager
    def _one_at_a_time(self) -> Iterator[None]:
        """Wait for the one place at the desk, and not for ever."""
        if not self._turn.acquire(timeout=LONGEST_WAIT_S):
            raise NotStored("Another change is taking too long. Nothing was stored; try again.")
        try:
            yield
        finally:
            self._turn.release()


def _session(engine: Engine, memory: dict[str, Any]) -> Session:
    """Open a session whose objects stay readable after the commit."""
    return Session(engine, expire_on_commit=False, autoflush=False, info={MEMORY: memory})


@contextmanager
def _refusing_in_words() -> Iterator[None]:
    """Say it in words when the file cannot be written: full, read-only, locked or damaged."""
    try:
        yield
    except OperationalError as reason:
        raise NotStored(f"The book could not be written, so nothing was stored ({reason.orig}).") from reason


@contextmanager
def _naming_damage() -> Iterator[None]:
    """Say it in words when a page of the file is torn; every other error goes its own way."""
    try:
        yield
    except DatabaseError as reason:
        if type(reason) is not DatabaseError:
            raise
        raise Damaged(
            f"The book's file is damaged ({reason.orig}). Stop the server; starting it again names the newest backup."
        ) from reason
