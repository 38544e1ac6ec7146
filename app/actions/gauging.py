"""What the fitter is shown at a place: the last opening's reading there, and the verdict a typed figure would give."""

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from sqlmodel import Session

from app.domain.amending import as_read
from app.domain.corrections import explained
from app.domain.entries import Typed, find_place, read_entry, with_entry
from app.domain.errors import InputRefused
from app.domain.overhaul import Overhaul
from app.domain.readings import Kind, Occasion, Place, Reading
from app.domain.second_looks import check_look, is_unseen
from app.domain.slips import Before
from app.domain.taking_back import take_back
from app.store.book import Book
from app.store.history import PastReading, list_earlier
from app.store.overhauls import get_overhaul, is_fitted_in
from app.store.readings import count_readings, get_reading


@dataclass(frozen=True)
class LastReading:
    """The last reading at a place before this opening."""

    hours: Decimal
    at: datetime
    size_mm: Decimal | None
    goes_mm: Decimal | None
    does_not_go_mm: Decimal | None
    occasion: Occasion


def last_reading(book: Book, overhaul: Overhaul, place: Place) -> LastReading | None:
    """Find the last reading at a place from an earlier opening: as fitted where there is one, else as found."""
    with book.reading() as session:
        last, reading = _last_past(session, overhaul, place)
    if last is None or reading is None:
        return None
    goes, stops = (each.mm if each else None for each in (reading.goes, reading.does_not_go))
    return LastReading(last.hours, last.at, reading.size_mm, goes, stops, last.occasion)


def reading_before(session: Session, overhaul: Overhaul, place: Place) -> Before | None:
    """Give the last reading with what became of the part since: it stayed in, or it was renewed or reworked."""
    last, reading = _last_past(session, overhaul, place)
    if last is None or reading is None:
        return None
    part_set = overhaul.sheet.set_of(place.part)
    refs = (place.part, part_set.ref) if part_set else (place.part,)
    # A reading as fitted was taken after the work of its own overhaul.
    since = overhaul.earlier.index(last.overhaul_id) + (last.occasion is Occasion.AS_FITTED)
    is_fitted = is_fitted_in(session, (*overhaul.earlier[since:], overhaul.id), refs)
    return Before(reading, not is_fitted)


def _as_amended(session: Session, last: PastReading) -> Reading:
    """Give a reading of an earlier overhaul as its last signed amendment makes it."""
    return as_read(get_overhaul(session, last.overhaul_id), get_reading(session, last.id))


def _last_past(session: Session, overhaul: Overhaul, place: Place) -> tuple[PastReading | None, Reading | None]:
    """Find the last size at a place from an earlier opening, with the entry as its last signed amendment makes it."""
    before = overhaul.earlier
    history = list_earlier(session, overhaul.machine.id, before, place.part, place.characteristic)
    by_day = {id_: day for day, id_ in enumerate(before)}
    here = [past for past in history if past.is_standing and (past.level, past.axis) == (place.level, place.axis)]
    for past in sorted(here, key=lambda each: (by_day[each.overhaul_id], each.occasion is Occasion.AS_FITTED))[::-1]:
        reading = _as_amended(session, past)
        if reading.value is not None or reading.goes is not None:
            return past, reading
    return None, None


def entries_so_far(book: Book, overhaul_id: int) -> int:
    """How many entries an overhaul holds, asked by every tablet every few seconds."""
    with book.reading() as session:
        return count_readings(session, overhaul_id)


def is_look(found: Overhaul, person: str, typed: Typed) -> bool:
    """Whether an entry stands beside another's: as asked for, or since that one came while this was being made."""
    first = found.first_looks(typed.occasion).get(typed.place)
    if typed.is_second_look or typed.kind in (Kind.CANNOT, Kind.TAKEN_BACK) or not is_unseen(first, typed.seen, person):
        return typed.is_second_look
    looks = dict(found.looked_at(typed.occasion)).get(typed.place)
    return looks is None or looks.asks_third


def read_typed(
    session: Session, found: Overhaul, typed: Typed, person: str, now: datetime, stored: Reading | None
) -> Reading:
    """Read what is typed into an entry that names the one it strikes; sent again, it is what it was."""
    if typed.kind == Kind.TAKEN_BACK:
        if stored and (stored.kind, stored.supersedes) != (Kind.TAKEN_BACK, typed.takes_back):
            raise InputRefused({"kind": "This identifier stands for another entry already. Take it back again."})
        return stored or take_back(found, typed, person, now)
    before = reading_before(session, found, typed.place)
    reading = read_entry(found, typed, person, now, before, is_asking=stored is None)
    if stored:
        correction = reading.correction if stored.supersedes else ""
        return replace(reading, supersedes=stored.supersedes, correction=correction)
    superseded = _superseded(found, reading)
    if superseded:
        reading = replace(reading, supersedes=superseded)
    return explained(_struck(found, reading), reading, typed.made_at or now)


def _superseded(found: Overhaul, reading: Reading) -> str:
    """Name the entry that a reading strikes through: the one at its place, or a second look of the same person."""
    first = found.first_looks(reading.occasion).get(reading.place)
    if reading.is_second_look:
        return check_look(found.sheet, find_place(found, reading.place)[0], first, reading, found.looks)
    return first.id if first else ""


def _struck(found: Overhaul, reading: Reading) -> Reading | None:
    """Find the entry that a reading strikes through: mostly the last one at its place."""
    if not reading.supersedes:
        return None
    first = found.first_looks(reading.occasion).get(reading.place)
    if first is not None and first.id == reading.supersedes:
        return first
    return next((entry for entry in (*found.looks, *found.readings) if entry.id == reading.supersedes), None)


def preview(overhaul: Overhaul, typed: Typed, person: str, now: datetime) -> tuple[Overhaul, Reading]:
    """Give the overhaul as it would be if what is typed were kept; nothing is stored."""
    reading = read_entry(overhaul, typed, person, now)
    return with_entry(overhaul, reading), reading
