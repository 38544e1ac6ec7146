"""Entering a renewed part as it goes in, or the size a rework made a position to."""

from fastapi import APIRouter, Response

from app.actions.fittings import enter_fitting, work_at
from app.actions.overhauls import overhaul
from app.domain.errors import InputRefused
from app.domain.holds import FittedWork
from app.domain.order_lines import OrderLine
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul, renewed_object
from app.domain.parts_list import chosen_oversize, order_line
from app.domain.people import Right
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@router.get("/overhauls/{overhaul_id}/fittings/{ref}")
def ask(visit: VisitNow, overhaul_id: int, ref: str) -> Response:
    """Ask what goes in, the number on the sheet already there."""
    visit.person.must(Right.GAUGE)
    return _form(visit, overhaul_id, ref)


@router.post("/overhauls/{overhaul_id}/fittings/{ref}")
def enter(visit: VisitNow, overhaul_id: int, ref: str, form: Form) -> Response:
    """Enter it and go back to boxing up."""
    typed = texts(form)
    try:
        enter_fitting(visit.book, visit.person, overhaul_id, ref, typed, visit.now)
    except InputRefused as refusal:
        return _form(visit, overhaul_id, ref, typed, refusal.fields)
    return go(visit, f"/overhauls/{overhaul_id}/box-up")


def _form(
    visit: Visit, overhaul_id: int, ref: str, typed: dict[str, str] | None = None, errors: dict[str, str] | None = None
) -> Response:
    """Show the form for one part or set."""
    found = overhaul(visit.book, overhaul_id)
    work = work_at(found, ref)
    part_set = work.found.with_set
    order = order_at(found, work)
    chosen = chosen_oversize(work.found)
    made_to = chosen.size.typed if chosen else ""
    fields = {"number": order.number if order else "", "batch": "", "made_to": made_to} | (typed or {})
    name = part_set.name if part_set else work.part.name
    shown = {
        "strip": strip(visit, found),
        "work": work,
        "ref": ref,
        "name": name,
        "typed": fields,
        "errors": errors or {},
    }
    return page(visit, "overhaul/fitting.html", 422 if errors else 200, **shown)


def order_at(found: Overhaul, work: FittedWork) -> OrderLine | None:
    """Find the order line of what goes in: the one made for the bore's oversize, else the sheet's own."""
    renewed, stage = renewed_object(work.found), work.part.stage
    chosen = [chosen_oversize(v) for v in judge_overhaul(found) if v.part.stage == stage]
    made = [order for oversize in chosen if oversize for order in oversize.orders if order.renews == renewed]
    part_set = work.found.with_set
    return made[0] if made else part_set.order if part_set else order_line(work.part, renewed)
