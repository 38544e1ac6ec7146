"""Ahead of the openings: what each machine is likely to need, what is on hand, and what to order by when."""

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from math import inf
from time import monotonic
from typing import NamedTuple

from sqlmodel import Session

from app.actions.due import USUAL_WINDOW_DAYS, Upkeep, machine_openings, upkeep_of, upkeeps_of
from app.actions.foreseen import foreseen_of
from app.actions.past_overhauls import past_overhauls
from app.domain.due import due_by_calendar, visits_of
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet
from app.domain.numbers import Length
from app.domain.openings_ahead import openings_ahead
from app.domain.order_lines import Oversize
from app.domain.overhaul import Machine
from app.domain.parts_ahead import (
    Needed,
    NextOpening,
    Stock,
    ToOrder,
    order_numbers,
    parts_ahead,
    renewed_at,
    to_order,
)
from app.domain.people import Person, Right
from app.store.book import Book
from app.store.chain import chain_head
from app.store.machines import get_machine, list_machines
from app.store.overhaul_reading import list_base_sizes
from app.store.sheets import current_sheet
from app.store.since import stale_among
from app.store.stock import list_stock, save_stock

MOST_MONTHS, MOST_ON_HAND = 60, 9999
LONGEST_LOOK_S = 10.0  # at machines that were not looked at since anything was entered of them; at one at least
MOST_ASKED_ALONE = 50  # of more machines than these, all are asked for at once
HELD = "parts ahead"  # as the memory of a book holds them


@dataclass(frozen=True)
class OpeningAhead:
    """An opening of a machine with what it is likely to need."""

    upkeep: Upkeep
    opening: NextOpening
    needs: tuple[Needed, ...]


@dataclass(frozen=True)
class Ahead:
    """What the window shows: the openings in it, what to order for them, and the machines it tells nothing of."""

    today: date
    until: date
    openings: tuple[OpeningAhead, ...]
    lines: tuple[ToOrder, ...]
    not_foreseen: tuple[tuple[str, str], ...]  # tag and reason
    stock: tuple[Stock, ...]
    numbers: tuple[str, ...]
    unlooked: int = 0  # machines that were not looked at yet; the next look goes on where this one ended


_Found = tuple[OpeningAhead, ...] | str  # the reason where nothing is told of a machine


class _Window(NamedTuple):
    """From which day until which day openings are looked for, by the days of a zone."""

    today: date
    until: date
    zone: tzinfo


@dataclass(frozen=True)
class _Held:
    """What was found of each machine at a head of the chain, for a window."""

    window: _Window
    head: tuple[int, str]
    machines: Mapping[int, _Found]


def look_at_parts(
    book: Book, tag: str, typed_months: str, zone: tzinfo, now: datetime, *, is_whole: bool = False
) -> Ahead:
    """Look ahead over so many months, at one machine or, without a tag, at all: in one go, or while there is time."""
    today = now.astimezone(zone).date()
    window = _Window(today, due_by_calendar(today, _months(typed_months)), zone)
    with book.reading() as session:
        machines = [get_machine(session, tag)] if tag else list_machines(session)
        stock, numbers = list_stock(session), _numbers(session, machines)
    found = _of_one(book, machines[0], window) if tag else _of_all(book, window, inf if is_whole else LONGEST_LOOK_S)
    looked = [(one.tag, found[one.id]) for one in machines if one.id in found]
    openings = [each for _, of_one in looked if not isinstance(of_one, str) for each in of_one]
    openings.sort(key=lambda each: (each.opening.on, each.opening.tag))
    silent = tuple((name, of_one) for name, of_one in looked if isinstance(of_one, str))
    lines = to_order([need for each in openings for need in each.needs], stock)
    left = len(machines) - len(looked)
    return Ahead(today, window.until, tuple(openings), lines, silent, tuple(stock.values()), numbers, left)


def _of_one(book: Book, machine: Machine, window: _Window) -> dict[int, _Found]:
    """Look at one machine."""
    with book.reading() as session:
        upkeep = upkeep_of(session, machine, window.zone)
    return {machine.id: _openings_ahead(book, upkeep, window)}


def _of_all(book: Book, window: _Window, longest_s: float) -> dict[int, _Found]:
    """Look at each machine that anything was entered of since it was looked at last, as long as there is time."""
    held: _Held | None = book.memory.get(HELD)
    known = held.machines if held and held.window == window else {}
    with book.reading() as session:
        head, machines = chain_head(session), list_machines(session)
        stale = stale_among(session, machines, known, held.head if held and known else None)
        only = [one.id for one in stale] if len(stale) <= MOST_ASKED_ALONE else None
        upkeeps = upkeeps_of(session, stale, window.zone, only) if stale else []
    found = {number: of_one for number, of_one in known.items() if number not in {one.id for one in stale}}
    end = monotonic() + longest_s
    for upkeep in upkeeps:
        found[upkeep.machine.id] = _openings_ahead(book, upkeep, window)
        if monotonic() >= end:
            break
    book.memory[HELD] = _Held(window, head, found)
    return found


def _numbers(session: Session, machines: Sequence[Machine]) -> tuple[str, ...]:
    """Every part number that the sheets of these machines order by."""
    sheets = (current_sheet(session, name) for name in {machine.sheet_name for machine in machines})
    return tuple(sorted({number for sheet in sheets for number in order_numbers(sheet)}))


def _months(typed: str) -> int:
    """Read the window."""
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 2 and 1 <= int(typed) <= MOST_MONTHS):
        raise InputRefused({"months": f"A whole number of months, 1 to {MOST_MONTHS}."})
    return int(typed)


def _openings_ahead(book: Book, upkeep: Upkeep, window: _Window) -> _Found:
    """Gather what a machine's openings in the window are likely to need, or say why nothing is told of it."""
    if upkeep.overhauls.is_open:
        return "it is open now; what it needs stands on its own overhaul"
    if not upkeep.overhauls.newest_first or not upkeep.meter:
        return "no opening of it, or no reading of its meter, is in the book"
    due = machine_openings(book, upkeep)
    if not due:
        return f"{upkeep.sheet.title} names no task that opens it and no interval between openings"
    openings = openings_ahead(
        visits_of(due, USUAL_WINDOW_DAYS), upkeep.sheet, upkeep.meter[-1], upkeep.rate, window.today
    )
    if not openings:
        return f"its next opening has no day: {due[0].due.why}"
    if openings[0].on > window.until:
        return f"its next opening is expected about {openings[0].on.day} {openings[0].on:%b %Y}, after this window"
    return tuple(_with_needs(book, upkeep, [each for each in openings if each.on <= window.until]))


def _with_needs(book: Book, upkeep: Upkeep, openings: Sequence[NextOpening]) -> Iterator[OpeningAhead]:
    """Put beside each opening what it is likely to need; what is new after one is not foreseen for the next."""
    with book.reading() as session:
        base_sizes = list_base_sizes(session, upkeep.machine.id)
    past, sheet, made = past_overhauls(book, upkeep.machine.id), upkeep.sheet, _made(upkeep.sheet, base_sizes)
    new: set[str] = set()
    for opening in openings:
        found = foreseen_of(past, sheet, base_sizes, opening.hours)
        foreseen = tuple(each for each in found if each.part.ref not in new)
        yield OpeningAhead(upkeep, opening, parts_ahead(opening, sheet, foreseen, made))
        new |= renewed_at(opening, sheet, foreseen)


def _made(sheet: LimitSheet, base_sizes: dict[str, Length]) -> dict[str, Oversize]:
    """Give the oversize that each bore has now."""
    return {
        part.ref: oversize
        for part in sheet.parts
        for oversize in part.oversizes
        if part.ref in base_sizes and base_sizes[part.ref].mm == oversize.size.mm
    }


def count_stock(book: Book, by: Person, typed: dict[str, str], now: datetime) -> None:
    """Keep what was counted of a part number; the same count sent twice is kept once."""
    by.must(Right.COUNT_STOCK)
    with book.reading() as session:
        numbers = _numbers(session, list_machines(session))
    stock = _counted(typed, numbers)
    with book.writing(by.name, now) as writing:
        if list_stock(writing.session).get(stock.number) != stock:
            save_stock(writing, stock)


def _counted(typed: dict[str, str], numbers: Container[str]) -> Stock:
    """Read a count, or say beside each field what is wrong."""
    words = {name: typed.get(name, "").strip() for name in ("number", "on_hand", "best_before")}
    refused: dict[str, str] = {}
    if words["number"] not in numbers:
        refused["number"] = "No limit sheet of a machine in the book orders by this number."
    is_count = words["on_hand"].isascii() and words["on_hand"].isdigit() and len(words["on_hand"]) <= 4
    if not is_count:
        refused["on_hand"] = f"How many are on hand: a whole number, 0 to {MOST_ON_HAND}."
    best_before = None
    try:
        best_before = date.fromisoformat(words["best_before"]) if words["best_before"] else None
    except ValueError:
        refused["best_before"] = "A day, such as 2027-06-30; or leave it empty."
    if refused:
        raise InputRefused(refused)
    return Stock(words["number"], int(words["on_hand"]), best_before)
