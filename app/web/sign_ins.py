"""One person's sign-ins, password and tablets: their own to everybody, anybody's to a chief engineer."""

from fastapi import APIRouter, Depends, Response

from app.actions.people import token_digest
from app.actions.sign_ins import change_password, end_from_afar, handle_in_use, sign_ins_of
from app.actions.tablets import TypedTablet, enrol_tablet, revoke_tablet, tablets_of
from app.domain.errors import InputRefused
from app.web.page import go, page, with_tablet
from app.web.visit import Form, Visit, VisitNow, one, read_form

router = APIRouter()
# What a browser says of itself, and the words for it; the first that is found tells.
DEVICES = (("Android", "Android"), ("iPad", "iPad"), ("iPhone", "iPhone"), ("Windows", "Windows"), ("Mac", "Mac"))
BROWSERS = (("Edg", "Edge"), ("Firefox", "Firefox"), ("Chrom", "Chromium"), ("Safari", "Safari"))


@router.get("/people/{person_id}")
def show(visit: VisitNow, person_id: int) -> Response:
    """Show where a person is signed in."""
    return _shown(visit, person_id)


@router.post("/people/{person_id}/sign-ins")
def end(visit: VisitNow, person_id: int, form: Form) -> Response:
    """End one sign-in, or all but the one in use."""
    end_from_afar(visit.book, visit.person, person_id, one(form, "handle"), visit.token, visit.now)
    return go(visit, f"/people/{person_id}?done=ended")


@router.post("/people/{person_id}/password")
def change(visit: VisitNow, person_id: int, form: Form) -> Response:
    """Change a password, by the password of whoever changes it."""
    new = one(form, "password"), one(form, "again")
    try:
        change_password(visit.book, visit.person, person_id, one(form, "proof"), new, visit.token, visit.now)
    except InputRefused as refusal:
        return _shown(visit, person_id, refusal.fields)
    return go(visit, f"/people/{person_id}?done=password")


@router.post("/people/{person_id}/tablets")
def enrol(visit: VisitNow, person_id: int, form: Form) -> Response:
    """Enrol the tablet in a person's hands for a PIN."""
    typed = TypedTablet(*(one(form, name) for name in ("tablet", "pin_secret", "pin_again", "pin_proof")))
    try:
        secret = enrol_tablet(visit.book, visit.person, person_id, typed, visit.tablet, visit.now)
    except InputRefused as refusal:
        return _shown(visit, person_id, refusal.fields, typed.name)
    return with_tablet(visit, go(visit, f"/people/{person_id}?done=tablet"), secret)


@router.post("/people/{person_id}/tablets/{tablet_id}/end", dependencies=[Depends(read_form)])
def revoke(visit: VisitNow, person_id: int, tablet_id: int) -> Response:
    """End what a PIN opens on one tablet."""
    revoke_tablet(visit.book, visit.person, person_id, tablet_id, visit.now)
    return go(visit, f"/people/{person_id}?done=tablet-ended")


def device_words(said: str) -> str:
    """Name a device as far as its browser tells.

    >>> device_words("Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Chrome/126.0 Mobile Safari/537.36")
    'Chromium on Android'
    >>> device_words("")
    'unknown device'
    """
    browser, device = (next((word for sign, word in each if sign in said), "") for each in (BROWSERS, DEVICES))
    return " on ".join(word for word in (browser, device) if word) or "unknown device"


def _shown(visit: Visit, person_id: int, errors: dict[str, str] | None = None, tablet: str = "") -> Response:
    """Show the page."""
    shown, sign_ins = sign_ins_of(visit.book, visit.person, person_id)
    rows = [(each, device_words(each.device), each.handle == handle_in_use(visit.token)) for each in sign_ins]
    given = {"shown": shown, "sign_ins": rows, "tablets": tablets_of(visit.book, visit.person, person_id)}
    given |= {"here": token_digest(visit.tablet), "tablet": tablet or device_words(_device(visit))}
    return page(visit, "people/person.html", 422 if errors else 200, errors=errors or {}, **given)


def _device(visit: Visit) -> str:
    """What the browser in use says of itself."""
    return visit.request.headers.get("user-agent", "")
