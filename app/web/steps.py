"""The lists of make safe, box up and prove: each step confirmed by name and time."""

from fastapi import APIRouter, Response

from app.actions.overhauls import confirm_step, overhaul
from app.domain.errors import InputRefused, Sealed
from app.domain.holds import box_up_holds, fitted_work
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.people import Right, Role
from app.domain.phases import holds_before, phase_of
from app.domain.proving import prove
from app.domain.steps import open_steps, steps_of
from app.reports.closing_drawing import joint_layout, stagger_layout
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, one

router = APIRouter()
LISTS = {"safe": Phase.MAKE_SAFE, "box-up": Phase.BOX_UP, "prove": Phase.PROVE}
TEMPLATES = {"safe": "overhaul/safe.html", "box-up": "overhaul/box_up.html", "prove": "overhaul/prove.html"}


@router.get("/overhauls/{overhaul_id}/{name:step_list}")
def show(visit: VisitNow, overhaul_id: int, name: str) -> Response:
    """Show a list of steps."""
    visit.person.must(Right.READ)
    return _show(visit, overhaul(visit.book, overhaul_id), name)


@router.post("/overhauls/{overhaul_id}/{name:step_list}")
def confirm(visit: VisitNow, overhaul_id: int, name: str, form: Form) -> Response:
    """Confirm one step; a value that is missing comes back beside its step."""
    key = one(form, "step")
    value = one(form, f"value-{key}")
    try:
        confirm_step(visit.book, visit.person, overhaul_id, LISTS[name], key, value, visit.now)
    except InputRefused as refusal:
        found = overhaul(visit.book, overhaul_id)
        return _show(visit, found, name, {f"value-{key}": value}, refusal.fields)
    except Sealed:
        return go(visit, f"/overhauls/{overhaul_id}/{name}?done=stands#step-{key}")
    return _after(visit, overhaul(visit.book, overhaul_id), name)


def _after(visit: Visit, found: Overhaul, name: str) -> Response:
    """Stay at the list, at the next step; when making safe is complete, gauging begins."""
    waiting = open_steps(found, LISTS[name])
    if name == "safe" and not waiting:
        return go(visit, f"/overhauls/{found.id}/gauge")
    return go(
        visit, f"/overhauls/{found.id}/{name}#step-{waiting[0].key}" if waiting else f"/overhauls/{found.id}/{name}"
    )


def _show(
    visit: Visit,
    found: Overhaul,
    name: str,
    typed: dict[str, str] | None = None,
    errors: dict[str, str] | None = None,
) -> Response:
    """Show the list with what is confirmed, and what holds."""
    phase = LISTS[name]
    is_now = phase_of(found) is phase
    meaning = Meaning.RETURNED_CHIEF if visit.person.role is Role.CHIEF else Meaning.RETURNED_FITTER
    return page(
        visit, TEMPLATES[name], 422 if errors else 200,
        strip=strip(visit, found), phase=phase, steps=steps_of(found, phase), waiting=open_steps(found, phase),
        name=name, typed=typed or {}, errors=errors or {}, is_now=is_now,
        may_write=is_now and visit.person.may(Right.GAUGE),
        work=fitted_work(found) if name == "box-up" else (), holds=box_up_holds(found) if name == "box-up" else (),
        meaning=meaning, sign_holds=holds_before(found, meaning), may_sign=visit.person.may(Right.SIGN_RETURNED),
        joint_layout=joint_layout, stagger_layout=stagger_layout, last_run=found.runs[-1] if found.runs else None,
        last_proof=prove(found.runs[-1], found.sheet, found.baseline) if found.runs else None,
    )  # fmt: skip
