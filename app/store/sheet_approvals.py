"""Approvals of limit sheets in and out: a seal over the revision's text, with a picture of its source page."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field, Session, SQLModel, col, select

from app.domain.approvals import Approval
from app.domain.overhaul import Meaning
from app.store.book import Writing
from app.store.fact_rows import SignatureRow
from app.store.photos import keep_picture
from app.store.rows import OverhaulRow
from app.store.together import once

TOLD = ("sheet_digest", "picture", "person", "at", "digest")


class SheetApprovalRow(SQLModel, table=True):
    """The approval of a revision with the very content that was signed."""

    __tablename__ = "sheet_approval"
    id: int | None = Field(default=None, primary_key=True)
    sheet_revision_id: int = Field(foreign_key="sheet_revision.id", index=True)
    sheet_digest: str
    picture: str | None = Field(default=None, foreign_key="photo_file.digest")
    person: str
    at: datetime
    digest: str
    content: str = Field(sa_type=Text)
    site_key: str | None = None
    site_signature: str | None = None


def save_approval(
    writing: Writing, sheet: tuple[int, str], approval: Approval, content: str, picture: bytes | None
) -> None:
    """Keep an approval of a revision (its number and title) in the same transaction as its picture."""
    if picture is not None and approval.picture is not None:
        keep_picture(writing, approval.picture, picture)
    number, title = sheet
    sealed = writing.sealed({"sheet_revision_id": number, **{name: getattr(approval, name) for name in TOLD}})
    writing.insert(SheetApprovalRow, content=content, **sealed)
    writing.enter("sheet approved", f"sheet {title}", None, sealed)


def list_approvals(session: Session, sheet_revision_id: int) -> tuple[Approval, ...]:
    """List the approvals of a revision, the first one first."""
    return once(session, (SheetApprovalRow, sheet_revision_id), lambda: _approvals(session, sheet_revision_id))


def _approvals(session: Session, sheet_revision_id: int) -> tuple[Approval, ...]:
    """Ask for the approvals of a revision."""
    of_sheet = select(SheetApprovalRow).where(SheetApprovalRow.sheet_revision_id == sheet_revision_id)
    rows = session.exec(of_sheet.order_by(col(SheetApprovalRow.id)))
    return tuple(Approval(row.sheet_digest, row.picture, row.person, row.at, row.digest) for row in rows)


def has_judged(session: Session, sheet_revision_id: int) -> bool:
    """Whether decisions were signed by a revision, in any overhaul."""
    return once(session, (SignatureRow, sheet_revision_id), lambda: _has_judged(session, sheet_revision_id))


def _has_judged(session: Session, sheet_revision_id: int) -> bool:
    """Ask whether decisions were signed by a revision."""
    decided = (
        select(SignatureRow.id)
        .join(OverhaulRow, col(OverhaulRow.id) == col(SignatureRow.overhaul_id))
        .where(OverhaulRow.sheet_revision_id == sheet_revision_id, SignatureRow.meaning == Meaning.DECIDED.value)
    )
    return session.exec(decided.limit(1)).first() is not None


def source_pictures(session: Session, sheet_ids: set[int] | None) -> list[str]:
    """Give the digests of the source pages' pictures, of some revisions or of all."""
    asked = select(SheetApprovalRow.picture, SheetApprovalRow.sheet_revision_id).order_by(col(SheetApprovalRow.id))
    rows = session.exec(asked).all()
    found = [picture for picture, number in rows if picture and (sheet_ids is None or number in sheet_ids)]
    return list(dict.fromkeys(found))
