"""Signing: gauged, decided, returned to service; each with the password again."""

from fastapi import APIRouter, Response
from starlette.datastructures import FormData

from app.actions.overhauls import overhaul, sign
from app.domain.errors import InputRefused, NotThere, NotYet, Sealed
from app.domain.overhaul import Meaning
from app.domain.overhaul_verdicts import cannot_gauge_count, ungauged_parts
from app.domain.people import Right
from app.domain.phases import holds_before, is_signed_gauged
from app.domain.readings import Occasion
from app.web.gauge_round import begin_round
from app.web.kept import just_kept
from app.web.look_again import differing_links
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, one

router = APIRouter()
AFTER = {
    Meaning.GAUGED: "gauged?done=signed-gauged",
    Meaning.DECIDED: "box-up?done=signed-decided",
    Meaning.RETURNED_FITTER: "prove?done=signed-returned",
    Meaning.RETURNED_CHIEF: "prove?done=signed-returned",
}
# Where a signature stands, and what comes before it.
ITS_PAGE = dict.fromkeys(Meaning, "prove") | {Meaning.GAUGED: "gauged", Meaning.DECIDED: "decide"}


@router.get("/overhauls/{overhaul_id}/gauged")
def show_gauged(visit: VisitNow, overhaul_id: int, kept: str = "") -> Response:
    """Show what has been gauged, for the fitter to sign."""
    visit.person.must(Right.READ)
    return _gauged(visit, overhaul_id, {}, kept)


@router.post("/overhauls/{overhaul_id}/signatures")
def put_signature(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Sign, and go on to what comes next; to its page where it is signed already, or something comes first."""
    visit.person.must(Right.READ)
    meaning = _meaning(form)
    try:
        sign(visit.book, visit.person, overhaul_id, meaning, one(form, "password"), visit.now)
    except InputRefused as refusal:
        return _again(visit, overhaul_id, meaning, refusal.fields)
    except (Sealed, NotYet) as refusal:
        notice = "stands" if isinstance(refusal, Sealed) else "not-signed"
        return go(visit, f"/overhauls/{overhaul_id}/{ITS_PAGE[meaning]}?done={notice}")
    return go(visit, f"/overhauls/{overhaul_id}/{AFTER[meaning]}")


def _meaning(form: FormData) -> Meaning:
    """Read which signature is given."""
    try:
        meaning = Meaning(one(form, "meaning"))
    except ValueError:
        raise NotThere("There is no such signature.") from None
    if meaning not in AFTER:
        raise NotThere("Nobody signs this by itself.")
    return meaning


def _again(visit: Visit, overhaul_id: int, meaning: Meaning, errors: dict[str, str]) -> Response:
    """Ask for the password again, on a page of its own."""
    found = overhaul(visit.book, overhaul_id)
    if meaning is Meaning.GAUGED:
        return _gauged(visit, overhaul_id, errors)
    shown = {"strip": strip(visit, found), "meaning": meaning, "errors": errors}
    return page(visit, "overhaul/sign.html", 422, **shown)


def _gauged(visit: Visit, overhaul_id: int, errors: dict[str, str], kept: str = "") -> Response:
    """Show the summary of gauging with its signature."""
    found = overhaul(visit.book, overhaul_id)
    one_round = begin_round(found, Occasion.AS_FOUND)
    return page(
        visit, "overhaul/gauged.html", 422 if errors else 200,
        strip=strip(visit, found), verdicts=one_round.verdicts, left=ungauged_parts(found),
        cannot=cannot_gauge_count(found), holds=holds_before(found, Meaning.GAUGED),
        signature=found.signature(Meaning.GAUGED), is_signed=is_signed_gauged(found), errors=errors,
        may_sign=visit.person.may(Right.SIGN_GAUGED),
        kept=just_kept(one_round, kept, visit.person.name), differing=differing_links(one_round),
    )  # fmt: skip
