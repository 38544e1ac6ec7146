"""Photos in and out: the picture once by its digest, its entry in the chain in the same transaction."""

from collections.abc import Iterator
from dataclasses import replace
from hashlib import sha256

from sqlmodel import Session, col, select

from app.domain.canonical import as_dict
from app.domain.errors import NotThere
from app.domain.photos import Photo, Withdrawal
from app.store.book import Writing
from app.store.chain import overhaul_subject
from app.store.photo_rows import PhotoFileRow, PhotoRow, PhotoWithdrawalRow
from app.store.rows import rows_of_overhaul


def save_photo(writing: Writing, overhaul_id: int, photo: Photo, content: bytes) -> None:
    """Keep a photo; the same picture is kept once however often it is shown."""
    keep_picture(writing, photo.digest, content)
    values = {"overhaul_id": overhaul_id, **as_dict(photo)}
    del values["withdrawn"]
    writing.insert(PhotoRow, **values)
    writing.enter("photo added", overhaul_subject(overhaul_id), None, values, photo.note)


def keep_picture(writing: Writing, digest: str, content: bytes) -> None:
    """Keep a picture's bytes, unless the very same are kept already."""
    if writing.session.get(PhotoFileRow, digest) is None:
        writing.insert(PhotoFileRow, digest=digest, content=content)


def save_withdrawal(writing: Writing, overhaul_id: int, photo: Photo, withdrawal: Withdrawal) -> None:
    """Keep that a photo was withdrawn; it stays where it is."""
    values = {"overhaul_id": overhaul_id, "photo": photo.id, **as_dict(withdrawal)}
    writing.insert(PhotoWithdrawalRow, **values)
    writing.enter("photo withdrawn", overhaul_subject(overhaul_id), photo.id, values, withdrawal.reason)


def list_photos(session: Session, overhaul_id: int) -> tuple[Photo, ...]:
    """List an overhaul's photos in the order they were stored, withdrawn ones too."""
    rows = rows_of_overhaul(session, PhotoWithdrawalRow, overhaul_id)
    withdrawn = {row.photo: Withdrawal(row.reason, row.person, row.at) for row in rows}
    photos = rows_of_overhaul(session, PhotoRow, overhaul_id)
    return tuple(replace(_photo(row), withdrawn=withdrawn.get(row.id)) for row in photos)


def find_photo(session: Session, identifier: str) -> tuple[int, Photo] | None:
    """Find a photo by the tablet's identifier, with its overhaul."""
    row = session.exec(select(PhotoRow).where(PhotoRow.id == identifier)).one_or_none()
    return (row.overhaul_id, _photo(row)) if row else None


def get_photo_file(session: Session, digest: str) -> bytes:
    """Give a picture's bytes."""
    row = session.get(PhotoFileRow, digest)
    if row is None:
        raise NotThere("There is no such photo in the book.")
    return row.content


def altered_photos(session: Session) -> Iterator[str]:
    """Name the pictures whose bytes are not those of their digest."""
    for digest in session.exec(select(PhotoFileRow.digest).order_by(col(PhotoFileRow.digest))):
        content = session.exec(select(PhotoFileRow.content).where(PhotoFileRow.digest == digest)).one()
        if not isinstance(content, bytes) or sha256(content).hexdigest() != digest:
            yield digest


def _photo(row: PhotoRow) -> Photo:
    """Turn a row into a photo."""
    size = row.width, row.height
    told = row.id, row.part, row.reading, row.note, row.digest, row.sent_digest
    return Photo(*told, *size, row.person, row.at, taken_at=row.taken_at)
