"""Tablets that people enrolled for a PIN: each enrolment and its end is an entry of the chain."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select, update
from sqlmodel import Session, col
from sqlmodel import select as select_rows

from app.domain.canonical import digest
from app.domain.errors import NotThere
from app.store.book import Book, Writing
from app.store.rows import SignInRow, table_of
from app.store.tablet_rows import TabletRow

TABLE, SIGN_IN = table_of(TabletRow), table_of(SignInRow)


@dataclass(frozen=True)
class Tablet:
    """An enrolment that holds."""

    id: int
    person_id: int
    name: str
    device_digest: str
    enrolled_at: datetime


def save_tablet(writing: Writing, person_id: int, name: str, device_digest: str, pin_digest: str) -> int:
    """Keep an enrolment; one of the same person on the same tablet ends by it."""
    for tablet in list_tablets(writing.session, person_id):
        if tablet.device_digest == device_digest:
            end_tablet(writing, tablet.id, "enrolled anew")
    values = {"person_id": person_id, "name": name, "device_digest": device_digest, "enrolled_at": writing.now}
    number = writing.insert(TabletRow, pin_digest=pin_digest, **values)
    not_ended = {"ended_at": None, "ended_by": None, "why_ended": None}
    writing.enter("tablet enrolled", f"tablet {number}", None, values | {"check": digest(pin_digest)} | not_ended)
    return number


def end_tablet(writing: Writing, number: int, why: str) -> None:
    """End an enrolment; its row stays, and one that has ended is left as it is."""
    ended = {"ended_at": writing.now, "ended_by": writing.person, "why_ended": why}
    is_open = TABLE.c.id == number, TABLE.c.ended_at.is_(None)
    if writing.session.connection().execute(update(TABLE).where(*is_open).values(ended)).rowcount:
        writing.enter("tablet ended", f"tablet {number}", None, ended, why)


def end_tablets_of(writing: Writing, person_id: int, why: str) -> None:
    """End every enrolment of a person."""
    for tablet in list_tablets(writing.session, person_id):
        end_tablet(writing, tablet.id, why)


def list_tablets(session: Session, person_id: int) -> list[Tablet]:
    """List the enrolments of a person that hold, the newest first."""
    is_open = col(TabletRow.person_id) == person_id, col(TabletRow.ended_at).is_(None)
    asked = select_rows(TabletRow).where(*is_open).order_by(col(TabletRow.id).desc())
    return [
        Tablet(row.id or 0, row.person_id, row.name, row.device_digest, row.enrolled_at) for row in session.exec(asked)
    ]


def get_tablet(session: Session, person_id: int, number: int) -> Tablet:
    """Give an enrolment of a person that holds, or refuse."""
    found = next((tablet for tablet in list_tablets(session, person_id) if tablet.id == number), None)
    if found is None:
        raise NotThere("There is no such tablet of this person.")
    return found


def find_pin(session: Session, person_id: int, device_digest: str) -> tuple[int, str] | None:
    """Find the enrolment that holds of a person on a tablet: its number and the digest of its PIN."""
    is_it = TABLE.c.person_id == person_id, TABLE.c.device_digest == device_digest, TABLE.c.ended_at.is_(None)
    row = session.connection().execute(select(TABLE.c.id, TABLE.c.pin_digest).where(*is_it)).first()
    return (row.id, row.pin_digest) if row else None


def count_wrong_pin(book: Book, token_digest: str) -> int:
    """Count a PIN as wrong before it is looked at, so that none is tried beside the count; give how many there were."""
    is_it = SIGN_IN.c.token_digest == token_digest, SIGN_IN.c.ended_at.is_(None)
    with book.noting() as session:
        connection = session.connection()
        connection.execute(update(SIGN_IN).where(*is_it).values(wrong_pins=SIGN_IN.c.wrong_pins + 1))
        return connection.execute(select(SIGN_IN.c.wrong_pins).where(*is_it)).scalar_one_or_none() or 0


def forget_wrong_pins(book: Book, token_digest: str) -> None:
    """Begin counting anew, after the right PIN."""
    with book.noting() as session:
        session.connection().execute(update(SIGN_IN).where(SIGN_IN.c.token_digest == token_digest).values(wrong_pins=0))
