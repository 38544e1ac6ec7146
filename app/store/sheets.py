"""Limit sheets by name and revision, kept as the text they were imported from."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import exists, func
from sqlmodel import Session, col, select

from app.domain.canonical import digest
from app.domain.errors import NotThere, Sealed
from app.domain.limits import LimitSheet
from app.domain.sheet_file import read_sheet
from app.store.book import Writing
from app.store.rows import OverhaulRow, SheetRevisionRow


@dataclass(frozen=True)
class SheetSummary:
    """One revision of a sheet as lists show it."""

    id: int
    name: str
    revision: str
    machine_type: str
    imported_at: datetime
    imported_by: str
    is_used: bool
    is_current: bool


def save_sheet(writing: Writing, text: str, sheet: LimitSheet, warnings_accepted_by: str = "") -> int:
    """Keep a revision and give its number; the same text again changes nothing, another text is refused."""
    kept = _find_row(writing.session, sheet.name, sheet.revision)
    if kept is not None:
        return _same_text(kept, text)
    described = {"name": sheet.name, "revision": sheet.revision, "machine_type": sheet.machine_type}
    imported = {"imported_at": writing.now, "imported_by": writing.person, "warnings_accepted_by": warnings_accepted_by}
    values = {**described, **imported, "digest": digest(text)}
    number = writing.insert(SheetRevisionRow, text=text, **values)
    writing.enter("sheet imported", f"sheet {sheet.title}", None, values)
    return number


def list_sheets(session: Session) -> list[SheetSummary]:
    """List every revision, by name and then the newest first."""
    is_used = exists().where(col(OverhaulRow.sheet_revision_id) == col(SheetRevisionRow.id)).label("is_used")
    newest = session.exec(select(func.max(SheetRevisionRow.id)).group_by(col(SheetRevisionRow.name))).all()
    order = col(SheetRevisionRow.name), col(SheetRevisionRow.id).desc()
    rows = session.exec(select(SheetRevisionRow, is_used).order_by(*order))
    return [_summary(row, bool(used), row.id in newest) for row, used in rows]


def get_sheet(session: Session, name: str, revision: str) -> LimitSheet:
    """Give one revision of a sheet."""
    return read_sheet(get_sheet_text(session, name, revision))


def get_sheet_text(session: Session, name: str, revision: str) -> str:
    """Give the text a revision was imported from."""
    return get_sheet_row(session, name, revision).text


def current_sheet(session: Session, name: str) -> LimitSheet:
    """Give the revision of a sheet that was imported last."""
    newest = col(SheetRevisionRow.id).desc()
    text = session.exec(select(SheetRevisionRow.text).where(SheetRevisionRow.name == name).order_by(newest)).first()
    if text is None:
        raise NotThere(f"There is no limit sheet {name}.")
    return read_sheet(text)


def get_sheet_row(session: Session, name: str, revision: str) -> SheetRevisionRow:
    """Give the row of a revision, for the modules of the store."""
    row = _find_row(session, name, revision)
    if row is None:
        raise NotThere(f"There is no limit sheet {name} rev {revision}.")
    return row


def _find_row(session: Session, name: str, revision: str) -> SheetRevisionRow | None:
    """Find the row of a revision."""
    is_it = SheetRevisionRow.name == name, SheetRevisionRow.revision == revision
    return session.exec(select(SheetRevisionRow).where(*is_it)).one_or_none()


def _same_text(kept: SheetRevisionRow, text: str) -> int:
    """Give the number of a revision imported before, unless its text was another one."""
    if kept.text != text:
        raise Sealed(
            f"{kept.name} rev {kept.revision} is in the book with another text. A revision never changes; "
            "give the sheet a new revision."
        )
    return kept.id or 0


def _summary(row: SheetRevisionRow, is_used: bool, is_current: bool) -> SheetSummary:
    """Turn a row into a summary."""
    described = row.id or 0, row.name, row.revision, row.machine_type
    return SheetSummary(*described, row.imported_at, row.imported_by, is_used, is_current)
