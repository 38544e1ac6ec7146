"""The history of a part: one characteristic over all overhauls of its machine, as a plot and as a table."""

from dataclasses import dataclass
from functools import partial

from fastapi import APIRouter, Response
from markupsafe import Markup, escape

from app.actions.history import part_history
from app.actions.turns import in_turn
from app.domain.limits import Characteristic, Part
from app.domain.overhaul import Machine
from app.domain.people import Right
from app.store.book import Book
from app.store.standing import Standing
from app.web.limit_words import LIMIT_WORDS
from app.web.machine_pictures import history_plots, near_hours
from app.web.moments import in_zone
from app.web.page import environment, page
from app.web.visit import VisitNow

router = APIRouter()
MOST_CHARACTERS = 2_000_000  # of what is held as written: some thirty histories of forty openings
HELD = "histories, written"  # as the memory of a book holds them


@dataclass(frozen=True)
class WrittenHistory:
    """A part's history as its page shows it to anybody, with what its head and foot say of it."""

    machine: Machine
    part: Part
    characteristic: Characteristic | None
    count: int
    main: Markup


@router.get("/machines/{tag}/history")
@in_turn
def show(visit: VisitNow, tag: str, part: str = "", characteristic: str = "") -> Response:
    """Show the history of a part's characteristic."""
    visit.person.must(Right.READ)
    written = written_history(visit.book, tag, part, characteristic, visit.settings.site_zone)
    return page(visit, "history/history.html", written=written)


def written_history(book: Book, tag: str, ref: str, key: str, zone: str) -> WrittenHistory:
    """Give a part's history as it was written last, where it still stands, else written anew."""
    held: Standing[WrittenHistory] = book.memory.setdefault(HELD, Standing(MOST_CHARACTERS, _characters))
    return held.give(book, (tag, ref, key, zone), partial(_written, book, tag, ref, key, zone))


def _characters(written: WrittenHistory) -> int:
    """What one weighs."""
    return len(written.main)


def _written(book: Book, tag: str, ref: str, key: str, zone: str) -> tuple[int, WrittenHistory]:
    """Write a history, with nothing in it of who reads it or when; give the number of its machine with it."""
    history = part_history(book, tag, ref, key)
    day, time = in_zone(zone)
    shown = {"history": history, "plots": history_plots(history), "near": near_hours, "day": day, "time": time}
    main = environment().get_template("history/_main.html").make_module({**shown, **LIMIT_WORDS})
    machine, count = history.state.machine, len(history.entries)
    return machine.id, WrittenHistory(machine, history.part, history.characteristic, count, escape(main))
