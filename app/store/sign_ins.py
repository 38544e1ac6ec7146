"""Who is signed in on which device, and what each person prefers; neither is evidence, so neither is in the chain."""

from datetime import datetime
from typing import Any

from sqlalchemy import func, update
from sqlmodel import Session, col, select

from app.domain.people import Person
from app.domain.sign_ins import SignIn
from app.store.book import Book
from app.store.people import person_from
from app.store.rows import PersonRow, PreferenceRow, SignInRow, table_of

HANDLE = 16  # so many letters of a digest name a sign-in on pages; they open nothing
TABLE = table_of(SignInRow)


def save_sign_in(
    book: Book, token_digest: str, person_id: int, now: datetime, device: str = "", address: str = ""
) -> None:
    """Keep a sign-in from now on."""
    with book.noting() as session:
        moments = {"created_at": now, "last_seen": now}
        session.add(
            SignInRow(token_digest=token_digest, person_id=person_id, device=device, address=address, **moments)
        )


def find_sign_in(session: Session, token_digest: str) -> SignIn | None:
    """Find the sign-in of a token: of an active person, and not ended."""
    found = session.exec(_standing().where(TABLE.c.token_digest == token_digest)).one_or_none()
    return None if found is None else _sign_in(*found)


def list_sign_ins(session: Session, person: Person) -> list[SignIn]:
    """List where a person is signed in, used last first."""
    statement = _standing().where(TABLE.c.person_id == person.id).order_by(TABLE.c.last_seen.desc())
    return [_sign_in(*found) for found in session.exec(statement)]


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
    rows = session.exec(select(PreferenceRow.key, PreferenceRow.value).where(PreferenceRow.person_id == person_id))
    return dict(rows.all())


def save_preference(book: Book, person_id: int, key: str, value: str) -> None:
    """Keep a person's choice in place of the one before."""
    with book.noting() as session:
        session.merge(PreferenceRow(person_id=person_id, key=key, value=value))


def handle_of(token_digest: str) -> str:
    """Give the name of a sign-in that pages may show."""
    return token_digest[:HANDLE]


def _standing() -> Any:
    """Select the sign-ins that have not ended, of active people."""
    return (
        select(SignInRow, PersonRow)
        .join(PersonRow, col(SignInRow.person_id) == col(PersonRow.id))
        .where(col(SignInRow.ended_at).is_(None), col(PersonRow.is_active))
    )


def _sign_in(row: SignInRow, person: PersonRow) -> SignIn:
    """Turn rows into a sign-in."""
    return SignIn(
        person_from(person), handle_of(row.token_digest), row.created_at, row.last_seen, row.device, row.address
    )
