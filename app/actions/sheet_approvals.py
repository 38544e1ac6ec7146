"""Approving a limit sheet: a chief engineer signs a revision, with a picture of its source page."""

from datetime import datetime

from app.actions.people import confirm_password
from app.actions.pictures import Picture, safe_picture
from app.domain.approvals import Approval
from app.domain.canonical import canonical, digest
from app.domain.errors import Sealed
from app.domain.people import Person, Right
from app.store.book import Book, Writing
from app.store.sheet_approvals import has_judged, list_approvals, save_approval
from app.store.sheets import get_sheet_row


def approve_sheet(
    book: Book, by: Person, named: tuple[str, str], password: str, page: tuple[str, bytes], now: datetime
) -> None:
    """Sign a revision (name, revision), with the file of its source page (name, bytes) if one was sent; once."""
    by.must(Right.MANAGE_SHEETS)
    picture = confirmed_page(book, by, password, page, now)
    with book.writing(by.name, now) as writing:
        if not seal_revision(writing, named, picture):
            raise Sealed(f"{by.name} has approved this revision already.")


def confirmed_page(book: Book, by: Person, password: str, page: tuple[str, bytes], now: datetime) -> Picture | None:
    """Ask for the password before a signature, and make the picture of the source page safe, if one was sent."""
    confirm_password(book, by, password, now)
    return safe_picture(page[1], page[0]) if page[1] else None


def seal_revision(writing: Writing, named: tuple[str, str], picture: Picture | None) -> bool:
    """Put the seal of whoever writes under a revision; tell whether it is new, since each person signs once."""
    row = get_sheet_row(writing.session, *named)
    number = row.id or 0
    if any(each.person == writing.person for each in list_approvals(writing.session, number)):
        return False
    shown = picture.digest if picture else None
    content = canonical(
        {"meaning": "approved", "sheet": row.name, "revision": row.revision, "text": row.digest, "page": shown}
    )
    approval = Approval(row.digest, shown, writing.person, writing.now, digest(content))
    pixels = picture.content if picture else None
    save_approval(writing, (number, f"{row.name} rev {row.revision}"), approval, content, pixels)
    return True


def approvals_of(book: Book, name: str, revision: str) -> tuple[Approval, ...]:
    """The approvals of a revision."""
    with book.reading() as session:
        return list_approvals(session, get_sheet_row(session, name, revision).id or 0)


def is_approval_due(book: Book, name: str, revision: str) -> bool:
    """Whether decisions wait for a signature under a revision; one that judged before any was asked for goes on."""
    with book.reading() as session:
        number = get_sheet_row(session, name, revision).id or 0
        return not list_approvals(session, number) and not has_judged(session, number)
