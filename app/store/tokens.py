"""Tokens by which a program comes in: made and ended by a person, found by their digest, never read back."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, update
from sqlmodel import Session, col, select

from app.domain.canonical import digest
from app.domain.errors import NotThere
from app.store.book import Writing
from app.store.rows import MachineRow, TokenRow, table_of


@dataclass(frozen=True)
class Token:
    """A token as lists show it; without a machine it serves the whole site."""

    id: int
    kind: str
    name: str
    machine: str
    person_id: int | None
    made_by: str
    made_at: datetime
    ended_at: datetime | None


def save_token(
    writing: Writing,
    kind: str,
    token_digest: str,
    name: str,
    machine_id: int | None = None,
    person_id: int | None = None,
) -> int:
    """Keep a new token by its digest."""
    values = {"kind": kind, "name": name, "machine_id": machine_id, "person_id": person_id}
    made = {"made_by": writing.person, "made_at": writing.now}
    number = writing.insert(TokenRow, token_digest=token_digest, **values, **made)
    check = {"check": digest(token_digest), "ended_at": None}
    writing.enter("token made", f"token {number}", None, values | made | check)
    return number


def end_token(writing: Writing, token_id: int) -> None:
    """End a token; its row stays. One that has ended already is left as it is."""
    table = table_of(TokenRow)
    is_open = table.c.id == token_id, table.c.ended_at.is_(None)
    done = writing.session.connection().execute(update(table).where(*is_open).values(ended_at=writing.now))
    if done.rowcount:
        writing.enter("token ended", f"token {token_id}", None, {"ended_at": writing.now})


def get_token(session: Session, token_id: int, kind: str) -> Token:
    """Give a token of a kind by its number, or refuse."""
    found = [token for token in list_tokens(session, kind) if token.id == token_id]
    if not found:
        raise NotThere(f"There is no token number {token_id}.")
    return found[0]


def find_token(session: Session, kind: str, token_digest: str) -> Token | None:
    """Find a token of a kind that has not ended."""
    is_it = col(TokenRow.token_digest) == token_digest, col(TokenRow.ended_at).is_(None)
    return next(iter(_list(session, kind, *is_it)), None)


def list_tokens(session: Session, kind: str) -> list[Token]:
    """List the tokens of a kind, the newest first, those ended too."""
    return _list(session, kind)


def _list(session: Session, kind: str, *is_it: ColumnElement[bool]) -> list[Token]:
    """List the tokens of a kind of which something is true, each with the tag of its machine."""
    statement = (
        select(TokenRow, MachineRow.tag)
        .outerjoin(MachineRow, col(MachineRow.id) == col(TokenRow.machine_id))
        .where(TokenRow.kind == kind, *is_it)
        .order_by(col(TokenRow.id).desc())
    )
    return [_token(row, tag) for row, tag in session.exec(statement)]


def _token(row: TokenRow, tag: str | None) -> Token:
    """Turn a row into a token."""
    made = row.made_by, row.made_at, row.ended_at
    return Token(row.id or 0, row.kind, row.name, tag or "", row.person_id, *made)
