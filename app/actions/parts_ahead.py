"""Ahead of the openings: what each machine is likely to need, what is on hand, and what to order by when."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from app.actions.due import USUAL_WINDOW_DAYS, Upkeep, machine_openings, upkeeps_of
from app.actions.foreseen import foreseen_of
from app.actions.past_overhauls import past_overhauls
from app.domain.due import due_by_calendar, visits_of
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet
from app.domain.numbers import Length
from app.domain.openings_ahead import openings_ahead
from app.domain.order_lines import Oversize
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
from app.store.machines import get_machine, list_machines
from app.store.overhaul_reading import list_base_sizes
from app.store.sheets import current_sheet
from app.store.stock import list_stock, save_stock

MOST_MONTHS, MOST_ON_HAND = 60, 9999


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


def look_at_parts(book: Book, tag: str, typed_months: str, zone: tzinfo, now: datetime) -> Ahead:
    """Look ahead over so many months, at one machine or, without a tag, at all of them."""
    today = now.astimezone(zone).date()
    until = due_by_calendar(today, _months(typed_months))
    with book.reading() as session:
        machines = [get_machine(session, tag)] if tag else list_machines(session)
        upkeeps = upkeeps_of(session, machines, zone, [one.id for one in machines] if tag else None)
        stock = list_stock(session)
    openings: list[OpeningAhead] = []
    silent: list[tuple[str, str]] = []
    for upkeep in upkeeps:
        found = _openings_ahead(book, upkeep, until, today)
        if isinstance(found, str):
            silent.append((upkeep.machine.tag, found))
        else:
            openings += found
    openings.sort(key=lambda each: (each.opening.on, each.opening.tag))
    lines = to_order([need for each in openings for need in each.needs], stock)
    numbers = tuple(sorted(_numbers(upkeep.sheet for upkeep in upkeeps)))
    return Ahead(today, until, tuple(openings), lines, tuple(silent), tuple(stock.values()), numbers)


def _numbers(sheets: Iterable[LimitSheet]) -> set[str]:
    """Every part number that any of these sheets orders by."""
    each = {(sheet.name, sheet.revision): sheet for sheet in sheets}
    return {number for sheet in each.values() for number in order_numbers(sheet)}


def _months(typed: str) -> int:
    """Read the window."""
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 2 and 1 <= int(typed) <= MOST_MONTHS):
        raise InputRefused({"months": f"A whole number of months, 1 to {MOST_MONTHS}."})
    return int(typed)


def _openings_ahead(book: Book, upkeep: Upkeep, until: date, today: date) -> tuple[OpeningAhead, ...] | str:
    """Gather what a machine's openings in the window are likely to need, or say why nothing is told of it."""
    if upkeep.overhauls.is_open:
        return "it is open now; what it needs stands on its own overhaul"
    if not upkeep.overhauls.newest_first or not upkeep.meter:
        return "no opening of it, or no reading of its meter, is in the book"
    due = machine_openings(book, upkeep)
    if not due:
        return f"{upkeep.sheet.title} names no task that opens it and no interval between openings"
    openings = openings_ahead(visits_of(due, USUAL_WINDOW_DAYS), upkeep.sheet, upkeep.meter[-1], upkeep.rate, today)
    if not openings:
        return f"its next opening has no day: {due[0].due.why}"
    if openings[0].on > until:
        return f"its next opening is expected about {openings[0].on.day} {openings[0].on:%b %Y}, after this window"
    return tuple(_with_needs(book, upkeep, [each for each in openings if each.on <= until]))


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
        names = {machine.sheet_name for machine in list_machines(session)}
        numbers = _numbers(current_sheet(session, name) for name in names)
    stock = _counted(typed, numbers)
    with book.writing(by.name, now) as writing:
        if list_stock(writing.session).get(stock.number) != stock:
            save_stock(writing, stock)


def _counted(typed: dict[str, str], numbers: set[str]) -> Stock:
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
