"""Opening an overhaul on a machine."""

from urllib.parse import quote
from uuid import uuid4

from fastapi import APIRouter, Response

from app.actions.machines import MachineState, machine_state
from app.actions.overhauls import open_overhaul
from app.actions.sheet_approvals import is_approval_due
from app.domain.errors import InputRefused, Sealed
from app.domain.people import Right
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, many, texts

router = APIRouter()


@router.get("/machines/{tag}/open")
def ask(visit: VisitNow, tag: str) -> Response:
    """Ask for the hours and the scope of an opening."""
    visit.person.must(Right.OPEN)
    state = machine_state(visit.book, tag)
    if state.open_overhaul is not None:
        return go(visit, f"/overhauls/{state.open_overhaul}")
    asked = visit.request.query_params.get("stages", "")
    stages = asked.split(",") if asked else [str(stage.number) for stage in state.sheet.stages]
    return _form(visit, state, {"hours": "", "what": "rings", "request_id": uuid4().hex}, stages)


@router.post("/machines/{tag}/open")
def open_one(visit: VisitNow, tag: str, form: Form) -> Response:
    """Open the overhaul and go to making safe."""
    stages, typed = many(form, "stages"), texts(form)
    try:
        overhaul_id = open_overhaul(visit.book, visit.person, tag, typed, stages, visit.zone, visit.now)
    except InputRefused as refusal:
        return _form(visit, machine_state(visit.book, tag), typed, stages, refusal.fields)
    except Sealed:
        return go(visit, f"/machines/{quote(tag)}?done=open-already")
    return go(visit, f"/overhauls/{overhaul_id}/safe")


def _form(
    visit: Visit, state: MachineState, typed: dict[str, str], stages: list[str], errors: dict[str, str] | None = None
) -> Response:
    """Show the opening's form."""
    fields = {"hours": "", "what": "", "request_id": "", "standby_reason": ""} | typed
    shown = {"state": state, "typed": fields, "stages": stages, "errors": errors or {}}
    shown["is_approval_due"] = is_approval_due(visit.book, state.sheet.name, state.sheet.revision)
    return page(visit, "overhaul/open.html", 422 if errors else 200, **shown)
