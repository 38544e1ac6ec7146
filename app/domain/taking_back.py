"""Taking an entry back: its own maker strikes it, and what stood at the place before stands again."""

from collections.abc import Iterator
from datetime import datetime

from app.domain.entries import Typed
from app.domain.errors import InputRefused
from app.domain.overhaul import Overhaul
from app.domain.readings import Kind, Occasion, Reading, left


def take_back(overhaul: Overhaul, typed: Typed, person: str, now: datetime) -> Reading:
    """Make the entry that strikes another; InputRefused where that one stands no longer, or is somebody else's."""
    struck = next((each for each in _standing(overhaul) if each.id == typed.takes_back), None)
    if struck is None or (struck.place, struck.occasion) != (typed.place, typed.occasion):
        raise InputRefused({"kind": "There is no such entry left to take back."})
    if struck.entered_by != person:
        raise InputRefused({"kind": f"Only {struck.entered_by} takes this back. Put it right by a new entry."})
    return Reading(
        id=typed.id,
        place=struck.place,
        occasion=struck.occasion,
        kind=Kind.TAKEN_BACK,
        measured_by=person,
        entered_by=person,
        measured_at=typed.measured_at or now,
        stored_at=now,
        supersedes=struck.id,
        is_second_look=struck.is_second_look,
    )


def may_take_back(overhaul: Overhaul, reading: Reading, person: str) -> bool:
    """Whether an entry stands and is this person's own."""
    return reading.entered_by == person and any(each.id == reading.id for each in _standing(overhaul))


def _standing(overhaul: Overhaul) -> Iterator[Reading]:
    """Every entry that counts at its place, and the looks that no later one of the same person has superseded."""
    for occasion in Occasion:
        yield from overhaul.first_looks(occasion).values()
    looks = left(overhaul.looks)
    later = {look.supersedes for look in looks}
    yield from (look for look in looks if look.id not in later)
