"""Machines: the list of them, adding one, and the page of each with its hours and its record."""

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Response

from app.actions.machine_record import machine_record
from app.actions.machines import add_machine, listed_machines, machine_tags
from app.actions.sheets import sheet_names
from app.actions.turns import in_turn
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.web.machine_pictures import hours_lines, near_hours, ring_plots
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@router.get("/")
def list_all(visit: VisitNow) -> Response:
    """List the machines of the book."""
    visit.person.must(Right.READ)
    states = listed_machines(visit.book)
    return page(visit, "machines/machines.html", states=states, has_sheets=bool(states or sheet_names(visit.book)))


@router.get("/machines/new")
def ask(visit: VisitNow) -> Response:
    """Ask for a machine."""
    visit.person.must(Right.MANAGE_MACHINES)
    chosen = visit.request.query_params.get("sheet", "")
    return _new(visit, {"sheet_name": chosen} if chosen in sheet_names(visit.book) else {})


@router.post("/machines/new")
def add(visit: VisitNow, form: Form) -> Response:
    """Add a machine."""
    try:
        machine = add_machine(visit.book, visit.person, texts(form), visit.now)
    except InputRefused as refusal:
        return _new(visit, texts(form), refusal.fields)
    return go(visit, f"/machines/{quote(machine.tag)}")


@router.get("/machines/{tag}")
@in_turn
def show(visit: VisitNow, tag: str) -> Response:
    """Show a machine."""
    visit.person.must(Right.READ)
    record = machine_record(visit.book, tag, visit.today, visit.zone)
    pictures: dict[str, Any] = {"lines": hours_lines(record), "plots": ring_plots(record), "near": near_hours}
    pictures["today"] = visit.today
    may = {"may_open": visit.person.may(Right.OPEN), "may_record": visit.person.may(Right.RECORD_HOURS)}
    may["may_bring_paper"] = visit.person.may(Right.ENTER_PAPER)
    return page(visit, "machines/machine.html", record=record, **pictures, **may)


def _new(visit: Visit, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the form for a machine, as it was typed."""
    names = sheet_names(visit.book)
    typed = {"sheet_name": names[0] if names else ""} | typed
    shown = {"typed": typed, "errors": errors or {}, "is_first": not machine_tags(visit.book)}
    choices = [(name, name) for name in names]
    return page(visit, "machines/new.html", 422 if errors else 200, sheet_choices=choices, **shown)
