"""Secrets for programs: made on a page, shown once, kept as a digest, ended by hand."""

import secrets
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from app.domain.errors import InputRefused
from app.domain.people import Person, Right
from app.store.book import Book
from app.store.machines import get_machine
from app.store.tokens import Token, end_token, find_token, get_token, list_tokens, save_token

METER, CALENDAR = "meter", "calendar"
LONGEST_NAME = 60
BYTES = 32


@dataclass(frozen=True)
class NewToken:
    """A token just made, with the secret that is shown this once."""

    name: str
    secret: str


def make_meter_token(book: Book, by: Person, name: str, tag: str, now: datetime) -> NewToken:
    """Make a token by which a plant system sends meter readings, of one machine or of the site."""
    by.must(Right.MANAGE_MACHINES)
    name = name.strip()
    if not 0 < len(name) <= LONGEST_NAME or not name.isprintable():
        raise InputRefused({"name": f"Name the system that will use it, with at most {LONGEST_NAME} characters."})
    with book.writing(by.name, now) as writing:
        machine_id = get_machine(writing.session, tag).id if tag else None
        if any(token.name == name and not token.ended_at for token in list_tokens(writing.session, METER)):
            raise InputRefused({"name": "A token of this name is in use. End it first, or choose another name."})
        secret = new_secret()
        save_token(writing, METER, secret_digest(secret), name, machine_id)
    return NewToken(name, secret)


def end_meter_token(book: Book, by: Person, token_id: int, now: datetime) -> None:
    """End a token; calls with it are refused from now on."""
    by.must(Right.MANAGE_MACHINES)
    with book.writing(by.name, now) as writing:
        end_token(writing, get_token(writing.session, token_id, METER).id)


def meter_tokens(book: Book) -> list[Token]:
    """The tokens of meter calls, those ended too."""
    with book.reading() as session:
        return list_tokens(session, METER)


def find_meter_token(book: Book, secret: str) -> Token | None:
    """Find the token in use that a secret belongs to."""
    with book.reading() as session:
        return find_token(session, METER, secret_digest(secret))


def new_secret() -> str:
    """Make a secret by chance."""
    return secrets.token_urlsafe(BYTES)


def secret_digest(secret: str) -> str:
    """Give the digest under which a secret is kept; it is long and by chance, so a quick digest is enough."""
    return sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
