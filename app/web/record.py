"""The record of an overhaul as it prints, as a PDF, and the blank sheet for the day the tablet dies."""

from fastapi import APIRouter, Response

from app.actions.instruments import statuses, statuses_as_signed
from app.actions.overhauls import overhaul
from app.actions.record_pdf import record_pdf
from app.actions.turns import in_turn
from app.domain.approvals import approval_words
from app.domain.corrections import why_corrected
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.parts_list import ALWAYS, parts_to_order
from app.domain.people import Right, initials_of
from app.domain.phases import CLOSED, phase_of
from app.domain.steps import steps_of
from app.reports.record_cover import KEY, covers_of, people_in, verdict_counts
from app.reports.record_document import STEP_LISTS, decided_at, verdict_words
from app.reports.record_proving import confirmed_again, record_runs
from app.reports.record_sheets import limit_lines, new_words, stage_sheets, written
from app.web.downloads import PDF, download, in_pieces
from app.web.overhaul_strip import strip
from app.web.page import page
from app.web.photos import shown_photos
from app.web.visit import Visit, VisitNow

router = APIRouter()


@router.get("/overhauls/{overhaul_id}/record")
@in_turn
def show_record(visit: VisitNow, overhaul_id: int) -> Response:
    """Show the record: a cover, then one sheet a stage."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    verdicts = judge_overhaul(found)
    lists = [] if found.is_from_paper else [(phase, steps_of(found, phase)) for phase in STEP_LISTS]
    return page(
        visit, "record/record.html", 200,
        strip=strip(visit, found), sheets=stage_sheets(found),
        counts=[(word.value, count) for word, count in verdict_counts(verdicts)],
        to_order=parts_to_order(found, verdicts), lists=lists, key_words=KEY, covers=covers_of(found), written=written,
        is_draft=phase_of(found) not in CLOSED, people=people_in(found), initials=initials_of,
        always=ALWAYS, **_instruments(visit, found), photos=shown_photos(found),
        runs=record_runs(found), why_corrected=why_corrected, again=confirmed_again(found),
        verdict_words=verdict_words, approval_words=approval_words, decided_at=decided_at,
    )  # fmt: skip


def _instruments(visit: Visit, found: Overhaul) -> dict[str, list[tuple[str, str]]]:
    """What each instrument was worth as it was known when the record was signed, and what is known since."""
    signed = statuses_as_signed(visit.book, found, visit.zone)
    since = [each for each in statuses(visit.book, found, visit.zone) if each not in signed]
    return {"instruments": signed, "since": since}


@router.get("/overhauls/{overhaul_id}/record.pdf")
def send_record(visit: VisitNow, overhaul_id: int) -> Response:
    """Send the record as a PDF."""
    visit.person.must(Right.READ)
    settings = visit.settings
    record = record_pdf(visit.book, overhaul_id, settings.site_zone, settings.is_demonstration, visit.now)
    return download(record.name, PDF, in_pieces(record.content))


@router.get("/overhauls/{overhaul_id}/blank")
def show_blank(visit: VisitNow, overhaul_id: int) -> Response:
    """Show a blank gauging sheet with the limits, to be filled in by pencil."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    return page(
        visit, "record/blank.html", 200, strip=strip(visit, found), sheets=stage_sheets(found),
        new_words=new_words, limit_lines=limit_lines,
    )  # fmt: skip
