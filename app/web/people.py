"""The people of the book: everybody reads who they are, a chief engineer adds them, lets them in and keeps them out."""

from fastapi import APIRouter, Depends, Response

from app.actions.people import add_person, everybody, set_active
from app.domain.errors import InputRefused
from app.domain.people import Right, Role
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, one, read_form

router = APIRouter()


@router.get("/people")
def show(visit: VisitNow) -> Response:
    """Show everybody."""
    return _people(visit, {"role": Role.FITTER.value})


@router.post("/people")
def add(visit: VisitNow, form: Form) -> Response:
    """Add a person."""
    visit.person.must(Right.MANAGE_PEOPLE)
    typed = {"name": one(form, "name"), "role": one(form, "role")}
    try:
        if one(form, "password") != one(form, "again"):
            raise InputRefused({"again": "The two passwords differ. Type the same one twice."})
        add_person(visit.book, visit.person, typed["name"], typed["role"], one(form, "password"), visit.now)
    except InputRefused as refusal:
        return _people(visit, typed, refusal.fields)
    return go(visit, "/people?done=person")


@router.post("/people/{person_id}/let-in", dependencies=[Depends(read_form)])
def let_in(visit: VisitNow, person_id: int) -> Response:
    """Let a person in again."""
    set_active(visit.book, visit.person, person_id, True, visit.now)
    return go(visit, "/people")


@router.post("/people/{person_id}/keep-out", dependencies=[Depends(read_form)])
def keep_out(visit: VisitNow, person_id: int) -> Response:
    """Keep a person out; what they signed stays."""
    set_active(visit.book, visit.person, person_id, False, visit.now)
    return go(visit, "/people")


def _people(visit: Visit, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the people, with the form as it was typed."""
    visit.person.must(Right.READ)
    status = 422 if errors else 200
    may = {"may_see_reads": visit.person.may(Right.SEE_READS)}
    shown = {"people": everybody(visit.book), "typed": typed, "errors": errors or {}, **may}
    return page(visit, "people/people.html", status, **shown)
