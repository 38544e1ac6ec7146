"""Ahead of the openings: what each machine is likely to need, what is on hand, and what to order by when."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from app.actions.due import USUAL_WINDOW_DAYS, machine_openings, upkeep_of
from app.actions.foreseen import foreseen_of
from app.actions.machines import MachineState, machine_state, machine_states
from app.actions.past_overhauls import past_overhauls
from app.domain.due import due_by_calendar, visits_of
from app.domain.errors import InputRefused
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
from app.store.overhaul_reading import list_base_sizes
from app.store.stock import list_stock, save_stock

MOST_MONTHS, MOST_ON_HAND = 60, 9999


@dataclass(frozen=True)
class OpeningAhead:
    """An opening of a machine with what it is likely to need."""

    state: MachineState
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
    states = [machine_state(book, tag)] if tag else machine_states(book)
    openings: list[OpeningAhead] = []
    silent: list[tuple[str, str]] = []
    for state in states:
        found = _openings_ahead(book, state, until, today, zone)
        if isinstance(found, str):
            silent.append((state.machine.tag, found))
        else:
            openings += found
    openings.sort(key=lambda each: (each.opening.on, each.opening.tag))
    with book.reading() as session:
        stock = list_stock(session)
    lines = to_order([need for each in openings for need in each.needs], stock)
    numbers = sorted({number for state in states for number in order_numbers(state.sheet)})
    return Ahead(today, until, tuple(openings), lines, tuple(silent), tuple(stock.values()), tuple(numbers))


def _months(typed: str) -> int:
    """Read the window."""
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 2 and 1 <= int(typed) <= MOST_MONTHS):
        raise InputRefused({"months": f"A whole number of months, 1 to {MOST_MONTHS}."})
    return int(typed)


def _openings_ahead(
    book: Book, state: MachineState, until: date, today: date, zone: tzinfo
) -> tuple[OpeningAhead, ...] | str:
    """Gather what a machine's openings in the window are likely to need, or say why nothing is told of it."""
    if state.open_overhaul:
        return "it is open now; what it needs stands on its own overhaul"
    with book.reading() as session:
        upkeep = upkeep_of(session, state.machine, zone)
        base_sizes = list_base_sizes(session, state.machine.id)
    if not upkeep.overhauls.newest_first or not upkeep.meter:
        return "no opening of it, or no reading of its meter, is in the book"
    due = machine_openings(book, upkeep)
    if not due:
        return f"{state.sheet.title} names no task that opens it and no interval between openings"
    openings = openings_ahead(visits_of(due, USUAL_WINDOW_DAYS), state.sheet, upkeep.meter[-1], upkeep.rate, today)
    if not openings:
        return f"its next opening has no day: {due[0].due.why}"
    if openings[0].on > until:
        return f"its next opening is expected about {openings[0].on.day} {openings[0].on:%b %Y}, after this window"
    return tuple(_with_needs(book, state, base_sizes, [each for each in openings if each.on <= until]))


def _with_needs(
    book: Book, state: MachineState, base_sizes: dict[str, Length], openings: Sequence[NextOpening]
) -> Iterator[OpeningAhead]:
    """Put beside each opening what it is likely to need; what is new after one is not foreseen for the next."""
    past, made = past_overhauls(book, state.machine.id), _made(state, base_sizes)
    new: set[str] = set()
    for opening in openings:
        found = foreseen_of(past, state.sheet, base_sizes, opening.hours)
        foreseen = tuple(each for each in found if each.part.ref not in new)
        yield OpeningAhead(state, opening, parts_ahead(opening, state.sheet, foreseen, made))
        new |= renewed_at(opening, state.sheet, foreseen)


def _made(state: MachineState, base_sizes: dict[str, Length]) -> dict[str, Oversize]:
    """Give the oversize that each bore has now."""
    return {
        part.ref: oversize
        for part in state.sheet.parts
        for oversize in part.oversizes
        if part.ref in base_sizes and base_sizes[part.ref].mm == oversize.size.mm
    }


def count_stock(book: Book, by: Person, typed: dict[str, str], now: datetime) -> None:
    """Keep what was counted of a part number; the same count sent twice is kept once."""
    by.must(Right.COUNT_STOCK)
    stock = _counted(typed, {number for state in machine_states(book) for number in order_numbers(state.sheet)})
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
