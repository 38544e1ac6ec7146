"""Signing in and out, and the first person of an empty book."""

from contextlib import suppress

from fastapi import APIRouter, Depends, Response

from app.actions.people import add_first_person, has_people, preferences, sign_in, sign_out
from app.demonstration.people import PEOPLE
from app.domain.errors import InputRefused, NotAllowed
from app.domain.preferences import Light
from app.web.cookies import BOOK_COOKIE, drop_cookie, put_cookie
from app.web.page import go, page, with_light
from app.web.visit import Form, Visit, VisitNow, inside, one, read_form

router = APIRouter()


@router.get("/sign-in")
def ask(visit: VisitNow, then: str = "") -> Response:
    """Show the sign-in page; an empty book asks for its first person instead."""
    return _form(visit, {"then": then}) if has_people(visit.book) else go(visit, "/first-use")


@router.post("/sign-in")
def enter(visit: VisitNow, form: Form) -> Response:
    """Sign in and go on to the page asked for."""
    try:
        signed_in = sign_in(visit.book, one(form, "name"), one(form, "password"), visit.now, **_where(visit))
    except InputRefused as refusal:
        return _form(visit, {"name": one(form, "name"), "then": one(form, "then")}, refusal.fields)
    if visit.token:
        sign_out(visit.book, visit.token, visit.now)
    answer = _signed_in(visit, signed_in.token, one(form, "then"))
    light = preferences(visit.book, signed_in.person).light
    return answer if light is Light.DEVICE else with_light(answer, light)


@router.post("/sign-out", dependencies=[Depends(read_form)])
def leave(visit: VisitNow) -> Response:
    """Sign out; the next person signs in here."""
    if visit.token:
        sign_out(visit.book, visit.token, visit.now)
    answer = go(visit, "/sign-in")
    drop_cookie(visit.request, answer, BOOK_COOKIE)
    return answer


@router.get("/first-use")
def begin(visit: VisitNow) -> Response:
    """Lead a chief engineer into an empty book."""
    return go(visit, "/sign-in") if has_people(visit.book) else page(visit, "first_use.html", typed={}, errors={})


@router.post("/first-use")
def begin_book(visit: VisitNow, form: Form) -> Response:
    """Put the first person into the book and sign them in; sent twice, the second sending only signs in."""
    name, password = one(form, "name"), one(form, "password")
    try:
        if password != one(form, "again"):
            raise InputRefused({"again": "The two passwords differ. Type the same one twice."})
        with suppress(NotAllowed):
            add_first_person(visit.book, name, password, visit.now)
        signed_in = sign_in(visit.book, name, password, visit.now, **_where(visit))
        return _signed_in(visit, signed_in.token, "/sheets/import")
    except InputRefused as refusal:
        if has_people(visit.book):
            return _form(visit, {"name": name}, refusal.fields)
        return page(visit, "first_use.html", 422, typed={"name": name}, errors=refusal.fields)


def _form(visit: Visit, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the sign-in form."""
    people = PEOPLE if visit.settings.is_demonstration else ()
    return page(visit, "sign_in.html", 422 if errors else 200, typed=typed, errors=errors or {}, people=people)


def _where(visit: Visit) -> dict[str, str]:
    """Tell the device and the address of whoever asks."""
    client = visit.request.client
    return {"device": visit.request.headers.get("user-agent", ""), "address": client.host if client else ""}


def _signed_in(visit: Visit, token: str, then: str) -> Response:
    """Go on, signed in; only to a page of this book."""
    answer = go(visit, inside(then))
    put_cookie(visit.request, answer, BOOK_COOKIE, token, visit.settings.session_days * 86_400)
    return answer
