"""Tablets enrolled for a PIN: set behind the password, good for nothing but opening one's own idle sign-in there."""

import logging
import secrets
from dataclasses import dataclass
from datetime import datetime

from app.actions.passwords import HASHER, is_password
from app.actions.people import confirm_password, token_digest
from app.actions.sign_ins import must_be_own
from app.domain.errors import InputRefused, NotAllowed
from app.domain.people import Person
from app.domain.pins import MOST_WRONG, pin_fault, tries_left
from app.store.book import Book
from app.store.people import get_person
from app.store.sign_ins import save_last_seen
from app.store.tablets import (
    Tablet,
    count_wrong_pin,
    end_tablet,
    find_pin,
    forget_wrong_pins,
    get_tablet,
    list_tablets,
    save_tablet,
)

LONGEST_NAME = 60
LOG = logging.getLogger("wearbook")
LOCKED_OUT = f"{MOST_WRONG} wrong PINs"


class PinEnded(InputRefused):
    """No PIN opens this sign-in: too many were wrong, or none was set for this person on this tablet."""


@dataclass(frozen=True)
class TypedTablet:
    """What a person types to enrol the tablet in their hands."""

    name: str
    pin: str
    again: str
    proof: str


def enrol_tablet(book: Book, by: Person, person_id: int, typed: TypedTablet, device: str, now: datetime) -> str:
    """Enrol the tablet in a person's own hands, by their password; give the secret that marks the tablet."""
    if by.id != person_id:
        raise NotAllowed("A PIN is set by its own person alone, on the tablet in their hands.")
    name, refused = typed.name.strip(), {}
    if not 0 < len(name) <= LONGEST_NAME or not name.isprintable():
        refused["tablet"] = f"Name the tablet, with at most {LONGEST_NAME} characters."
    if fault := pin_fault(typed.pin):
        refused["pin_secret"] = fault
    elif typed.pin != typed.again:
        refused["pin_again"] = "The two PINs differ. Type the same one twice."
    if refused:
        raise InputRefused(refused)
    confirm_password(book, by, typed.proof, now, "pin_proof")
    device = device or secrets.token_urlsafe(32)
    digest = HASHER.hash(_bound(device, typed.pin))
    with book.writing(by.name, now) as writing:
        save_tablet(writing, by.id, name, token_digest(device), digest)
    return device


def revoke_tablet(book: Book, by: Person, person_id: int, number: int, now: datetime) -> None:
    """End an enrolment: one's own, or a chief engineer anybody's."""
    must_be_own(by, person_id)
    with book.writing(by.name, now) as writing:
        tablet = get_tablet(writing.session, person_id, number)
        end_tablet(writing, tablet.id, "revoked")


def tablets_of(book: Book, by: Person, person_id: int) -> list[Tablet]:
    """List the tablets on which a person's PIN holds: to themselves, and to a chief engineer."""
    must_be_own(by, person_id)
    with book.reading() as session:
        return list_tablets(session, get_person(session, person_id).id)


def has_pin(book: Book, person: Person, device: str) -> bool:
    """Whether a person's PIN holds on the tablet that shows this secret."""
    if not device:
        return False
    with book.reading() as session:
        return find_pin(session, person.id, token_digest(device)) is not None


def unlock_by_pin(book: Book, person: Person, token: str, device: str, pin: str, now: datetime, field: str) -> None:
    """Open a person's own idle sign-in by the PIN of this tablet; too many wrong ones end the tablet's enrolment."""
    with book.reading() as session:
        found = find_pin(session, person.id, token_digest(device)) if device else None
    if found is None:
        raise PinEnded({field: "No PIN opens here. Give the password."})
    wrong = count_wrong_pin(book, token_digest(token))
    if wrong <= MOST_WRONG and is_password(_bound(device, pin), found[1]):
        forget_wrong_pins(book, token_digest(token))
        save_last_seen(book, token_digest(token), now)
        return
    LOG.warning("wrong PIN of %s", person.name)
    if not tries_left(wrong):
        with book.writing(person.name, now) as writing:
            end_tablet(writing, found[0], LOCKED_OUT)
        raise PinEnded({field: f"{LOCKED_OUT}: the PIN has ended on this tablet. Give the password."})
    raise InputRefused({field: f"This is not {person.name}'s PIN on this tablet. Tries left: {tries_left(wrong)}."})


def _bound(device: str, pin: str) -> str:
    """Bind a PIN to its tablet: without the tablet's secret its digest tells nothing of so few digits."""
    return f"{device}:{pin}"
