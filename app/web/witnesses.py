"""The witness of a signature: the form in which the chief engineer who gave it enters a surveyor."""

from fastapi import APIRouter, Response

from app.actions.overhauls import overhaul
from app.actions.witnesses import enter_witness
from app.domain.errors import InputRefused, Sealed
from app.domain.people import Right
from app.domain.witnesses import waiting_for_witness
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@router.get("/overhauls/{overhaul_id}/witness")
def ask(visit: VisitNow, overhaul_id: int) -> Response:
    """Show who witnessed which signature, and the form for one who did."""
    visit.person.must(Right.READ)
    return _page(visit, overhaul_id, {}, {})


@router.post("/overhauls/{overhaul_id}/witness")
def enter(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Enter a witness."""
    typed = texts(form)
    try:
        enter_witness(visit.book, visit.person, overhaul_id, typed, visit.now)
    except InputRefused as refusal:
        return _page(visit, overhaul_id, typed, refusal.fields)
    except Sealed:
        return go(visit, f"/overhauls/{overhaul_id}/witness?done=stands")
    return go(visit, f"/overhauls/{overhaul_id}/witness?done=witnessed")


def _page(visit: Visit, overhaul_id: int, typed: dict[str, str], errors: dict[str, str]) -> Response:
    """Show the page."""
    found = overhaul(visit.book, overhaul_id)
    may = visit.person.may(Right.SIGN_DECIDED)
    waiting = waiting_for_witness(found, visit.person.name) if may else ()
    fields = dict.fromkeys(("meaning", "name", "body"), "") | typed
    options = [(one.meaning.value, one.meaning.value) for one in waiting]
    shown = {"strip": strip(visit, found), "typed": fields, "errors": errors, "options": options}
    return page(visit, "overhaul/witness.html", 422 if errors else 200, **shown)
