"""Photos are added to a part, looked at, and withdrawn with a reason while nobody has signed for them."""

from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from app.actions.overhauls import LONGEST_ID, SHORTEST_ID
from app.actions.pictures import Picture, safe_picture
from app.domain.entries import LONGEST_REASON, SHORTEST_REASON
from app.domain.errors import InputRefused, NotThere, Sealed
from app.domain.overhaul import Meaning, Overhaul
from app.domain.people import Person, Right
from app.domain.phases import require_live
from app.domain.photos import Photo, Withdrawal
from app.store.book import Book
from app.store.overhauls import get_overhaul
from app.store.photos import find_photo, get_photo_file, save_photo, save_withdrawal

LONGEST_NOTE = 200
COVERING = (Meaning.DECIDED, Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF)


@dataclass(frozen=True)
class TypedPhoto:
    """A photo as the form sends it: what it is of, and the file with its name."""

    id: str
    part: str
    reading: str
    note: str
    name: str
    content: bytes
    taken_at: datetime | None = None


def add_photo(book: Book, by: Person, overhaul_id: int, typed: TypedPhoto, now: datetime) -> None:
    """Keep a photo; the same one sent twice is kept once."""
    by.must(Right.GAUGE)
    if not SHORTEST_ID <= len(typed.id) <= LONGEST_ID:
        raise NotThere("This form has no identifier: load its page again.")
    if len(typed.note) > LONGEST_NOTE:
        raise InputRefused({"note": f"At most {LONGEST_NOTE} characters."})
    if _is_kept(book, overhaul_id, typed):
        return
    picture = safe_picture(typed.content, typed.name)  # decoded before the book is held
    with book.writing(by.name, now) as writing:
        _require_open(get_overhaul(writing.session, overhaul_id), typed)
        if find_photo(writing.session, typed.id) is None:
            save_photo(writing, overhaul_id, _photo(typed, picture, by, now), picture.content)


def _is_kept(book: Book, overhaul_id: int, typed: TypedPhoto) -> bool:
    """Whether this very photo is kept already; an identifier never stands for another one."""
    with book.reading() as session:
        found = find_photo(session, typed.id)
    if found is None:
        return False
    kept_in, photo = found
    same = kept_in, photo.part, photo.reading, photo.sent_digest
    if same != (overhaul_id, typed.part, typed.reading, sha256(typed.content).hexdigest()):
        raise InputRefused({"photo": "This identifier stands for another photo. Load the page again, then send it."})
    return True


def _require_open(found: Overhaul, typed: TypedPhoto) -> None:
    """Refuse a photo of what the overhaul does not cover, or of an overhaul that is signed back into service."""
    if typed.part not in [part.ref for part in found.parts]:
        raise NotThere("This overhaul does not cover this part.")
    readings = [reading.id for reading in (*found.readings, *found.looks) if reading.place.part == typed.part]
    if typed.reading and typed.reading not in readings:
        raise NotThere("This part has no such reading.")
    require_live(found)
    if found.signature(Meaning.RETURNED_FITTER) or found.signature(Meaning.RETURNED_CHIEF):
        raise Sealed("The machine is signed back into service. No photo is added any more.")


def _photo(typed: TypedPhoto, picture: Picture, by: Person, now: datetime) -> Photo:
    """Lay the photo out as it is kept."""
    sent = sha256(typed.content).hexdigest()
    size = picture.width, picture.height
    told = typed.id, typed.part, typed.reading, typed.note.strip(), picture.digest, sent
    return Photo(*told, *size, by.name, now, taken_at=typed.taken_at)


def withdraw_photo(book: Book, by: Person, overhaul_id: int, photo_id: str, reason: str, now: datetime) -> Photo:
    """Withdraw a wrong photo, with the reason; what somebody has signed for stays."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        photo = next((photo for photo in found.photos if photo.id == photo_id), None)
        if photo is None:
            raise NotThere("There is no such photo in this overhaul.")
        if is_signed_for(found, photo):
            raise Sealed("This photo has been signed for, and stays.")
        if not SHORTEST_REASON <= len(reason.strip()) <= LONGEST_REASON:
            raise InputRefused({"reason": f"Say why, in {SHORTEST_REASON} to {LONGEST_REASON} characters."})
        if photo.stands:
            save_withdrawal(writing, overhaul_id, photo, Withdrawal(reason.strip(), by.name, now))
        return photo


def is_signed_for(found: Overhaul, photo: Photo) -> bool:
    """Whether a signature covers a photo."""
    return any(signature.at >= photo.at for signature in found.signatures if signature.meaning in COVERING)


def photo_file(book: Book, digest: str) -> bytes:
    """Give the picture with this digest."""
    with book.reading() as session:
        return get_photo_file(session, digest)
