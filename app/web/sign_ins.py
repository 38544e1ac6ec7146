"""One person's sign-ins and password: their own to everybody, anybody's to a chief engineer."""

from fastapi import APIRouter, Response

from app.actions.sign_ins import change_password, end_from_afar, handle_in_use, sign_ins_of
from app.domain.errors import InputRefused
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, one

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


def device_words(said: str) -> str:
    """Name a device as far as its browser tells.

    >>> device_words("Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Chrome/126.0 Mobile Safari/537.36")
    'Chromium on Android'
    >>> device_words("")
    'unknown device'
    """
    browser, device = (next((word for sign, word in each if sign in said), "") for each in (BROWSERS, DEVICES))
    return " on ".join(word for word in (browser, device) if word) or "unknown device"


def _shown(visit: Visit, person_id: int, errors: dict[str, str] | None = None) -> Response:
    """Show the page."""
    shown, sign_ins = sign_ins_of(visit.book, visit.person, person_id)
    rows = [(each, device_words(each.device), each.handle == handle_in_use(visit.token)) for each in sign_ins]
    status = 422 if errors else 200
    return page(visit, "people/person.html", status, shown=shown, sign_ins=rows, errors=errors or {})
