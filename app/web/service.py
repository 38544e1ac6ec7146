"""Routine service of a machine: its tasks as they are due, one form for each, and what was recorded."""

from urllib.parse import quote
from uuid import uuid4

from fastapi import APIRouter, Response

from app.actions.services import machine_services, record_service
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.domain.tasks import CAUTION_WORDS
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@router.get("/machines/{tag}/service")
def show(visit: VisitNow, tag: str) -> Response:
    """Show the tasks of a machine and what was recorded."""
    visit.person.must(Right.READ)
    state = machine_services(visit.book, tag, visit.zone)
    may_serve = visit.person.may(Right.SERVICE)
    return page(visit, "service/services.html", state=state, may_serve=may_serve, today=visit.today)


@router.get("/machines/{tag}/service/{key}")
def ask(visit: VisitNow, tag: str, key: str) -> Response:
    """Ask for a task's items."""
    visit.person.must(Right.SERVICE)
    return _form(visit, tag, key, {"request_id": uuid4().hex, "day": visit.today.isoformat()})


@router.post("/machines/{tag}/service/{key}")
def take(visit: VisitNow, tag: str, key: str, form: Form) -> Response:
    """Record a task as done."""
    typed = texts(form)
    try:
        record_service(visit.book, visit.person, tag, key, typed, visit.zone, visit.now)
    except InputRefused as refusal:
        return _form(visit, tag, key, typed, refusal.fields)
    return go(visit, f"/machines/{quote(tag)}/service?done=service")


def _form(visit: Visit, tag: str, key: str, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show a task's form, as it was typed."""
    state = machine_services(visit.book, tag, visit.zone)
    due = state.due_task(key)
    shown = {"state": state, "due": due, "task": due.task, "last": state.last(key)}
    cautions = [CAUTION_WORDS[caution] for caution in due.task.cautions]
    status = 422 if errors else 200
    return page(visit, "service/form.html", status, typed=typed, errors=errors or {}, cautions=cautions, **shown)
