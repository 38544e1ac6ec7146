"""The operating-hours meter: what a reading says of the machine's hours, what must be asked first, the rate of use."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta, tzinfo
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cached_property

from app.domain.overhaul import MeterReading

WINDOW = timedelta(days=120)  # the use of so many days before the last reading tells the rate
SHORTEST = timedelta(days=7)  # a rate over fewer days says nothing
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


class Doubt(StrEnum):
    """Why a meter reading is asked about instead of kept."""

    FUTURE = "in the future"
    SAME_DAY = "two on one day"
    DOWN = "went down"
    TOO_FAST = "faster than the clock"
    ABOVE_LATER = "above a later one"


class Answer(StrEnum):
    """What a person can answer, beside reading the meter again."""

    BOTH = "both"  # two readings of one day are both right
    STRUCK = "struck"  # the reading in the book was misread
    CHANGED = "changed"  # the meter was changed


ANSWERS = {
    Doubt.FUTURE: (),
    Doubt.SAME_DAY: (Answer.BOTH, Answer.STRUCK),
    Doubt.DOWN: (Answer.STRUCK, Answer.CHANGED),
    Doubt.TOO_FAST: (Answer.STRUCK, Answer.CHANGED),
    Doubt.ABOVE_LATER: (Answer.STRUCK,),
}


@dataclass(frozen=True)
class Question:
    """What must be answered before a reading is kept: the doubt, and the reading in the book it does not go with."""

    doubt: Doubt
    words: str
    against: MeterReading | None = None

    @property
    def answers(self) -> tuple[Answer, ...]:
        """What can be answered."""
        return ANSWERS[self.doubt]


@dataclass(frozen=True)
class Rate:
    """How many hours a day a machine runs, between two readings; exact, so that no rounding moves a due date."""

    hours_a_day: Fraction
    since: MeterReading
    until: MeterReading

    @cached_property
    def words(self) -> str:
        """The rate as pages say it: 12.0 h a day."""
        return f"{float(self.hours_a_day):.1f} h a day"


def reading_of(meter: Sequence[MeterReading], shown: Decimal, read_at: datetime, person: str) -> MeterReading:
    """Make a reading of what the meter shows: the machine's hours are those, and what earlier meters had run.

    >>> from datetime import UTC
    >>> fitted = MeterReading(Decimal(20000), datetime(2025, 3, 1, tzinfo=UTC), "", Decimal(0), True)
    >>> reading_of([fitted], Decimal(12), datetime(2025, 3, 3, tzinfo=UTC), "M. Tarrow").hours
    Decimal('20012')
    """
    before = before_and_after(meter, read_at)[0]
    nearest = before or (meter[0] if meter else None)
    lost = nearest.hours - nearest.on_meter if nearest else Decimal(0)
    return MeterReading(shown + lost, read_at, person, shown if lost else None)


def reading_of_new_meter(
    last: MeterReading, old_shown_last: Decimal, new_shown_first: Decimal, reading: MeterReading
) -> MeterReading:
    """Make a reading on a meter that was changed: the old meter's hours, and what the new one has run since."""
    hours = last.hours + (old_shown_last - last.on_meter) + (reading.on_meter - new_shown_first)
    return replace(reading, hours=hours, shown=reading.on_meter, is_new_meter=True)


def question_about(
    meter: Sequence[MeterReading], reading: MeterReading, now: datetime, *, is_same_day_asked: bool = True
) -> Question | None:
    """Ask about a reading that cannot stand beside those in the book; None where nothing speaks against it.

    The days are those of the site: `now` is in its time zone.
    """
    reading = at_site(reading, now.tzinfo)
    if reading.read_at > now + HOUR:
        words = f"{reading.read_at:%d %b %Y} has not come yet. Put the day right."
        return Question(Doubt.FUTURE, words)
    before, after = (each and at_site(each, now.tzinfo) for each in before_and_after(meter, reading.read_at))
    same_day = [each for each in (before, after) if each and each.read_at.date() == reading.read_at.date()]
    if is_same_day_asked and same_day:
        return Question(Doubt.SAME_DAY, _same_day_words(same_day[0]), same_day[0])
    return _before(before, reading) or _after(after, reading)


def at_site(reading: MeterReading, zone: tzinfo | None) -> MeterReading:
    """Put the moment of a reading into a site's time zone, so that its day is the site's.

    >>> from datetime import UTC
    >>> from zoneinfo import ZoneInfo
    >>> evening = MeterReading(Decimal(9), datetime(2025, 3, 1, 20, tzinfo=UTC), "M. Tarrow")
    >>> at_site(evening, ZoneInfo("Pacific/Auckland")).read_at.date()
    datetime.date(2025, 3, 2)
    """
    return replace(reading, read_at=reading.read_at.astimezone(zone))


def before_and_after(
    meter: Sequence[MeterReading], moment: datetime
) -> tuple[MeterReading | None, MeterReading | None]:
    """Find the readings of a meter, in the order they were read, between which a moment falls."""
    place = bisect_right(meter, moment, key=_read_at)
    return (meter[place - 1] if place else None), (meter[place] if place < len(meter) else None)


def is_sent_again(meter: Sequence[MeterReading], reading: MeterReading, zone: tzinfo) -> bool:
    """Whether the book has these hours of that day of the site already.

    A button tapped twice, a file brought in twice and a call repeated after silence store nothing twice.
    """
    midnight = datetime.combine(reading.read_at.astimezone(zone).date(), time(), zone)
    first, behind = (bisect_left(meter, moment, key=_read_at) for moment in (midnight, midnight + DAY))
    return any(each.hours == reading.hours for each in meter[first:behind])


def rate_of_use(meter: Sequence[MeterReading]) -> Rate | None:
    """Tell the rate of use from a recent window: of the readings in it, or from the last one before it.

    Formula: r = (H2 - H1) / (D2 - D1), of the last reading and the first in the window.
    None while fewer than two readings lie far enough apart.
    """
    if not meter:
        return None
    last = meter[-1]
    apart = [each for each in meter if last.read_at - each.read_at >= SHORTEST]
    recent = [each for each in apart if last.read_at - each.read_at <= WINDOW]
    if not apart:
        return None
    first = recent[0] if recent else apart[-1]
    days = Fraction((last.read_at - first.read_at) // timedelta(microseconds=1), DAY // timedelta(microseconds=1))
    return Rate(Fraction(last.hours - first.hours) / days, first, last)


def _read_at(reading: MeterReading) -> datetime:
    """The moment by which readings are in order."""
    return reading.read_at


def _before(before: MeterReading | None, reading: MeterReading) -> Question | None:
    """Hold a reading to the one before it."""
    if before is None:
        return None
    if reading.hours < before.hours:
        words = (
            f"The meter stood at {before.on_meter} h on {before.read_at:%d %b %Y}, read by {before.person}. "
            "It cannot run back: read it again."
        )
        return Question(Doubt.DOWN, words, before)
    return _too_fast(before, reading, before)


def _after(after: MeterReading | None, reading: MeterReading) -> Question | None:
    """Hold a reading entered late to the one after it."""
    if after is None:
        return None
    if reading.hours > after.hours:
        words = (
            f"The meter stood at {after.on_meter} h on {after.read_at:%d %b %Y}, which is later and less. "
            "Put the day or the hours right."
        )
        return Question(Doubt.ABOVE_LATER, words, after)
    return _too_fast(reading, after, after)


def _too_fast(first: MeterReading, last: MeterReading, in_book: MeterReading) -> Question | None:
    """Ask where more hours were run than the clock has.

    A meter of whole hours shows less than one hour more than was run, so one hour more is proof.
    """
    run, elapsed = last.hours - first.hours, Fraction((last.read_at - first.read_at) // timedelta(seconds=1), 3600)
    if run < elapsed + 1:
        return None
    words = (
        f"{run} h between {first.read_at:%d %b %Y %H:%M} and {last.read_at:%d %b %Y %H:%M} is more than the clock "
        "has run: a day has 24 h. Put the hours, the day or the time right."
    )
    return Question(Doubt.TOO_FAST, words, in_book)


def _same_day_words(other: MeterReading) -> str:
    """Ask about a second reading of a day."""
    return (
        f"A reading of {other.read_at:%d %b %Y} is in the book: {other.on_meter} h, by {other.person}. "
        "Are both right, or was one misread?"
    )
