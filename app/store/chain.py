"""The chain of entries: every change of the book, each with a digest over itself and the entry before it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from app.domain.canonical import canonical, digest, moment_text
from app.store.quick import insert_row, look_up
from app.store.rows import EntryRow, table_of
from app.store.search import keep_words

ENTRY = table_of(EntryRow)
HEAD = select(ENTRY.c.seq, ENTRY.c.digest).where(ENTRY.c.seq == select(func.max(ENTRY.c.seq)).scalar_subquery())
ROWS_AT_ONCE = 1000  # A server would otherwise send everything at once.
APPENDED = "appended"  # in the session that appends: the last entry of its own
EMPTY_CHAIN = (0, "")  # The digest before the first entry is the empty text.


@dataclass(frozen=True)
class Latest:
    """The latest moment of any entry up to a number; that of a book without entries is None."""

    seq: int = 0
    moment: datetime | None = None


@dataclass(frozen=True)
class Entry:
    """One change: who, when, what, on which subject, from what (JSON) to what (JSON), and why."""

    seq: int
    at: datetime
    person: str
    what: str
    subject: str
    old: str
    new: str
    why: str
    previous: str
    digest: str


def overhaul_subject(overhaul_id: int) -> str:
    """Name an overhaul as the subject of an entry."""
    return f"overhaul {overhaul_id}"


def chain_head(session: Session) -> tuple[int, str]:
    """Give the last entry's number and digest: written down elsewhere, they prove that none was cut off since."""
    appended: tuple[int, str] | None = session.info.get(APPENDED)
    if appended is not None:  # nobody else appends while this transaction does
        return appended
    head = look_up(session.connection(), HEAD, {})
    return head[0] if head else EMPTY_CHAIN


def latest_moment(session: Session, known: Latest) -> Latest:
    """Give the latest moment of any entry, which is not the last entry's where the clock was set back.

    Only what was entered after what is known is read.
    """
    asked = select(func.max(ENTRY.c.seq), func.max(ENTRY.c.at)).where(ENTRY.c.seq > known.seq)
    last, found = session.connection().execute(asked).one()
    if last is None:
        return known
    moment = datetime.fromisoformat(found)
    return Latest(last, moment if known.moment is None else max(moment, known.moment))


def is_entered(session: Session, what: str, subject: str, old: object) -> bool:
    """Whether the chain holds a change of this kind from this state."""
    is_it = ENTRY.c.subject == subject, ENTRY.c.what == what, ENTRY.c.old == canonical(old)
    return session.connection().execute(select(ENTRY.c.seq).where(*is_it).limit(1)).one_or_none() is not None


def append_entry(session: Session, person: str, now: datetime, change: dict[str, object], new: object = None) -> None:
    """Append a change to the chain; the digest covers every column and, through `previous`, all entries before.

    What is new may be given once more as it was before it was written, for the index of words alone.
    The digest is SHA-256 over the UTF-8 bytes of this JSON, keys sorted, no spaces, characters unescaped:
    {"at","new","old","person","previous","seq","subject","what","why"}, each as stored: `seq` a number, all else
    texts, `at` in UTC as 2031-04-05T06:07:08.000009+00:00, `old` and `new` themselves such JSON in a text.
    """
    last, previous = chain_head(session)
    entry = {**change, "seq": last + 1, "at": moment_text(now), "person": person, "previous": previous}
    own = _digest(entry)
    insert_row(session.connection(), EntryRow, {**entry, "digest": own})
    session.info[APPENDED] = last + 1, own
    keep_words(session, entry, new)


def verify_chain(session: Session) -> int | None:
    """Give the number of the first entry that is missing, changed or unreadable; None where the chain holds."""
    expected, before = 1, ""
    asked = select(ENTRY).order_by(ENTRY.c.seq).execution_options(yield_per=ROWS_AT_ONCE)
    try:
        with session.connection().execute(asked) as rows:
            for seq, at, person, what, subject, old, new, why, previous, kept in rows:
                entry = {"at": at, "new": new, "old": old, "person": person, "previous": previous, "seq": seq,
                         "subject": subject, "what": what, "why": why}  # fmt: skip
                if seq != expected or previous != before or kept != _digest(entry):
                    return expected
                expected, before = expected + 1, kept
    except (DBAPIError, TypeError):
        return expected
    return None


def list_entries(session: Session, subject: str = "", before: int | None = None, limit: int = 200) -> list[Entry]:
    """List the newest entries first, of one subject where it is named, before an entry where one is named."""
    statement = select(ENTRY).order_by(ENTRY.c.seq.desc()).limit(limit)
    if subject:
        statement = statement.where(ENTRY.c.subject == subject)
    if before is not None:
        statement = statement.where(ENTRY.c.seq < before)
    return [entry_from(dict(row)) for row in session.connection().execute(statement).mappings()]


def find_entry(session: Session, seq: int) -> Entry | None:
    """Find an entry by its number."""
    row = session.connection().execute(select(ENTRY).where(ENTRY.c.seq == seq)).mappings().one_or_none()
    return None if row is None else entry_from(dict(row))


def is_as_written(entry: Entry) -> bool:
    """Whether the digest of an entry is still that of its content."""
    content: dict[str, object] = {**entry.__dict__, "at": moment_text(entry.at)}
    return content.pop("digest") == _digest(content)


def change_of(what: str, subject: str, old: object, new: object, why: str) -> dict[str, object]:
    """Write a change as the chain keeps it."""
    return {"what": what, "subject": subject, "old": canonical(old), "new": canonical(new), "why": why}


def _digest(entry: dict[str, object]) -> str:
    """Take the digest over everything but the digest itself."""
    return digest(canonical(entry))


def entry_from(row: dict[str, Any]) -> Entry:
    """Turn a row into an entry."""
    return Entry(**{**row, "at": datetime.fromisoformat(row["at"])})
