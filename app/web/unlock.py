"""The lock of an idle sign-in: password or PIN opens it again, and what was typed goes on where it was sent."""

from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from fastapi.responses import PlainTextResponse
from starlette.datastructures import FormData

from app.actions.sign_ins import unlock
from app.actions.tablets import PinEnded, unlock_by_pin
from app.domain.errors import InputRefused
from app.domain.people import Person
from app.web.page import go, page, with_tablet
from app.web.visit import Form, SignInNeeded, Visit, VisitNow, begin_visit, inside, one

router = APIRouter()
OWN = "unlock_"  # how the lock's own fields begin, so that they differ from those of any form it keeps
PASSWORD, PIN = "unlock_password", "unlock_pin"
NEVER_CARRIED = ("password", "proof", "again", "secret")  # no password and no PIN stands in a page, hidden or not


@router.get("/unlock")
def ask(visit: VisitNow, then: str = "/") -> Response:
    """Ask for the password of the sign-in that was idle."""
    return _locked(visit, inside(then)) if visit.locked else go(visit, inside(then))


@router.post("/unlock")
def open_again(visit: VisitNow, form: Form) -> Response:
    """Open it again, and go on with what was sent when it was found locked."""
    is_script, person = one(form, "unlock_here") == "yes", _person(visit, one(form, "unlock_who"))
    try:
        _open(visit, person, form)
    except InputRefused as refusal:
        if is_script:
            left = {"x-opens-by": "password"} if isinstance(refusal, PinEnded) else {}
            return PlainTextResponse("".join(refusal.fields.values()), 422, left)
        return _locked(visit, inside(one(form, "unlock_then")), form, refusal.fields)
    answer = Response(status_code=204) if is_script else _go_on(visit, form)
    return with_tablet(visit, answer)


def _open(visit: Visit, person: Person, form: FormData) -> None:
    """Open it by what was given: the PIN of this tablet, or the password."""
    if PIN in form:
        unlock_by_pin(visit.book, person, visit.token, visit.tablet, one(form, PIN), visit.now, PIN)
    else:
        unlock(visit.book, person, visit.token, one(form, PASSWORD), visit.now, PASSWORD)


def hold_form(visit: Visit, form: FormData) -> Response:
    """Keep a form that met the lock: it is sent on as it is once the password is given."""
    return _locked(visit, visit.request.url.path, form)


async def answer_locked(request: Request, error: Exception) -> Response:
    """Answer a request that met the lock: a fragment by nothing, a page by the question, a form by keeping it."""
    visit = begin_visit(request)
    if "hx-request" in request.headers or "fetch" in request.headers.get("x-requested-with", ""):
        return Response(status_code=204)
    if request.method == "POST":
        return hold_form(visit, await request.form())
    asked = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    return go(visit, f"/unlock?then={quote(asked, safe='/')}")


def _person(visit: Visit, expected: str = "") -> Person:
    """The person whose sign-in it is, locked or only covered by its page, which says whom it expects."""
    person = visit.locked or visit.signed_in
    if person is None or expected not in ("", str(person.id)):
        raise SignInNeeded
    return person


def _go_on(visit: Visit, form: FormData) -> Response:
    """Send the browser on: with the form that was kept, which it then sends again by itself, or to a page."""
    wanted, has_form = inside(one(form, "unlock_then")), bool(_kept(form))
    answer = go(visit, wanted)
    answer.status_code = 307 if has_form else 303
    return answer


def _locked(visit: Visit, then: str, form: FormData | None = None, errors: dict[str, str] | None = None) -> Response:
    """Show the question, with what is kept."""
    kept = _kept(form) if form else []
    status = 200 if form is None else 422 if errors else 401
    return page(visit, "unlock.html", status, who=_person(visit), then=then, kept=kept, errors=errors or {})


def _kept(form: FormData) -> list[tuple[str, str]]:
    """The fields of the form that met the lock, without the lock's own, passwords and files."""
    return [
        (name, value)
        for name, value in form.multi_items()
        if isinstance(value, str) and name != "csrf" and not name.startswith(OWN) and _may_be_carried(name)
    ]


def _may_be_carried(name: str) -> bool:
    """Whether a field holds no password."""
    return not any(word in name for word in NEVER_CARRIED)
