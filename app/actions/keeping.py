"""Keeping one entry of a round of gauging: judged as a slip or not, stored once, and shown in the overhaul it joins."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from app.actions.gauging import is_look, read_typed
from app.domain.entries import Typed, with_entry
from app.domain.errors import InputRefused, NotThere
from app.domain.holds import fitted_work, require_order
from app.domain.overhaul import Overhaul, Phase
from app.domain.people import Person, Right
from app.domain.phases import require_phase, require_unsealed_findings
from app.domain.readings import Occasion, Reading
from app.store.book import Book
from app.store.overhauls import get_overhaul
from app.store.readings import IdentifierTaken, save_reading


@dataclass(frozen=True)
class Kept:
    """An entry as it is kept, and the overhaul that holds it."""

    overhaul: Overhaul
    reading: Reading


def keep_reading(book: Book, by: Person, overhaul_id: int, typed: Typed, now: datetime) -> Reading:
    """Store one entry as typed; the same identifier sent twice is stored once, and never stands for something else."""
    return keep_entry(book, by, overhaul_id, lambda _: typed, now).reading


def keep_entry(book: Book, by: Person, overhaul_id: int, read: Callable[[Overhaul], Typed], now: datetime) -> Kept:
    """Store one entry, read from its form in the light of the overhaul at that very moment."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        typed = read(found)
        stored = next((reading for reading in (*found.readings, *found.looks) if reading.id == typed.id), None)
        if stored is None:
            _require_round(found, typed)
        typed = replace(typed, is_second_look=stored.is_second_look if stored else is_look(found, by.name, typed))
        reading = read_typed(writing.session, found, typed, by.name, now, stored)
        try:
            save_reading(writing, overhaul_id, reading)
        except IdentifierTaken as taken:
            raise InputRefused({"kind": str(taken)}) from None
        return Kept(found, stored) if stored else Kept(with_entry(found, reading), reading)


def _require_round(found: Overhaul, typed: Typed) -> None:
    """Refuse an entry outside its round: as found once signed, as fitted before that or where nothing was done."""
    if typed.occasion is Occasion.AS_FOUND:
        require_unsealed_findings(found)
        return
    require_phase(found, Phase.BOX_UP)
    if typed.place.part not in [work.part.ref for work in fitted_work(found)]:
        raise NotThere("This part is not gauged in this round.")
    require_order(found, typed.place.part)
