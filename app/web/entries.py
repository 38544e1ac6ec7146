"""The chain of entries as pages: searched by words, listed by subject, and each entry by itself."""

from typing import Any

from fastapi import APIRouter, Response

from app.actions.entries import entries_found, entries_on, get_entry
from app.domain.people import Right
from app.web.entry_links import subject_words, where_it_stands
from app.web.page import page
from app.web.visit import VisitNow, readable

router = APIRouter()
LINKS: dict[str, Any] = {"where": where_it_stands, "on": subject_words}
LONGEST_QUESTION = 300


@router.get("/search")
def find(visit: VisitNow, q: str = "", before: int | None = None) -> Response:
    """Show the entries that answer a question."""
    visit.person.must(Right.READ)
    asked = readable(q)[:LONGEST_QUESTION]
    return page(visit, "entries/search.html", asked=asked, found=entries_found(visit.book, asked, before), **LINKS)


@router.get("/entries")
def show_all(visit: VisitNow, subject: str = "", before: int | None = None) -> Response:
    """Show the newest entries of the chain, of one subject where it is named."""
    visit.person.must(Right.READ)
    found = entries_on(visit.book, readable(subject), before)
    return page(visit, "entries/entries.html", subject=readable(subject), found=found, **LINKS)


@router.get("/entries/{seq}")
def show(visit: VisitNow, seq: int) -> Response:
    """Show one entry of the chain."""
    visit.person.must(Right.READ)
    return page(visit, "entries/entry.html", found=get_entry(visit.book, seq), **LINKS)
