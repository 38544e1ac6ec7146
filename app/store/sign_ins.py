"""Who is signed in on which device, and what each person prefers; neither is evidence, so neither is in the chain."""

from datetime import datetime
from typing import Any

from sqlalchemy import Connection, bindparam, func, select, update
from sqlmodel import Session

from app.domain.people import Person, Role
from app.domain.sign_ins import SignIn
from app.store.book import Book
from app.store.quick import look_up
from app.store.rows import PersonRow, PreferenceRow, SignInRow, table_of

HANDLE = 16  # so many letters of a digest name a sign-in on pages; they open nothing
TABLE, PERSON, PREFERENCE = table_of(SignInRow), table_of(PersonRow), table_of(PreferenceRow)
# The sign-ins that have not ended, of active people; each page asks for one, so it is read as columns.
STANDING = (
    select(
        *(PERSON.c.id, PERSON.c.name, PERSON.c.role, PERSON.c.is_active),
        *(TABLE.c.token_digest, TABLE.c.created_at, TABLE.c.last_seen, TABLE.c.device, TABLE.c.address),
    )
    .join_from(TABLE, PERSON, TABLE.c.person_id == PERSON.c.id)
    .where(TABLE.c.ended_at.is_(None), PERSON.c.is_active)
)
OF_TOKEN = STANDING.where(TABLE.c.token_digest == bindparam("token"))
PREFERRED = select(PREFERENCE.c.key, PREFERENCE.c.value).where(PREFERENCE.c.person_id == bindparam("person"))


def save_sign_in(
    book: Book, token_digest: str, person_id: int, now: datetime, device: str = "", address: str = ""
) -> None:
    """Keep a sign-in from now on."""
    with book.noting() as session:
        row = SignInRow(token_digest=token_digest, person_id=person_id, created_at=now, last_seen=now)
        row.device, row.address = device, address
        session.add(row)


def find_sign_in(connection: Connection, token_digest: str) -> SignIn | None:
    """Find the sign-in of a token: of an active person, and not ended."""
    found = look_up(connection, OF_TOKEN, {"token": token_digest})
    return _sign_in(*found[0]) if found else None


def list_sign_ins(session: Session, person: Person) -> list[SignIn]:
    """List where a person is signed in, used last first."""
    statement = STANDING.where(TABLE.c.person_id == person.id).order_by(TABLE.c.last_seen.desc())
    return [_sign_in(*row) for row in session.connection().execute(statement)]


def save_last_seen(book: Book, token_digest: str, now: datetime) -> None:
    """Note that a sign-in is still in use."""
    with book.noting() as session:
        row = session.get(SignInRow, token_digest)
        if row is not None:
            row.last_seen = now


def end_sign_in(book: Book, token_digest: str, now: datetime) -> None:
    """End a sign-in; its row stays, with the moment it ended."""
    with book.noting() as session:
        end_sign_ins(session, now, TABLE.c.token_digest == token_digest)


def end_sign_ins_of(session: Session, person_id: int, now: datetime, handle: str = "", but: str = "") -> None:
    """End a person's sign-ins: the one of a handle where it is given, else all, or all but one."""
    which = [TABLE.c.person_id == person_id]
    shown = func.substr(TABLE.c.token_digest, 1, HANDLE)
    which += [shown == handle] if handle else []
    which += [shown != but] if but else []
    end_sign_ins(session, now, *which)


def end_sign_ins(session: Session, now: datetime, *which: Any) -> None:
    """End those sign-ins that have not ended yet."""
    session.connection().execute(update(TABLE).where(TABLE.c.ended_at.is_(None), *which).values(ended_at=now))


def get_preferences(session: Session, person_id: int) -> dict[str, str]:
    """Give everything a person chose, by key."""
    rows = session.connection().execute(PREFERRED, {"person": person_id})
    return dict(tuple(row) for row in rows)


def save_preference(book: Book, person_id: int, key: str, value: str) -> None:
    """Keep a person's choice in place of the one before."""
    with book.noting() as session:
        session.merge(PreferenceRow(person_id=person_id, key=key, value=value))


def handle_of(token_digest: str) -> str:
    """Give the name of a sign-in that pages may show."""
    return token_digest[:HANDLE]


def _sign_in(
    id_: int, name: str, role: str, is_active: bool,
    token_digest: str, created_at: datetime, last_seen: datetime, device: str, address: str,
) -> SignIn:  # fmt: skip
    """Turn a row into a sign-in."""
    return SignIn(
        Person(id_, name, Role(role), is_active), handle_of(token_digest), created_at, last_seen, device, address
    )
