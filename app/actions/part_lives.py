"""The lives of a position: each part or size it has had, from when to when, with its number and its readings."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from app.actions.past_overhauls import PastOverhaul
from app.domain.overhaul import Fitting
from app.domain.readings import Occasion

FIRST = "in place when the book began"


@dataclass(frozen=True)
class PartLife:
    """One life of a position; without an overhaul it began before the book, without an end it goes on."""

    number: int
    began: str
    began_at: PastOverhaul | None
    fitting: Fitting | None
    readings: int = 0
    ended: str = ""
    ended_at: PastOverhaul | None = None

    def ran_hours(self, hours_now: Decimal | None) -> Decimal | None:
        """How long it has run in the book; None where its beginning is not in it."""
        end = self.ended_at.overhaul.hours if self.ended_at else hours_now
        return None if self.began_at is None or end is None else end - self.began_at.overhaul.hours


def part_lives(past: Sequence[PastOverhaul], ref: str) -> tuple[PartLife, ...]:
    """Follow a position through its lives, the oldest first; renewed or reworked, it begins a new one."""
    lives = [PartLife(1, FIRST, None, None)]
    for each in past:
        entered = _entered(each, ref)
        for occasion in Occasion:
            new_life = each.new_life(ref)
            if occasion is Occasion.AS_FITTED and new_life:
                lives[-1] = replace(lives[-1], ended=new_life, ended_at=each)
                lives.append(PartLife(len(lives) + 1, new_life, each, _fitting(each, ref)))
            lives[-1] = replace(lives[-1], readings=lives[-1].readings + entered[occasion])
    return tuple(lives)


def _entered(past: PastOverhaul, ref: str) -> Counter[Occasion]:
    """Count the readings of a part on each occasion, superseded ones too."""
    entries = (*past.overhaul.readings, *past.overhaul.looks)
    return Counter(reading.occasion for reading in entries if reading.place.part == ref)


def _fitting(past: PastOverhaul, ref: str) -> Fitting | None:
    """What went in for a part at an overhaul, by itself or with its set."""
    part_set = past.overhaul.sheet.set_of(ref)
    return past.overhaul.fitting(ref) or (past.overhaul.fitting(part_set.ref) if part_set else None)
