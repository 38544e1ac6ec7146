"""What every form of a limit sheet in the making shares: who may, what is kept, and what comes back as it was typed."""

from collections.abc import Callable
from typing import Any, TypeVar

from fastapi import Response

from app.actions.draft_places import Place
from app.actions.sheet_drafts import DraftNow, DraftStale, change_draft, draft_now
from app.domain.draft_values import Values, tables
from app.domain.errors import InputRefused, NotThere, Sealed
from app.domain.people import Right
from app.web.draft_fields import Filled, filled, wrong_fields
from app.web.page import go
from app.web.visit import Visit

Found = TypeVar("Found")
Typed = dict[str, str]
Show = Callable[[Visit, DraftNow, Typed, dict[str, str], int], Response]


def may(visit: Visit, draft_id: int) -> DraftNow:
    """Give a draft to somebody who may work on it."""
    visit.person.must(Right.MANAGE_SHEETS)
    return draft_now(visit.book, draft_id)


def kept(
    visit: Visit, draft_id: int, typed: Typed, change: Callable[[Place], object], show: Show,
    then: str | Callable[[], str],
) -> Response:  # fmt: skip
    """Keep a change and go on; a stale, refused or faulty form comes back with what was typed in it."""
    visit.person.must(Right.MANAGE_SHEETS)
    version = typed.get("version", "")
    try:
        now = change_draft(visit.book, visit.person, draft_id, version, change, visit.now)
    except DraftStale:
        return show(visit, draft_now(visit.book, draft_id), typed, {}, 409)
    except InputRefused as refusal:
        return show(visit, draft_now(visit.book, draft_id), typed, refusal.fields, 422)
    except Sealed:
        return go(visit, f"/drafts/{draft_id}?done=stands")
    page = visit.request.url.path.removeprefix(f"/drafts/{draft_id}/")
    wrong = next((field for field in wrong_fields(now, page)), "") if typed.get("do", "next") == "next" else ""
    if wrong:
        return go(visit, f"/drafts/{draft_id}/{page}?done=draft-faulty#f-{wrong}")
    return go(visit, f"/drafts/{draft_id}{then if isinstance(then, str) else then()}?done=draft")


def stage_in(sheet: Place, number: int) -> Place:
    """Find a stage in the text."""
    return named([(str(place), stage) for place, (_, stage) in enumerate(sheet.named("stage"), 1)], str(number))


def named(found: list[tuple[str, Found]], name: str) -> Found:
    """Find one of a list by its name."""
    for own, each in found:
        if own == name:
            return each
    raise NotThere("This is not in the draft, or no longer.")


def form_shown(now: DraftNow, where: str, typed: Typed, errors: dict[str, str], status: int) -> dict[str, Any]:
    """Gather what every form shows."""
    fill: Filled = filled(now, where, typed, errors)
    stages = len(tables(now.values, "stage"))
    return {"now": now, "fill": fill, "where": where, "stages": stages, "is_stale": status == 409}


def stage_of(now: DraftNow, number: int) -> Values:
    """Find a stage of a draft."""
    return named([(str(place), stage) for place, stage in enumerate(tables(now.values, "stage"), 1)], str(number))
