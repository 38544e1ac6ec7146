"""What the fitter is shown at a place: the last opening's reading there, and the verdict a typed figure would give."""

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from app.domain.entries import Typed, read_entry
from app.domain.overhaul import Overhaul
from app.domain.readings import Occasion, Place, Reading
from app.store.book import Book
from app.store.history import PastReading, list_history


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
        history = list_history(session, overhaul.machine.id, place.part, place.characteristic)
    earlier = [past for past in history if _counts(past, overhaul, place)]
    if not earlier:
        return None
    last = max(earlier, key=lambda past: (past.overhaul_number, past.occasion is Occasion.AS_FITTED))
    return LastReading(last.hours, last.at, last.size_mm, last.goes_mm, last.does_not_go_mm, last.occasion)


def _counts(past: PastReading, overhaul: Overhaul, place: Place) -> bool:
    """Whether a past reading is of this place, of an earlier opening, standing, and a size."""
    has_size = past.size_mm is not None or past.goes_mm is not None
    here = (past.level, past.axis) == (place.level, place.axis)
    return has_size and here and past.is_standing and past.overhaul_number < overhaul.number


def preview(overhaul: Overhaul, typed: Typed, person: str, now: datetime) -> tuple[Overhaul, Reading]:
    """Give the overhaul as it would be if what is typed were kept; nothing is stored."""
    reading = read_entry(overhaul, typed, person, now)
    return replace(overhaul, readings=(*overhaul.readings, reading)), reading
