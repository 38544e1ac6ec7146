"""The book: one writer behind a lock, readers beside it that never wait, and nothing acknowledged before it is kept."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, inspect, text
from sqlalchemy.exc import DatabaseError, DataError, DBAPIError, InternalError, OperationalError
from sqlmodel import Session, SQLModel

from app.domain.errors import NotThere, WearbookError
from app.store import postgres, sqlite
from app.store.attempts import Attempts, SharedAttempts
from app.store.chain import Latest, append_entry, change_of, latest_moment
from app.store.quick import insert_row
from app.store.site_key import SiteKey
from app.store.site_signatures import begin_key, must_sign_for

LONGEST_WAIT_S = 15
MEMORY = "memory"


class Damaged(WearbookError):
    """A page of the book's file is not what was written there."""


class OutOfReach(WearbookError):
    """The book cannot be read just now: its database does not answer, or its file cannot be opened."""


class NotStored(WearbookError):
    """The book could not be written; nothing of this change was kept."""


@dataclass(frozen=True)
class Writing:
    """One change of the book in the making: who makes it, when, and the transaction it is part of."""

    session: Session
    person: str
    now: datetime
    key: SiteKey | None = None
    _added: dict[str, object] = field(default_factory=dict)  # the primary key of the row whose entry is still to come

    def by(self, person: str, now: datetime) -> "Writing":
        """The same transaction, for what somebody else enters in it."""
        return Writing(self.session, person, now, self.key, self._added)

    def sealed(self, values: dict[str, object]) -> dict[str, object]:
        """Give the values of a seal with the signature of the site's key; KeyRefused where another has taken over."""
        if self.key is None:
            return {**values, "site_key": None, "site_signature": None}
        must_sign_for(self.session, self.key)
        return self.key.sign("seal", values)

    def insert(self, row: type[SQLModel], **values: object) -> int:
        """Add a row without making an object of it, and give its primary key."""
        key = insert_row(self.session.connection(), row, values)
        self._added.clear()
        self._added.update(key)
        number: Any = next(iter(key.values()))
        return number  # type: ignore[no-any-return]  # a text where a table is keyed by one, which nobody asks for

    def enter(self, what: str, subject: str, old: object, new: object, why: str = "") -> None:
        """Append the change to the chain, in the same transaction; the number of the row just added stands in it."""
        told = {**self._added, **new} if isinstance(new, dict) else new
        self._added.clear()
        append_entry(self.session, self.person, self.now, change_of(what, subject, old, told, why), told)


class Book:
    """An open book; `migrate` brings it up to date before anything is read from it."""

    def __init__(self, path: Path, url: URL | None = None) -> None:
        """Open the file at a path; a URL names a database on a server, and then the path names its backups alone."""
        self.path = path
        path.parent.mkdir(parents=True, exist_ok=True)
        self.url = url or URL.create("sqlite", database=str(path))
        self.is_file = self.url.get_backend_name() == "sqlite"
        asked = {"pool_pre_ping": not self.is_file}  # A database server may have been started anew in between.
        self.writer = create_engine(self.url, pool_size=1, max_overflow=0, pool_timeout=LONGEST_WAIT_S, **asked)
        self._readers = create_engine(self.url, pool_size=8, max_overflow=32, **asked)
        self._turn = Lock()
        self._notes = None if self.is_file else create_engine(self.url, pool_size=1, max_overflow=4, **asked)
        if self._notes is not None:
            postgres.prepare_notes(self._notes)
        self.attempts = Attempts() if self._notes is None else SharedAttempts(self._notes)
        self.memory: dict[str, Any] = {}  # what the store holds of this book between sessions, each module its own
        self._latest = Latest()
        self.key: SiteKey | None = None  # the site's; where it is none, nothing is signed by it
        self._has_begun = False
        own = sqlite if self.is_file else postgres
        own.prepare_writer(self.writer)
        own.prepare_readers(self._readers)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Give a session that sees one moment of the book and cannot change it."""
        with (
            _reaching_it(), _naming_damage(), _knowing_no_such(), _session(self._readers, self.memory) as session,
        ):  # fmt: skip
            yield session

    @contextmanager
    def glancing(self) -> Iterator[Connection]:
        """Give a connection for single looks, each of which sees the book as it is then; `reading` is for pages."""
        with _reaching_it(), _naming_damage(), self._readers.connect() as connection:
            yield connection

    @contextmanager
    def writing(self, person_name: str, now: datetime) -> Iterator[Writing]:
        """Give a change in the making; it is kept whole when the block ends, and not at all when the block fails."""
        with self.noting() as session:
            before = self._looked(session)
            self.begin_key(session, person_name, now)
            yield Writing(session, person_name, now, self.key)
        self._has_begun = self.key is not None
        if self.is_file:
            self._latest = Latest(moment=now if before is None else max(before, now))

    def begin_key(self, session: Session, person_name: str, now: datetime) -> None:
        """Enter the site's key where the book has none yet, before the first change that it is there for."""
        if self.key is not None and not self._has_begun and not must_sign_for(session, self.key):
            begin_key(session, person_name, now, self.key, "the first key of this book", None)

    def last_moment(self) -> datetime | None:
        """Give the latest moment of any entry; None for a book without one."""
        if self.is_file and self._latest.moment is not None:
            return self._latest.moment
        with self.reading() as session:
            return self._looked(session)

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

    def checkpoint(self) -> None:
        """Let a file take up what its log holds, so that no writer has to; a database server sees to it itself."""
        if self.is_file:
            sqlite.checkpoint(self._readers)

    def revision(self) -> str | None:
        """Name the migration the book stands at; None for a book not yet begun."""
        with self._readers.connect() as connection:
            return revision_of(connection)

    def is_writable(self) -> bool:
        """Whether a change can be kept, found by keeping one that changes nothing."""
        try:
            with self._one_at_a_time(), self.writer.begin() as connection:
                connection.execute(text("UPDATE alembic_version SET version_num = version_num"))
        except (DBAPIError, NotStored):
            return False
        return True

    def _looked(self, session: Session) -> datetime | None:
        """Give the latest moment; behind a server other processes enter too, so what came since is read each time."""
        if not self.is_file or self._latest.moment is None:
            self._latest = latest_moment(session, self._latest)
        return self._latest.moment

    @property
    def place(self) -> str:
        """Where the book is, without any password."""
        return str(self.path) if self.is_file else self.url.render_as_string(hide_password=True)

    def close(self) -> None:
        """Close every connection."""
        self._readers.dispose()
        if self._notes is not None:
            self._notes.dispose()
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


def revision_of(connection: Connection) -> str | None:
    """Name the migration that what a connection leads to stands at; None where there has been none."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one_or_none()


class _OneTransaction(Session):
    """A session of one transaction, whose connection is found once and not for each statement."""

    _found: Connection | None = None

    def connection(self, *given: Any, **named: Any) -> Connection:
        """Give the connection of the transaction."""
        if self._found is None or self._found.closed:
            self._found = super().connection(*given, **named)
        return self._found


def _session(engine: Engine, memory: dict[str, Any]) -> Session:
    """Open a session whose objects stay readable after the commit."""
    return _OneTransaction(engine, expire_on_commit=False, autoflush=False, info={MEMORY: memory})


@contextmanager
def _refusing_in_words() -> Iterator[None]:
    """Say it in words when the book cannot be written: full, read-only, locked, damaged or out of reach."""
    try:
        yield
    except (OperationalError, InternalError, DataError) as reason:
        raise NotStored(f"The book could not be written, so nothing was stored ({reason.orig}).") from reason


@contextmanager
def _reaching_it() -> Iterator[None]:
    """Say it in words when the book cannot be read just now."""
    try:
        yield
    except OperationalError as reason:
        why = " ".join(str(reason.orig).split())[:200]
        raise OutOfReach(f"The book cannot be read just now ({why}). Try again in a moment.") from reason


@contextmanager
def _knowing_no_such() -> Iterator[None]:
    """What a database cannot even be asked for, such as a text with the sign of number 0, is not in the book."""
    try:
        yield
    except DataError as reason:
        raise NotThere("There is nothing of this name in the book.") from reason


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
