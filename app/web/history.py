"""The history of a part: one characteristic over all overhauls of its machine, as a plot and as a table."""

from typing import Any

from fastapi import APIRouter, Response

from app.actions.history import part_history
from app.domain.people import Right
from app.web.limit_words import LIMIT_WORDS
from app.web.machine_pictures import history_plots, near_hours
from app.web.page import page
from app.web.visit import VisitNow

router = APIRouter()


@router.get("/machines/{tag}/history")
def show(visit: VisitNow, tag: str, part: str = "", characteristic: str = "") -> Response:
    """Show the history of a part's characteristic."""
    visit.person.must(Right.READ)
    history = part_history(visit.book, tag, part, characteristic)
    shown: dict[str, Any] = {"history": history, "plots": history_plots(history), "near": near_hours}
    return page(visit, "history/history.html", **(shown | LIMIT_WORDS))
