"""Keeping one entry of a round of gauging: judged as a slip or not, stored once, and shown in the overhaul it joins."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from app.actions.gauging import is_look, read_typed
from app.domain.entries import Typed, with_entry
from app.domain.errors import InputRefused, NotThere, WearbookError
from app.domain.holds import fitted_work, require_order
from app.domain.overhaul import Overhaul, Phase
from app.domain.people import Person, Right
from app.domain.phases import require_phase, require_unsealed_findings
from app.domain.readings import Occasion, Reading
from app.store.book import Book, Writing
from app.store.chain import chain_head
from app.store.overhauls import get_overhaul, hold_overhaul
from app.store.readings import IdentifierTaken, Stored, add_reading, find_stored, must_be_the_same


@dataclass(frozen=True)
class Kept:
    """An entry as it is kept, and the overhaul that holds it."""

    overhaul: Overhaul
    reading: Reading


@dataclass(frozen=True)
class Asked:
    """An entry that somebody asks to be kept, read from its form in the light of the overhaul at that very moment."""

    by: Person
    overhaul_id: int
    read: Callable[[Overhaul], Typed]
    now: datetime


def keep_reading(book: Book, by: Person, overhaul_id: int, typed: Typed, now: datetime) -> Reading:
    """Store one entry as typed; the same identifier sent twice is stored once, and never stands for something else."""
    return keep_entry(book, by, overhaul_id, lambda _: typed, now).reading


def keep_entry(book: Book, by: Person, overhaul_id: int, read: Callable[[Overhaul], Typed], now: datetime) -> Kept:
    """Store one entry, read from its form in the light of the overhaul at that very moment."""
    with book.writing(by.name, now) as writing:
        return _keep(writing, Asked(by, overhaul_id, read, now))


def keep_together(book: Book, asked: Sequence[Asked]) -> list[Kept | None]:
    """Store entries that several ask for in one transaction; None for what is refused, which leaves nothing behind.

    Whoever it was refused to asks for it by itself and learns why. Whatever else fails, fails for all of them.
    """
    with book.writing(asked[0].by.name, max(each.now for each in asked)) as writing:
        kept = [_try_to_keep(writing.by(each.by.name, each.now), each) for each in asked]
        head = chain_head(writing.session)
    newest = {each.overhaul.id: each.overhaul for each in kept if each is not None}
    for overhaul in newest.values():  # what another of these entered is in none of them but its own
        hold_overhaul(book, head, overhaul)
    return kept


def _try_to_keep(writing: Writing, asked: Asked) -> Kept | None:
    """Store an entry; whatever refuses one does so before anything of it is written."""
    try:
        return _keep(writing, asked)
    except WearbookError:
        return None


def _keep(writing: Writing, asked: Asked) -> Kept:
    """Store one entry in a transaction."""
    asked.by.must(Right.GAUGE)
    found = get_overhaul(writing.session, asked.overhaul_id)
    typed = asked.read(found)
    stored = find_stored(writing.session, typed.id)
    if stored is not None and stored.overhaul_id == found.id:
        return Kept(found, _sent_again(writing, found, typed, asked, stored))
    _require_round(found, typed)
    look = is_look(found, asked.by.name, typed)
    typed = typed if look is typed.is_second_look else replace(typed, is_second_look=look)
    reading = read_typed(writing.session, found, typed, asked.by.name, asked.now, None)
    _must_be_the_same(stored, found, reading)
    add_reading(writing, found.id, reading)
    return Kept(with_entry(found, reading), reading)


def _sent_again(writing: Writing, found: Overhaul, typed: Typed, asked: Asked, stored: Stored) -> Reading:
    """Give what an identifier stands for, where the same is sent again."""
    typed = replace(typed, is_second_look=stored.reading.is_second_look)
    again = read_typed(writing.session, found, typed, asked.by.name, asked.now, stored.reading)
    _must_be_the_same(stored, found, again)
    return stored.reading


def _must_be_the_same(stored: Stored | None, found: Overhaul, reading: Reading) -> None:
    """Refuse an identifier that stands for something else already."""
    try:
        if stored is not None:
            must_be_the_same(stored, found.id, reading)
    except IdentifierTaken as taken:
        raise InputRefused({"kind": str(taken)}) from None


def _require_round(found: Overhaul, typed: Typed) -> None:
    """Refuse an entry outside its round: as found once signed, as fitted before that or where nothing was done."""
    if typed.occasion is Occasion.AS_FOUND:
        require_unsealed_findings(found)
        return
    require_phase(found, Phase.BOX_UP)
    if typed.place.part not in [work.part.ref for work in fitted_work(found)]:
        raise NotThere("This part is not gauged in this round.")
    require_order(found, typed.place.part)
