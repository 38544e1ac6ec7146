"""The record of an overhaul as it prints, and the blank gauging sheet for the day the tablet dies."""

from fastapi import APIRouter, Response

from app.actions.overhauls import overhaul
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.parts_list import ALWAYS, parts_to_order
from app.domain.people import Right, initials_of
from app.domain.phases import phase_of
from app.domain.steps import steps_of
from app.domain.verdicts import Verdict
from app.web.overhaul_strip import strip
from app.web.page import page
from app.web.record_sheets import limit_lines, new_words, stage_sheets, written
from app.web.visit import VisitNow

router = APIRouter()
KEY = (
    (Verdict.REUSE, "within limits, goes back"),
    (Verdict.REWORK, "to be put right, then judged again"),
    (Verdict.RENEW, "a new part goes in"),
    (Verdict.UNDECIDED, "the reading cannot settle it"),
    (Verdict.NOT_GAUGED, "no reading taken"),
)
COVERS = {
    Meaning.GAUGED: "readings as found",
    Meaning.DECIDED: "readings as found, verdicts, decisions",
    Meaning.RETURNED_FITTER: "all of it, as fitted, closing and proving too",
    Meaning.RETURNED_CHIEF: "all of it, as fitted, closing and proving too",
}


@router.get("/overhauls/{overhaul_id}/record")
def show_record(visit: VisitNow, overhaul_id: int) -> Response:
    """Show the record: a cover, then one sheet a stage."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    verdicts = judge_overhaul(found)
    counts = [(word.value, sum(v.verdict is word for v in verdicts)) for word in Verdict]
    lists = [(phase, steps_of(found, phase)) for phase in (Phase.MAKE_SAFE, Phase.BOX_UP, Phase.PROVE)]
    return page(
        visit, "record/record.html", 200,
        strip=strip(visit, found), sheets=stage_sheets(found), counts=[c for c in counts if c[1]],
        to_order=parts_to_order(found, verdicts), lists=lists, key_words=KEY, covers=COVERS, written=written,
        is_draft=phase_of(found) is not Phase.RETURNED, people=people_in(found), initials=initials_of,
        always=ALWAYS,
    )  # fmt: skip


def people_in(found: Overhaul) -> list[tuple[str, str]]:
    """Everybody on the record with the initials that stand for them."""
    names = {r.measured_by for r in found.readings} | {r.entered_by for r in found.readings}
    names |= {c.person for c in found.confirmations}
    return sorted((initials_of(name), name) for name in names)


@router.get("/overhauls/{overhaul_id}/blank")
def show_blank(visit: VisitNow, overhaul_id: int) -> Response:
    """Show a blank gauging sheet with the limits, to be filled in by pencil."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    return page(
        visit, "record/blank.html", 200, strip=strip(visit, found), sheets=stage_sheets(found),
        new_words=new_words, limit_lines=limit_lines,
    )  # fmt: skip
