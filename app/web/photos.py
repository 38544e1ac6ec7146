"""Photos of a part: added from the tablet's camera or a file, looked at, and withdrawn."""

from dataclasses import dataclass
from uuid import uuid4

from fastapi import APIRouter, Response
from starlette.datastructures import FormData, UploadFile

from app.actions.overhauls import overhaul
from app.actions.photos import LONGEST_NOTE, TypedPhoto, add_photo, is_signed_for, photo_file, withdraw_photo
from app.actions.pictures import MOST_BYTES
from app.domain.errors import InputRefused, NotThere, Sealed
from app.domain.limits import Part
from app.domain.overhaul import Overhaul
from app.domain.people import Right
from app.domain.phases import CLOSED, phase_of
from app.domain.photos import Photo
from app.domain.readings import Kind, left
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, made_at, one

router = APIRouter()
FOR_EVER = "private, max-age=31536000, immutable"
THE_PART = "part"  # what a photo shows that is of no reading
FIELDS = ("note", "reading", "reason", "photo_id")


@dataclass(frozen=True)
class ShownPhoto:
    """A photo with what stands beside it on pages."""

    photo: Photo
    of: str
    may_withdraw: bool = False

    @property
    def href(self) -> str:
        """The address of the picture."""
        return f"/photos/{self.photo.digest}"

    @property
    def words(self) -> str:
        """What the picture shows, for whoever cannot see it."""
        return f"Photo of {self.of}" + (f": {self.photo.note}" if self.photo.note else "")


@router.get("/overhauls/{overhaul_id}/photos/{ref}")
def show_photos(visit: VisitNow, overhaul_id: int, ref: str) -> Response:
    """Show the photos of a part, and the form for another."""
    visit.person.must(Right.READ)
    return _show(visit, overhaul(visit.book, overhaul_id), ref)


@router.post("/overhauls/{overhaul_id}/photos")
def keep_photo(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Keep a photo; what is refused is said beside its field."""
    visit.person.must(Right.GAUGE)
    name, content = _file(form)
    reading = one(form, "reading").removeprefix(THE_PART)
    typed = TypedPhoto(
        one(form, "id"), one(form, "part"), reading, one(form, "note"), name, content, made_at(visit, form)
    )
    try:
        add_photo(visit.book, visit.person, overhaul_id, typed, visit.now)
    except InputRefused as refusal:
        return _show(visit, overhaul(visit.book, overhaul_id), typed.part, form, refusal.fields)
    return go(visit, f"/overhauls/{overhaul_id}/photos/{typed.part}")


@router.post("/overhauls/{overhaul_id}/photos/{ref}")
def withdraw(visit: VisitNow, overhaul_id: int, ref: str, form: Form) -> Response:
    """Withdraw a wrong photo, with the reason."""
    visit.person.must(Right.GAUGE)
    photo_id, reason = one(form, "photo_id"), one(form, "reason")
    try:
        withdraw_photo(visit.book, visit.person, overhaul_id, photo_id, reason, visit.now)
    except InputRefused as refusal:
        return _show(visit, overhaul(visit.book, overhaul_id), ref, form, refusal.fields)
    except Sealed:
        return go(visit, f"/overhauls/{overhaul_id}/photos/{ref}?done=stands")
    return go(visit, f"/overhauls/{overhaul_id}/photos/{ref}")


@router.get("/photos/{digest}")
def show_picture(visit: VisitNow, digest: str) -> Response:
    """Give a picture, as it is kept; its address names its content, so that a browser may keep it for ever."""
    visit.person.must(Right.READ)
    content = photo_file(visit.book, digest)
    headers = {"cache-control": FOR_EVER, "etag": f'"{digest}"', "content-disposition": "inline"}
    return Response(content, media_type="image/jpeg", headers=headers)


def shown_photos(found: Overhaul, stage: int | None = None) -> tuple[ShownPhoto, ...]:
    """The photos that stand, of one stage or of all, in the order of the parts."""
    parts = [part for part in found.parts if stage in (None, part.stage)]
    return tuple(_shown(found, part, photo) for part in parts for photo in photos_of(found, part) if photo.stands)


def photos_of(found: Overhaul, part: Part) -> tuple[Photo, ...]:
    """The photos of a part, withdrawn ones too."""
    return tuple(photo for photo in found.photos if photo.part == part.ref)


def _shown(found: Overhaul, part: Part, photo: Photo) -> ShownPhoto:
    """Lay a photo out with what it is of."""
    reading = next((r for r in (*found.readings, *found.looks) if r.id == photo.reading), None)
    of = f"{part.item} {part.name}" + (f", {reading.written}" if reading else "")
    return ShownPhoto(photo, of, photo.stands and not is_signed_for(found, photo))


def _file(form: FormData) -> tuple[str, bytes]:
    """Read the file that was sent, from the camera or chosen; one byte too many tells that it is too large."""
    sent = [file for name in ("photo", "file") if isinstance(file := form.get(name), UploadFile) and file.size]
    return (sent[0].filename or "", sent[0].file.read(MOST_BYTES + 1)) if sent else ("", b"")


def _show(
    visit: Visit, found: Overhaul, ref: str, form: FormData | None = None, errors: dict[str, str] | None = None
) -> Response:
    """Show the photos of a part."""
    part = next((part for part in found.parts if part.ref == ref), None)
    if part is None:
        raise NotThere("This overhaul does not cover this part.")
    may_add = visit.person.may(Right.GAUGE) and phase_of(found) not in CLOSED
    return page(
        visit, "photos/photos.html", 422 if errors else 200, strip=strip(visit, found, part.stage), part=part,
        photos=[_shown(found, part, photo) for photo in photos_of(found, part)], may_add=may_add,
        readings=_readings(found, part), request_id=uuid4().hex, errors=errors or {}, longest_note=LONGEST_NOTE,
        most_bytes=MOST_BYTES,
        typed={name: one(form, name) if form else "" for name in FIELDS},
    )  # fmt: skip


def _readings(found: Overhaul, part: Part) -> list[tuple[str, str]]:
    """The readings a photo may show, and the part alone."""
    names = {characteristic.key: characteristic.name for characteristic in part.characteristics}
    entered = (*left(found.readings), *left(found.looks))
    entries = [r for r in entered if r.place.part == part.ref and r.kind is not Kind.CANNOT]
    places = [(r, (names.get(r.place.characteristic, "Condition"), r.place.level, r.place.axis)) for r in entries]
    return [
        (THE_PART, "The part"),
        *((r.id, f"{', '.join(w for w in words if w)}: {r.written}") for r, words in places),
    ]
