"""The machine is run: the form that proves an overhaul, the form for a fault, and what a run says."""

from uuid import uuid4

from fastapi import APIRouter, Response
from starlette.datastructures import FormData

from app.actions.overhauls import overhaul
from app.actions.proving import choose_baseline, keep_fault, keep_run, runs_of, shown_run, unit_of
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet, PartKind
from app.domain.overhaul import Phase
from app.domain.people import Right
from app.domain.phases import require_phase
from app.domain.running import Steadiness
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, many, one, texts

router = APIRouter()


@router.get("/overhauls/{overhaul_id}/run")
def ask_run(visit: VisitNow, overhaul_id: int) -> Response:
    """Ask for the figures of a run that is to prove the overhaul."""
    visit.person.must(Right.GAUGE)
    require_phase(overhaul(visit.book, overhaul_id), Phase.PROVE)
    return _run_form(visit, overhaul_id, {"request_id": uuid4().hex})


@router.post("/overhauls/{overhaul_id}/run")
def enter_run(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Keep it and show what it says, beside the steps of proving."""
    typed = _typed(form)
    try:
        keep_run(visit.book, visit.person, overhaul_id, typed, visit.now)
    except InputRefused as refusal:
        return _run_form(visit, overhaul_id, typed, refusal.fields)
    return go(visit, f"/overhauls/{overhaul_id}/prove#run")


@router.get("/machines/{tag}/fault")
def ask_fault(visit: VisitNow, tag: str) -> Response:
    """Ask what was seen on a machine in service."""
    visit.person.must(Right.GAUGE)
    return _fault_form(visit, tag, {"request_id": uuid4().hex})


@router.post("/machines/{tag}/fault")
def enter_fault(visit: VisitNow, tag: str, form: Form) -> Response:
    """Keep it and say what to look at first."""
    typed = _typed(form)
    try:
        run_id = keep_fault(visit.book, visit.person, tag, typed, visit.now)
    except InputRefused as refusal:
        return _fault_form(visit, tag, typed, refusal.fields)
    return go(visit, f"/runs/{run_id}")


@router.get("/machines/{tag}/runs")
def list_all(visit: VisitNow, tag: str) -> Response:
    """List a machine's runs and faults."""
    visit.person.must(Right.READ)
    machine, sheet, runs, baseline = runs_of(visit.book, tag)
    shown = {"machine": machine, "sheet": sheet, "runs": runs, "baseline": baseline}
    return page(visit, "running/runs.html", 200, may_write=visit.person.may(Right.GAUGE), **shown)


@router.get("/runs/{run_id}")
def show(visit: VisitNow, run_id: int) -> Response:
    """Show one run and what it says."""
    visit.person.must(Right.READ)
    return _run(visit, run_id)


@router.post("/runs/{run_id}/baseline")
def make_baseline(visit: VisitNow, run_id: int, form: Form) -> Response:
    """Make a run the machine's baseline."""
    try:
        choose_baseline(visit.book, visit.person, run_id, one(form, "reason"), visit.now)
    except InputRefused as refusal:
        return _run(visit, run_id, one(form, "reason"), refusal.fields)
    return go(visit, f"/runs/{run_id}")


def _run(visit: Visit, run_id: int, reason: str = "", errors: dict[str, str] | None = None) -> Response:
    """Show one run, with the reason as it was typed."""
    may = {"may_open": visit.person.may(Right.OPEN), "may_choose": visit.person.may(Right.DECIDE)}
    shown = {"shown": shown_run(visit.book, run_id), "typed": {"reason": reason}, "errors": errors or {}}
    return page(visit, "running/run.html", 422 if errors else 200, **shown, **may)


def _typed(form: FormData) -> dict[str, str]:
    """Give what is typed, without the form's own token; hot covers in one text."""
    typed = {name: text.strip() for name, text in texts(form).items() if name != "csrf" and text.strip()}
    covers = "; ".join(many(form, "hot_covers"))
    return typed | ({"hot_covers": covers} if covers else {})


def _run_form(visit: Visit, overhaul_id: int, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the form of a run that is to prove the overhaul."""
    found = overhaul(visit.book, overhaul_id)
    volume = found.sheet.proving.volume if found.sheet.proving else None
    shown = _asked(found.sheet) | {"volume": volume or "", "typed": typed, "errors": errors or {}}
    return page(visit, "running/prove_form.html", 422 if errors else 200, strip=strip(visit, found), **shown)


def _fault_form(visit: Visit, tag: str, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the form for a fault."""
    machine, sheet, _, _ = runs_of(visit.book, tag)
    shown = _asked(sheet) | {"machine": machine, "typed": typed, "errors": errors or {}}
    return page(visit, "running/fault.html", 422 if errors else 200, **shown)


def _asked(sheet: LimitSheet) -> dict[str, object]:
    """Give what the fields of a run are laid out by."""
    valves = [f"{part.item} {part.name}" for part in sheet.parts if part.kind is PartKind.VALVE]
    return {"unit": unit_of(sheet), "stages": sheet.stages, "valves": valves, "steadiness": tuple(Steadiness)}
