"""Operating hours are read from the meter; what cannot be right is asked about, and never computed through."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, tzinfo
from decimal import Decimal

from app.domain.errors import InputRefused, NotThere, NumberRefused, UnitMismatch
from app.domain.meter import (
    Answer,
    Question,
    Rate,
    is_sent_again,
    question_about,
    rate_of_use,
    reading_of,
    reading_of_new_meter,
)
from app.domain.numbers import parse_number
from app.domain.overhaul import Machine, MeterReading
from app.domain.people import Person, Right
from app.store.book import Book, Writing
from app.store.machines import (
    get_machine,
    list_machines,
    list_meter_entries,
    list_meter_readings,
    save_meter_reading,
    save_strike,
)

MOST_HOURS = Decimal(1_000_000)
LONGEST_WHY = 200
NOON = time(12)
EARLIEST = date(1950, 1, 1)
ELSEWHERE = "If the meter was changed, or a reading in the book is wrong, say so under operating hours first."


@dataclass(frozen=True)
class TypedHours:
    """A meter reading as the form sends it; day and clock may be empty, and so may every answer."""

    hours: str
    day: str = ""
    clock: str = ""
    answer: str = ""
    against: str = ""  # the number of the reading in the book that was asked about
    old_last: str = ""
    new_first: str = ""
    why: str = ""


class HoursAsked(InputRefused):
    """A reading that must be asked about before it is kept."""

    def __init__(self, question: Question) -> None:
        super().__init__({"hours": question.words})
        self.question = question


@dataclass(frozen=True)
class Meter:
    """The meter of one machine: every entry with the reason it was struck for or nothing, and what follows."""

    machine: Machine
    entries: tuple[tuple[MeterReading, str], ...]

    @property
    def readings(self) -> tuple[MeterReading, ...]:
        """The readings that count."""
        return tuple(each for each, struck in self.entries if not struck)

    @property
    def last(self) -> MeterReading | None:
        """The reading read last."""
        return self.readings[-1] if self.readings else None

    @property
    def rate(self) -> Rate | None:
        """The rate of use of late."""
        return rate_of_use(self.readings)


def meter_of(book: Book, tag: str) -> Meter:
    """The meter of a machine."""
    with book.reading() as session:
        machine = get_machine(session, tag)
        return Meter(machine, tuple(list_meter_entries(session, machine.id)))


def meters(book: Book) -> list[Meter]:
    """The meters of all machines."""
    with book.reading() as session:
        return [Meter(each, tuple(list_meter_entries(session, each.id))) for each in list_machines(session)]


def read_meter(book: Book, by: Person, tag: str, typed: TypedHours, zone: tzinfo, now: datetime) -> bool:
    """Keep a meter reading once; HoursAsked where it cannot be right and no answer says why. False: kept already."""
    by.must(Right.RECORD_HOURS)
    refused: dict[str, str] = {}
    shown = hours_typed(typed.hours, refused)
    read_at = moment_typed(typed.day, typed.clock, zone, now, refused)
    if refused:
        raise InputRefused(refused)
    with book.writing(by.name, now) as writing:
        machine = get_machine(writing.session, tag)
        meter = list_meter_readings(writing.session, machine.id)
        reading = reading_of(meter, shown, read_at, by.name)
        if is_sent_again(meter, reading, zone):
            return False
        _settled(writing, machine, meter, reading, typed, zone)
        return True


def _settled(
    writing: Writing,
    machine: Machine,
    meter: list[MeterReading],
    reading: MeterReading,
    typed: TypedHours,
    zone: tzinfo,
) -> None:
    """Keep a reading as its answer settles it, or ask."""
    if typed.answer == Answer.CHANGED:
        reading = _on_new_meter(meter, reading, typed)
    here = writing.now.astimezone(zone)
    question = _question(meter, reading, here, typed.answer)
    if question and question.against and typed.answer == Answer.STRUCK and typed.against == str(question.against.id):
        save_strike(writing, machine, question.against, _why(typed.why))
        meter = [each for each in meter if each.id != question.against.id]
        reading = reading_of(meter, reading.on_meter, reading.read_at, reading.person)
        question = _question(meter, reading, here, "")
    if question:
        raise HoursAsked(question)
    keep_hours(writing, machine, reading, typed.why.strip()[:LONGEST_WHY])


def keep_hours(writing: Writing, machine: Machine, reading: MeterReading, why: str = "") -> None:
    """Keep a reading; one that was read earlier says when it was entered."""
    late = writing.now if reading.read_at != writing.now else None
    save_meter_reading(writing, machine, replace(reading, entered_at=late), why)


def _question(meter: list[MeterReading], reading: MeterReading, now: datetime, answer: str) -> Question | None:
    """Ask, unless two readings of one day are said to be both right."""
    return question_about(meter, reading, now, is_same_day_asked=answer not in (Answer.BOTH, Answer.CHANGED))


def _on_new_meter(meter: list[MeterReading], reading: MeterReading, typed: TypedHours) -> MeterReading:
    """Read a meter that was changed: what the old one showed last, what the new one showed first, and shows now."""
    if not meter or reading.read_at < meter[-1].read_at:
        raise InputRefused({"hours": "A changed meter is entered after every reading of the old one."})
    last, refused = meter[-1], dict[str, str]()
    old_last = hours_typed(typed.old_last, refused, "old_last") if typed.old_last.strip() else last.on_meter
    new_first = hours_typed(typed.new_first, refused, "new_first") if typed.new_first.strip() else Decimal(0)
    if not refused and old_last < last.on_meter:
        refused["old_last"] = f"The old meter stood at {last.on_meter} h already, on {last.read_at:%d %b %Y}."
    if not refused and reading.on_meter < new_first:
        refused["new_first"] = f"The new meter shows {reading.on_meter} h now, which is less."
    if refused:
        raise InputRefused(refused)
    return reading_of_new_meter(last, old_last, new_first, reading)


def strike_reading(book: Book, by: Person, tag: str, reading_id: int, why: str, now: datetime) -> None:
    """Strike a misread reading; it stays legible, and counts no longer. Sent twice, it is struck once."""
    by.must(Right.RECORD_HOURS)
    with book.writing(by.name, now) as writing:
        machine = get_machine(writing.session, tag)
        entries = list_meter_entries(writing.session, machine.id)
        found = [(each, struck) for each, struck in entries if each.id == reading_id]
        if not found:
            raise NotThere(f"There is no such reading of {machine.tag}.")
        reading, is_struck = found[0]
        if is_struck:
            return
        if len([each for each, struck in entries if not struck]) == 1:
            raise InputRefused({"why": "This is the only reading. Read the meter first, then strike this one."})
        save_strike(writing, machine, reading, _why(why))


def kept_with(
    writing: Writing, machine: Machine, shown: Decimal, read_at: datetime, zone: tzinfo, refused: dict[str, str]
) -> MeterReading:
    """Keep the hours that some work was done at, unless the book has them; refuses all that is wrong at once."""
    meter = list_meter_readings(writing.session, machine.id)
    reading = reading_of(meter, shown, read_at, writing.person)
    question = question_about(meter, reading, writing.now.astimezone(zone), is_same_day_asked=False)
    if question and not {"hours", "day"} & refused.keys():
        refused["hours"] = f"{question.words} {ELSEWHERE}"
    if refused:
        raise InputRefused(refused)
    if not is_sent_again(meter, reading, zone):
        keep_hours(writing, machine, reading)
    return reading


def opening_reading(
    writing: Writing, machine: Machine, shown: Decimal, zone: tzinfo, refused: dict[str, str]
) -> MeterReading:
    """Read the hours an overhaul is opened at; a question is answered on the page of operating hours."""
    meter = list_meter_readings(writing.session, machine.id)
    reading = reading_of(meter, shown, writing.now, writing.person)
    question = question_about(meter, reading, writing.now.astimezone(zone), is_same_day_asked=False)
    if question and "hours" not in refused:
        refused["hours"] = f"{question.words} {ELSEWHERE}"
    return reading


def hours_typed(typed: str, refused: dict[str, str], name: str = "hours") -> Decimal:
    """Read hours as typed from a meter."""
    try:
        hours = parse_number(typed, example="10300")
    except (NumberRefused, UnitMismatch) as refusal:
        refused[name] = str(refusal)
        return Decimal(0)
    if hours > MOST_HOURS:
        refused[name] = f"More than {MOST_HOURS} h cannot be."
    return hours


def moment_typed(day: str, clock: str, zone: tzinfo, now: datetime, refused: dict[str, str]) -> datetime:
    """Read the moment a meter was read at: now where no day is typed; noon of another day where no time is."""
    if not day.strip() and not clock.strip():
        return now
    try:
        read_on = date.fromisoformat(day.strip()) if day.strip() else now.astimezone(zone).date()
    except ValueError:
        refused["day"] = "A day is written 2026-11-24."
        return now
    if not clock.strip() and read_on == now.astimezone(zone).date():
        return now
    try:
        read_at = time.fromisoformat(clock.strip()) if clock.strip() else NOON
    except ValueError:
        refused["clock"] = "A time is written 07:40."
        return now
    if read_on < EARLIEST or read_on.year > now.year + 1:
        refused["day"] = f"{read_on:%Y} is no year of this machine."
        return now
    return datetime.combine(read_on, read_at.replace(tzinfo=None), zone).astimezone(UTC)


def _why(why: str) -> str:
    """Give the reason a reading is struck for."""
    return why.strip()[:LONGEST_WHY] or "misread"
