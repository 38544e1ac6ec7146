"""The readings of a machine as an auditor asks for them: chosen, judged by the sheet of their day, and counted."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from app.actions.history import PastEntry, judged_entry, parts_of
from app.actions.machines import MachineState, machine_state
from app.actions.past_overhauls import PastOverhaul, past_overhauls
from app.actions.verdicts_then import verdict_then
from app.domain.errors import InputRefused
from app.domain.limits import Part
from app.domain.readings import Kind, Reading
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.machine_readings import (
    Choice,
    ReadingKey,
    get_readings,
    list_people_and_instruments,
    list_reading_keys,
)

ASKED = ("from", "to", "part", "verdict", "person", "instrument", "overhaul", "page")
AT_ONCE = 100
STRUCK = "superseded"  # stands among the verdicts, since nothing else is said of an entry that was replaced


@dataclass(frozen=True)
class ChosenReadings:
    """The readings chosen, with what there is to choose from."""

    state: MachineState
    parts: tuple[Part, ...]
    people: tuple[str, ...]
    instruments: tuple[str, ...]
    overhauls: tuple[int, ...]  # their numbers, the newest first
    entries: tuple[PastEntry, ...]
    count: int
    page: int
    pages: int


def chosen_readings(
    book: Book, tag: str, asked: dict[str, str], zone: str, *, is_whole: bool = False
) -> ChosenReadings:
    """Choose, judge and count readings; a page of them, or all for a file."""
    choice, verdict, page = _choice(asked, zone)
    state = machine_state(book, tag)
    past = past_overhauls(book, state.machine.id)
    with book.reading() as session:
        keys = list_reading_keys(session, state.machine.id, choice)
        if verdict:
            keys = _of_verdict(beside(keys, get_readings(session, keys)), past, verdict)
        pages = max(1, -(-len(keys) // AT_ONCE))
        page = min(page, pages)
        shown = keys if is_whole else keys[(page - 1) * AT_ONCE : page * AT_ONCE]
        readings = beside(shown, get_readings(session, shown))
        people, instruments = list_people_and_instruments(session, state.machine.id)
    by_id = {each.overhaul.id: each for each in past}
    entries = tuple(_entry(by_id[key.overhaul_id], reading) for key, reading in readings)
    numbers = tuple(each.overhaul.number for each in reversed(past))
    return ChosenReadings(
        state, parts_of(state, past), tuple(people), tuple(instruments), numbers, entries, len(keys), page, pages
    )


def beside(keys: list[ReadingKey], readings: list[Reading]) -> list[tuple[ReadingKey, Reading]]:
    """Put each key beside its reading."""
    return list(zip(keys, readings, strict=True))


def _of_verdict(
    readings: list[tuple[ReadingKey, Reading]], past: Sequence[PastOverhaul], verdict: str
) -> list[ReadingKey]:
    """Keep the readings of a verdict."""
    by_id = {each.overhaul.id: each for each in past}
    return [key for key, reading in readings if verdict_word(_entry(by_id[key.overhaul_id], reading)) == verdict]


def verdict_word(entry: PastEntry) -> str:
    """What an entry came to, as a choice names it."""
    if not entry.is_standing:
        return STRUCK
    return entry.verdict.value if entry.verdict else ""


def _entry(past: PastOverhaul, reading: Reading) -> PastEntry:
    """Judge an entry once; a diameter has the verdict of its bore, and a second look none of its own."""
    known: PastEntry | None = past.judged_entries.get(reading.id)
    if known is None or known.reading != reading:
        known = _judged(past, reading)
        past.judged_entries[reading.id] = known
    return known


def _judged(past: PastOverhaul, reading: Reading) -> PastEntry:
    """Judge an entry."""
    part = past.part(reading.place.part)
    if reading.id in past.struck:
        return PastEntry(past, reading, is_standing=False)
    if part is None or reading.is_second_look or reading.kind is Kind.TAKEN_BACK:
        return PastEntry(past, reading, is_standing=True)
    entry = judged_entry(past, part, reading)
    if entry.verdict is not None:
        return entry
    of_bore = verdict_then(past, part.ref, reading.place.characteristic, reading.occasion)
    return PastEntry(past, reading, True, entry.limits, of_bore)


def _choice(asked: dict[str, str], zone: str) -> tuple[Choice, str, int]:
    """Read what is asked for; what cannot be read is refused beside its field."""
    refused: dict[str, str] = {}
    days = {name: _day(name, asked.get(name, ""), refused) for name in ("from", "to")}
    overhaul = asked.get("overhaul", "")
    verdict = asked.get("verdict", "")
    if overhaul and not (overhaul.isascii() and overhaul.isdigit() and len(overhaul) < 10):
        refused["overhaul"] = "Choose an overhaul of this machine."
    if verdict not in ("", STRUCK, *(each.value for each in Verdict)):
        refused["verdict"] = "Choose one of the verdicts."
    if refused:
        raise InputRefused(refused)
    since, until = _midnight(days["from"], zone), _midnight(days["to"], zone, days_later=1)
    page = asked.get("page", "")
    number = int(page) if page.isascii() and page.isdigit() and len(page) < 10 else 1
    chosen = asked.get("part", ""), asked.get("person", ""), asked.get("instrument", "")
    return Choice(*chosen, int(overhaul) if overhaul else None, since, until), verdict, max(number, 1)


def _day(name: str, text: str, refused: dict[str, str]) -> date | None:
    """Read a day."""
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        refused[name] = "Write the day as 2026-11-24."
        return None


def _midnight(day: date | None, zone: str, days_later: int = 0) -> datetime | None:
    """The moment at which a day of the site begins, in UTC; days at the ends of the calendar bound nothing."""
    if day is None or not date(1900, 1, 1) <= day <= date(2900, 1, 1):
        return None
    return datetime.combine(day + timedelta(days=days_later), time(), ZoneInfo(zone)).astimezone(UTC)
