"""The register of instruments: everybody reads it, a chief engineer adds instruments and calibrations."""

from fastapi import APIRouter, Response

from app.actions.amendments import what_is_read
from app.actions.instruments import add_instrument, calibrate, doubts, one_instrument, register
from app.domain.errors import InputRefused
from app.domain.limits import Method
from app.domain.people import Right
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@router.get("/instruments")
def show_register(visit: VisitNow) -> Response:
    """Show the register."""
    return _register(visit, {})


@router.post("/instruments")
def add(visit: VisitNow, form: Form) -> Response:
    """Add an instrument."""
    try:
        number = add_instrument(visit.book, visit.person, texts(form), visit.now)
    except InputRefused as refusal:
        return _register(visit, texts(form), refusal.fields)
    return go(visit, f"/instruments/{number}")


@router.get("/instruments/{number}")
def show(visit: VisitNow, number: int) -> Response:
    """Show an instrument, its calibrations and what it puts in doubt."""
    return _one(visit, number, {})


@router.post("/instruments/{number}")
def enter_calibration(visit: VisitNow, number: int, form: Form) -> Response:
    """Enter a calibration."""
    try:
        calibrate(visit.book, visit.person, number, texts(form), visit.zone, visit.now)
    except InputRefused as refusal:
        return _one(visit, number, texts(form), refusal.fields)
    return go(visit, f"/instruments/{number}?done=calibrated")


def _register(visit: Visit, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the register, with the form as it was typed."""
    visit.person.must(Right.READ)
    today, methods = visit.today, [(each.value, each.value) for each in Method]
    shown = [(each, each.words_on(today), each.status_on(today)) for each in register(visit.book)]
    may, status = visit.person.may(Right.MANAGE_INSTRUMENTS), 422 if errors else 200
    context = {"shown": shown, "methods": methods, "typed": typed, "errors": errors or {}, "may": may}
    return page(visit, "instruments/register.html", status, **context)


def _one(visit: Visit, number: int, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show one instrument, with the form as it was typed."""
    visit.person.must(Right.READ)
    found, today = one_instrument(visit.book, number), visit.today
    may, status = visit.person.may(Right.MANAGE_INSTRUMENTS), 422 if errors else 200
    context = {"instrument": found, "words": found.words_on(today), "what": what_is_read}
    context["doubts"] = doubts(visit.book, found, visit.zone)
    return page(visit, "instruments/instrument.html", status, typed=typed, errors=errors or {}, may=may, **context)
