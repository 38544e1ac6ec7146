"""The timeline of a machine: what happened to it, each line leading to where it stands."""

from fastapi import APIRouter, Response

from app.actions.timeline import Chapter, timeline
from app.domain.people import Right
from app.web.entry_links import subject_words, where_it_stands
from app.web.page import page
from app.web.visit import VisitNow

router = APIRouter()


@router.get("/machines/{tag}/timeline")
def show(visit: VisitNow, tag: str, chapter: str = "", number: int = 1) -> Response:
    """Show what happened to a machine."""
    visit.person.must(Right.READ)
    line = timeline(visit.book, tag, chapter, number)
    chapters = [each.value for each in Chapter]
    return page(
        visit, "history/timeline.html", 200, line=line, chapters=chapters, where=where_it_stands, on=subject_words
    )
