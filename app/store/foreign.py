"""Bundles from other books in and out: each kept as it came, with its provenance in the chain."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from sqlmodel import Session, col, select

from app.domain.canonical import as_dict
from app.domain.errors import NotThere
from app.store.book import Writing
from app.store.foreign_rows import ForeignBundleRow, ForeignFileRow, ForeignRecordRow


@dataclass(frozen=True)
class ForeignBundle:
    """A bundle as lists show it."""

    id: int
    digest: str
    site: str
    scope: str
    made_at: str
    made_by: str
    head_seq: int
    head_digest: str
    person: str
    at: datetime


@dataclass(frozen=True)
class ForeignRecord:
    """One record of another book: where it belongs, and the digest over it; `overhaul_id` is its number there."""

    site: str
    tag: str
    number: int
    overhaul_id: int
    digest: str
    bundle_id: int = 0


def save_bundle(
    writing: Writing,
    content: bytes,
    about: dict[str, object],
    records: list[ForeignRecord],
    told: dict[str, object] | None = None,
) -> int:
    """Keep a bundle with the records in it that the book did not hold yet; `told` stands in its entry alone."""
    digest = sha256(content).hexdigest()
    writing.insert(ForeignFileRow, digest=digest, content=content)
    values = {"digest": digest, **about, "person": writing.person, "at": writing.now}
    number = writing.insert(ForeignBundleRow, **values)
    writing.enter("bundle brought in", f"bundle {digest[:12]}", None, values | (told or {}))
    for record in records:
        kept = as_dict(record) | {"bundle_id": number}
        writing.insert(ForeignRecordRow, **kept)
        writing.enter("foreign record kept", f"{record.site}, {record.tag}, overhaul {record.number}", None, kept)
    return number


def list_bundles(session: Session) -> list[ForeignBundle]:
    """List the bundles, the newest first."""
    rows = session.exec(select(ForeignBundleRow).order_by(col(ForeignBundleRow.id).desc()))
    return [ForeignBundle(**row.model_dump()) for row in rows]


def get_bundle(session: Session, number: int) -> ForeignBundle:
    """Give a bundle by its number, or refuse."""
    row = session.get(ForeignBundleRow, number)
    if row is None:
        raise NotThere(f"No bundle number {number} was brought in.")
    return ForeignBundle(**row.model_dump())


def is_bundle_here(session: Session, digest: str) -> bool:
    """Whether the very same file was brought in before."""
    return session.exec(select(ForeignBundleRow.id).where(ForeignBundleRow.digest == digest)).first() is not None


def get_bundle_file(session: Session, digest: str) -> bytes:
    """Give a bundle's bytes as they came."""
    content = session.exec(select(ForeignFileRow.content).where(ForeignFileRow.digest == digest)).first()
    if content is None:
        raise NotThere("There is no such bundle in the book.")
    return content


def list_foreign_records(session: Session) -> list[ForeignRecord]:
    """List every state of every record of other books, as they were brought in."""
    rows = session.exec(select(ForeignRecordRow).order_by(col(ForeignRecordRow.id)))
    return [ForeignRecord(r.site, r.tag, r.number, r.overhaul_id, r.digest, r.bundle_id) for r in rows]


def altered_bundles(session: Session) -> Iterator[str]:
    """Name the bundles whose bytes are not those of their digest."""
    for digest in session.exec(select(ForeignFileRow.digest).order_by(col(ForeignFileRow.digest))):
        content = session.exec(select(ForeignFileRow.content).where(ForeignFileRow.digest == digest)).one()
        if not isinstance(content, bytes) or sha256(content).hexdigest() != digest:
            yield digest
