"""A figure tried on a limit sheet in the making, before it is approved."""

from fastapi import APIRouter, Response

from app.actions.draft_trial import Tried, places_to_try, try_value
from app.actions.sheet_drafts import draft_now
from app.domain.draft_values import tables
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.domain.sheet_file import read_sheet
from app.web.page import page
from app.web.visit import Visit, VisitNow

router = APIRouter()


@router.get("/drafts/{draft_id}/try")
def show(visit: VisitNow, draft_id: int, at: str = "", value: str = "") -> Response:
    """Show what a draft would say of a figure; while figures are missing there is nothing to judge by."""
    visit.person.must(Right.MANAGE_SHEETS)
    now = draft_now(visit.book, draft_id)
    sheet = None if now.faults else read_sheet(now.draft.text)
    tried: Tried | None = None
    errors: dict[str, str] = {}
    try:
        tried = try_value(sheet, at, value, visit.now) if sheet and at else None
    except InputRefused as refusal:
        errors = refusal.fields
    places = places_to_try(sheet) if sheet else []
    shown = {"now": now, "stages": len(tables(now.values, "stage")), "where": "try", "places": places, "tried": tried}
    return _page(visit, shown, {"at": at, "value": value}, errors)


def _page(visit: Visit, shown: dict[str, object], typed: dict[str, str], errors: dict[str, str]) -> Response:
    """Show the page, with the figure as it was typed."""
    return page(visit, "drafts/try.html", 422 if errors else 200, typed=typed, errors=errors, **shown)
