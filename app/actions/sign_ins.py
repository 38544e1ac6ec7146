"""Who is signed in where: how long it holds, ending it from afar, and changing the password it began with."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from app.actions.passwords import digest_password
from app.actions.people import confirm_password, token_digest
from app.domain.errors import InputRefused, NotAllowed
from app.domain.people import Person, Right
from app.domain.preferences import preferences_from
from app.domain.sign_ins import HowLong, SignIn, Standing, standing_of
from app.settings import Settings
from app.store.book import Book, NotStored
from app.store.people import change_person, get_person
from app.store.sign_ins import (
    end_sign_ins_of,
    find_sign_in,
    get_preferences,
    handle_of,
    list_sign_ins,
    save_last_seen,
)
from app.store.tablets import end_tablets_of

NOTED_EVERY = timedelta(minutes=1)  # Each note is a write; a page more or less within a minute changes nothing.


def sign_in_of(
    book: Book, token: str, settings: Settings, now: datetime, is_use: bool = True
) -> tuple[SignIn | None, Standing]:
    """Find whose token it is and what it still opens; its use is noted, so that it slides, but not what a page asks."""
    with book.reading() as session:
        found = find_sign_in(session.connection(), token_digest(token))
        if found is None:
            return None, Standing.OVER
        found = replace(found, preferences=preferences_from(get_preferences(session, found.person.id)))
    standing = standing_of(found, _how_long(settings), now)
    if is_use and standing is Standing.OPEN and now - found.last_seen >= NOTED_EVERY:
        _note(book, token, now)
    return (None if standing is Standing.OVER else found), standing


def open_sign_ins(book: Book, asked: Sequence[tuple[str, datetime]], settings: Settings) -> list[SignIn | None]:
    """Find whose tokens these are, each at its moment; None where a token opens nothing just now. Use is noted."""
    with book.glancing() as connection:
        found = [find_sign_in(connection, token_digest(token)) for token, _ in asked]
    how_long = _how_long(settings)
    given: list[SignIn | None] = []
    for (token, now), sign_in in zip(asked, found, strict=True):
        if sign_in is None or standing_of(sign_in, how_long, now) is not Standing.OPEN:
            given.append(None)
            continue
        if now - sign_in.last_seen >= NOTED_EVERY:
            _note(book, token, now)
        given.append(sign_in)
    return given


def unlock(book: Book, person: Person, token: str, password: str, now: datetime, field: str) -> None:
    """Open a locked sign-in again by its person's password."""
    confirm_password(book, person, password, now, field)
    save_last_seen(book, token_digest(token), now)


def sign_ins_of(book: Book, by: Person, person_id: int) -> tuple[Person, list[SignIn]]:
    """List where a person is signed in: to themselves, and to a chief engineer."""
    must_be_own(by, person_id)
    with book.reading() as session:
        person = get_person(session, person_id)
        return person, list_sign_ins(session, person)


def end_from_afar(book: Book, by: Person, person_id: int, handle: str, token: str, now: datetime) -> None:
    """End one of a person's sign-ins, or without a handle all but the one in use."""
    must_be_own(by, person_id)
    own = handle_of(token_digest(token))
    with book.noting() as session:
        get_person(session, person_id)
        end_sign_ins_of(session, person_id, now, handle=handle, but="" if handle else own)


def change_password(
    book: Book, by: Person, person_id: int, proof: str, new: tuple[str, str], token: str, now: datetime
) -> None:
    """Give a person another password, by the password of whoever changes it; all their other sign-ins end."""
    must_be_own(by, person_id)
    if new[0] != new[1]:
        raise InputRefused({"again": "The two passwords differ. Type the same one twice."})
    confirm_password(book, by, proof, now, "proof")
    with book.reading() as session:
        person = get_person(session, person_id)
    digest = digest_password(new[0], name=person.name)
    with book.writing(by.name, now) as writing:
        change_person(writing, person_id, password_digest=digest)
        end_tablets_of(writing, person_id, "password changed")
        end_sign_ins_of(writing.session, person_id, now, but=handle_of(token_digest(token)))


def handle_in_use(token: str) -> str:
    """Name the sign-in that asks."""
    return handle_of(token_digest(token))


def _how_long(settings: Settings) -> HowLong:
    """Read from the settings how long a sign-in stands."""
    idle, unused = timedelta(minutes=settings.idle_minutes), timedelta(hours=settings.session_hours)
    return HowLong(idle, unused, timedelta(days=settings.session_days))


def _note(book: Book, token: str, now: datetime) -> None:
    """Note the use; a book that cannot be written just now can still be read."""
    try:
        save_last_seen(book, token_digest(token), now)
    except NotStored:
        return


def must_be_own(by: Person, person_id: int) -> None:
    """Refuse to touch another person's sign-ins and password, but to a chief engineer."""
    if by.id != person_id and not by.may(Right.MANAGE_PEOPLE):
        raise NotAllowed(f"{by.name} sees and ends only their own sign-ins. A chief engineer sees everybody's.")
