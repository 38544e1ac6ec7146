"""A person's own settings: light, text, keys, hand and unit, remembered for every tablet they sign in on."""

from urllib.parse import urlsplit

from fastapi import APIRouter, Response

from app.actions.people import prefer, preferences
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.web.page import go, page, with_light
from app.web.visit import Form, Visit, VisitNow, inside, one, texts

router = APIRouter()


@router.get("/settings")
def show(visit: VisitNow) -> Response:
    """Show what is set, with the way back to the page that led here."""
    before = urlsplit(visit.request.headers.get("referer", ""))
    is_ours = before.netloc == visit.request.url.netloc and before.path != "/settings"
    return _settings(visit, before.path if is_ours else "/")


@router.post("/settings")
def choose(visit: VisitNow, form: Form) -> Response:
    """Keep what is chosen, and go back."""
    visit.person.must(Right.READ)
    then = inside(one(form, "then"))
    try:
        prefer(visit.book, visit.person, texts(form))
    except InputRefused as refusal:
        return _settings(visit, then, refusal.fields)
    chosen = preferences(visit.book, visit.person)
    return with_light(go(visit, f"{then}?done=settings"), chosen.light)


def _settings(visit: Visit, then: str, errors: dict[str, str] | None = None) -> Response:
    """Show the settings as they are kept."""
    visit.person.must(Right.READ)
    status = 422 if errors else 200
    return page(visit, "settings.html", status, mine=visit.preferences, then=then, errors=errors or {})
