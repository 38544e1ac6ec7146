"""The working of a verdict, one tap away for whoever wants to redo it."""

from fastapi import APIRouter, Response

from app.actions.overhauls import overhaul
from app.actions.working import working
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.people import Right
from app.domain.readings import Occasion
from app.web.gauge_page import occasion_of
from app.web.gauge_round import begin_round
from app.web.overhaul_strip import strip
from app.web.page import page
from app.web.visit import VisitNow

router = APIRouter()


@router.get("/overhauls/{overhaul_id}/working/{ref}")
def show(visit: VisitNow, overhaul_id: int, ref: str, base: str = "gauge") -> Response:
    """Show every step from the readings of a part to its verdict."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    occasion = occasion_of(base)
    verdict = begin_round(found, occasion).verdict(ref)
    steps = working(visit.book, found, verdict, occasion)
    shown = {"strip": strip(visit, found, verdict.part.stage), "verdict": verdict, "steps": steps, "base": base}
    return page(visit, "overhaul/working.html", 200, **shown)


@router.get("/overhauls/{overhaul_id}/working")
def show_all(visit: VisitNow, overhaul_id: int) -> Response:
    """Show the working of every part, as an annex to the record that prints."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    every = [(v, working(visit.book, found, v, Occasion.AS_FOUND)) for v in judge_overhaul(found)]
    return page(visit, "overhaul/workings.html", 200, strip=strip(visit, found), every=every)
