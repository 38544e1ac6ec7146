"""Who is signed in on which tablet, and what each person prefers; neither is evidence, so neither is in the chain."""

from datetime import datetime

from sqlmodel import Session, col, select

from app.domain.people import Person
from app.store.book import Book
from app.store.people import person_from
from app.store.rows import PersonRow, PreferenceRow, SignInRow


def save_sign_in(book: Book, token_digest: str, person_id: int, now: datetime) -> None:
    """Keep a sign-in from now on."""
    with book.noting() as session:
        session.add(SignInRow(token_digest=token_digest, person_id=person_id, created_at=now, last_seen=now))


def find_signed_in(session: Session, token_digest: str, seen_after: datetime | None = None) -> Person | None:
    """Find who is signed in with a token: an active person, not signed out, seen after a moment where one is given."""
    statement = (
        select(PersonRow)
        .join(SignInRow, col(SignInRow.person_id) == col(PersonRow.id))
        .where(SignInRow.token_digest == token_digest, col(SignInRow.ended_at).is_(None), col(PersonRow.is_active))
    )
    if seen_after is not None:
        statement = statement.where(SignInRow.last_seen > seen_after)
    row = session.exec(statement).one_or_none()
    return None if row is None else person_from(row)


def save_last_seen(book: Book, token_digest: str, now: datetime) -> None:
    """Note that a sign-in is still in use."""
    with book.noting() as session:
        row = session.get(SignInRow, token_digest)
        if row is not None:
            row.last_seen = now


def end_sign_in(book: Book, token_digest: str, now: datetime) -> None:
    """End a sign-in; its row stays, with the moment it ended."""
    with book.noting() as session:
        row = session.get(SignInRow, token_digest)
        if row is not None and row.ended_at is None:
            row.ended_at = now


def get_preferences(session: Session, person_id: int) -> dict[str, str]:
    """Give everything a person chose, by key."""
    rows = session.exec(select(PreferenceRow.key, PreferenceRow.value).where(PreferenceRow.person_id == person_id))
    return dict(rows.all())


def save_preference(book: Book, person_id: int, key: str, value: str) -> None:
    """Keep a person's choice in place of the one before."""
    with book.noting() as session:
        session.merge(PreferenceRow(person_id=person_id, key=key, value=value))
