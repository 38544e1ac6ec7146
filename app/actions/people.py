"""Who is in the book: the first chief engineer, further people, signing in and out."""

import logging
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from argon2 import PasswordHasher

from app.actions.passwords import HASHER, digest_password, is_password, nobody
from app.domain.errors import InputRefused, NotAllowed, NotThere
from app.domain.people import Person, Right, Role
from app.domain.preferences import Preferences, preferences_from, read_choices
from app.store.book import Book
from app.store.people import (
    change_person,
    find_person_by_name,
    get_password_digest,
    get_person,
    list_people,
    save_person,
)
from app.store.sign_ins import (
    end_sign_in,
    end_sign_ins_of,
    get_preferences,
    save_preference,
    save_sign_in,
)
from app.store.tablets import end_tablets_of

LONGEST_NAME = 60
LONGEST_DEVICE = 200
LOG = logging.getLogger("wearbook")
WRONG = "Name and password do not go together."


@dataclass(frozen=True)
class SignedIn:
    """A person with a fresh sign-in; the token goes into the cookie and only its digest is kept."""

    person: Person
    token: str


def has_people(book: Book) -> bool:
    """Whether anybody is in the book yet."""
    with book.reading() as session:
        return bool(list_people(session))


def everybody(book: Book) -> list[Person]:
    """Everybody in the book."""
    with book.reading() as session:
        return list_people(session)


def person_named(book: Book, name: str) -> Person:
    """Find a person by name; NotThere when nobody of this name is in the book."""
    with book.reading() as session:
        person = find_person_by_name(session, name)
    if person is None:
        raise NotThere(f"Nobody called “{name[:40]}” is in the book.")
    return person


def add_first_person(book: Book, name: str, password: str, now: datetime, hasher: PasswordHasher = HASHER) -> Person:
    """Begin a book with its chief engineer; refused once anybody is in it."""
    digest = _checked(name, password, hasher)
    with book.writing(name.strip(), now) as writing:
        if list_people(writing.session):
            raise NotAllowed("This book has its people already. Sign in.")
        return save_person(writing, name.strip(), Role.CHIEF, digest)


def add_person(
    book: Book, by: Person, name: str, role: str, password: str, now: datetime, hasher: PasswordHasher = HASHER
) -> Person:
    """Add a person; names are told apart by their letters alone."""
    by.must(Right.MANAGE_PEOPLE)
    digest = _checked(name, password, hasher)
    if role not in list(Role):
        raise InputRefused({"role": f"Choose one of: {', '.join(Role)}."})
    with book.writing(by.name, now) as writing:
        if find_person_by_name(writing.session, name.strip()):
            raise InputRefused({"name": "Somebody of this name is in the book. Names must differ."})
        return save_person(writing, name.strip(), Role(role), digest)


def set_active(book: Book, by: Person, person_id: int, is_active: bool, now: datetime) -> None:
    """Let a person in or keep them out; nobody is ever erased, and nobody shuts themselves out."""
    by.must(Right.MANAGE_PEOPLE)
    if person_id == by.id and not is_active:
        raise NotAllowed("Nobody shuts themselves out. Ask another chief engineer.")
    with book.writing(by.name, now) as writing:
        if get_person(writing.session, person_id).is_active is not is_active:
            change_person(writing, person_id, is_active=is_active)
            end_sign_ins_of(writing.session, person_id, now)
            end_tablets_of(writing, person_id, "let in again" if is_active else "kept out")


def sign_in(book: Book, name: str, password: str, now: datetime, device: str = "", address: str = "") -> SignedIn:
    """Sign a person in by name and password; wrong ones make this name wait longer at this address."""
    book.attempts.begin(name, address, now, "password")
    with book.reading() as session:
        person = find_person_by_name(session, name.strip())
        digest = get_password_digest(session, person.id) if person else nobody()
    if not is_password(password, digest) or person is None or not person.is_active:
        LOG.warning("sign-in refused: %s from %s", person.name if person else "somebody unknown", address)
        raise InputRefused({"password": WRONG})
    book.attempts.forget(name, address)
    token = secrets.token_urlsafe(32)
    save_sign_in(book, token_digest(token), person.id, now, device[:LONGEST_DEVICE], address)
    return SignedIn(person, token)


def sign_out(book: Book, token: str, now: datetime) -> None:
    """End a sign-in."""
    end_sign_in(book, token_digest(token), now)


def confirm_password(book: Book, person: Person, password: str, now: datetime, field: str = "password") -> None:
    """Ask a signed-in person for the password again, before a signature or to go on."""
    check_password(book, person, password, now, field, by=person)


def check_password(book: Book, person: Person, password: str, now: datetime, field: str, by: Person) -> None:
    """Check a password typed in somebody's sign-in; wrong ones make that somebody wait, and nobody else."""
    place = f"signed in as {by.name}"
    book.attempts.begin(person.name, place, now, field)
    with book.reading() as session:
        digest = get_password_digest(session, person.id)
    if not is_password(password, digest):
        LOG.warning("wrong password of %s, signed in as %s", person.name, by.name)
        raise InputRefused({field: f"This is not {person.name}'s password."})
    book.attempts.forget(person.name, place)


def preferences(book: Book, person: Person) -> Preferences:
    """What a person has set for themselves."""
    with book.reading() as session:
        return preferences_from(get_preferences(session, person.id))


def prefer(book: Book, person: Person, typed: Mapping[str, str]) -> None:
    """Remember what a person sets for themselves, of all that a form names; what it does not name stays."""
    for key, value in read_choices(typed).items():
        save_preference(book, person.id, key, value)


def token_digest(token: str) -> str:
    """Digest a token, so that the book alone lets nobody in."""
    return sha256(token.encode()).hexdigest()


def _checked(name: str, password: str, hasher: PasswordHasher) -> str:
    """Check a new person's name and password together."""
    is_name = 0 < len(name.strip()) <= LONGEST_NAME and name.strip().isprintable()
    refused = {} if is_name else {"name": f"Give a name of at most {LONGEST_NAME} characters."}
    try:
        digest = digest_password(password, name=name, hasher=hasher)
    except InputRefused as refusal:
        raise InputRefused(refused | refusal.fields) from None
    if refused:
        raise InputRefused(refused)
    return digest
