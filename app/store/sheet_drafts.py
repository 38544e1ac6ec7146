"""Limit sheets in the making, in and out of the book."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, update
from sqlmodel import Session, col, select

from app.domain.errors import NotThere
from app.store.book import Book
from app.store.draft_rows import SheetDraftRow
from app.store.rows import table_of

TABLE = table_of(SheetDraftRow)


@dataclass(frozen=True)
class SheetDraft:
    """A limit sheet in the making."""

    id: int
    title: str
    text: str
    version: int
    changed_by: str
    changed_at: datetime
    approved_as: str


def save_new_draft(book: Book, title: str, text: str, person: str, now: datetime) -> int:
    """Keep a new draft, and give its number."""
    with book.noting() as session:
        row = SheetDraftRow(title=title, text=text, version=1, changed_by=person, changed_at=now, approved_as="")
        session.add(row)
        session.flush()
        return row.id or 0


def save_draft(book: Book, before: SheetDraft, title: str, text: str, person: str, now: datetime) -> bool:
    """Keep a draft in place of what stood there; tell whether nobody else had changed it meanwhile."""
    values = {"title": title, "text": text, "version": before.version + 1, "changed_by": person, "changed_at": now}
    is_it = TABLE.c.id == before.id, TABLE.c.version == before.version, TABLE.c.approved_as == ""
    with book.noting() as session:
        return session.connection().execute(update(TABLE).where(*is_it).values(**values)).rowcount == 1


def close_draft(session: Session, draft_id: int, approved_as: str) -> None:
    """Keep which revision a draft became, in the transaction that makes it one."""
    session.connection().execute(update(TABLE).where(TABLE.c.id == draft_id).values(approved_as=approved_as))


def drop_draft(book: Book, draft_id: int) -> None:
    """Throw a draft away."""
    with book.noting() as session:
        session.connection().execute(delete(TABLE).where(TABLE.c.id == draft_id))


def get_draft(session: Session, draft_id: int) -> SheetDraft:
    """Give one draft."""
    row = session.get(SheetDraftRow, draft_id)
    if row is None:
        raise NotThere("There is no such draft; it may have been thrown away.")
    return _draft(row)


def list_drafts(session: Session) -> list[SheetDraft]:
    """List the drafts that have not become a revision yet, the newest first."""
    newest_first = col(SheetDraftRow.id).desc()
    rows = session.exec(select(SheetDraftRow).where(SheetDraftRow.approved_as == "").order_by(newest_first))
    return [_draft(row) for row in rows]


def _draft(row: SheetDraftRow) -> SheetDraft:
    """Turn a row into a draft."""
    changed = row.version, row.changed_by, row.changed_at
    return SheetDraft(row.id or 0, row.title, row.text, *changed, row.approved_as)
