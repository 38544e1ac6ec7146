"""Every reading of a machine, chosen by day, part, verdict, person, instrument and overhaul, as a page and as CSV."""

from typing import Any
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Response

from app.actions.history import PastEntry
from app.actions.machine_readings import ASKED, STRUCK, ChosenReadings, chosen_readings, verdict_word
from app.domain.amended_verdicts import own_words
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.domain.verdicts import Verdict
from app.reports.chosen_readings import chosen_csv
from app.web.downloads import download
from app.web.limit_words import LIMIT_WORDS, bound
from app.web.page import page
from app.web.visit import Visit, VisitNow, readable

router = APIRouter()
CSV = "text/csv; charset=utf-8"
LONGEST = 100
VERDICTS = [("", "any"), *((each.value, each.word) for each in Verdict), (STRUCK, "superseded")]


@router.get("/machines/{tag}/readings")
def show(visit: VisitNow, tag: str) -> Response:
    """Show the readings chosen; a choice that cannot be read comes back beside its field, over all readings."""
    visit.person.must(Right.READ)
    asked, errors = _asked(visit), {}
    try:
        chosen = chosen_readings(visit.book, tag, asked, visit.settings.site_zone)
    except InputRefused as refusal:
        errors = refusal.fields
        chosen = chosen_readings(visit.book, tag, {}, visit.settings.site_zone)
    shown: dict[str, Any] = {"chosen": chosen, "typed": asked, "errors": errors, "options": _options(chosen)}
    shown |= {"query": _query(asked), "characteristic_of": _characteristic}
    return page(visit, "history/readings.html", 422 if errors else 200, **(shown | LIMIT_WORDS))


@router.get("/machines/{tag}/readings.csv")
def send(visit: VisitNow, tag: str) -> Response:
    """Send all readings chosen as a table."""
    visit.person.must(Right.READ)
    chosen = chosen_readings(visit.book, tag, _asked(visit), visit.settings.site_zone, is_whole=True)
    return download(f"readings-{tag}.csv", CSV, [chosen_csv(_row(entry, visit.zone) for entry in chosen.entries)])


def _asked(visit: Visit) -> dict[str, str]:
    """What the address asks for."""
    asked = visit.request.query_params
    return {name: readable(asked.get(name, "")).strip()[:LONGEST] for name in ASKED}


def _query(asked: dict[str, str]) -> str:
    """Write the choice as an address carries it, without its page."""
    return urlencode({name: value for name, value in asked.items() if value and name != "page"})


def _options(chosen: ChosenReadings) -> dict[str, list[tuple[str, str]]]:
    """What there is to choose from."""
    return {
        "part": [("", "any"), *((part.ref, f"{part.item} {part.name}") for part in chosen.parts)],
        "verdict": VERDICTS,
        "person": [("", "anybody"), *((name, name) for name in chosen.people)],
        "instrument": [("", "any"), *((name, name) for name in chosen.instruments)],
        "overhaul": [("", "any"), *((str(number), str(number)) for number in chosen.overhauls)],
    }


def _characteristic(entry: PastEntry) -> Any:
    """The characteristic that an entry is of; none for what is seen."""
    part = entry.past.part(entry.reading.place.part)
    return part.characteristic(entry.reading.place.characteristic) if part else None


def _row(entry: PastEntry, zone: ZoneInfo) -> tuple[object, ...]:
    """One reading as a row of the table."""
    reading, overhaul, place = entry.reading, entry.past.overhaul, entry.reading.place
    part, each = entry.past.part(place.part), _characteristic(entry)
    limits = "; ".join(bound(limit, each) for limit in entry.limits) if each else ""
    times = (reading.measured_at, reading.stored_at)
    amended = [each for each in overhaul.amendments_of(reading.id) if each.is_signed]
    moments = [each.isoformat() for moment in times for each in (moment, moment.astimezone(zone))]
    return (
        overhaul.number, overhaul.hours, *moments,
        part.item if part else "", place.part, part.name if part else "", place.characteristic, place.level, place.axis,
        reading.occasion.value, reading.written, each.unit.value if each else "", reading.instrument,
        reading.measured_by, reading.entered_by, limits, overhaul.sheet.title, verdict_word(entry), reading.reason,
        reading.id, overhaul.origin,
        "; ".join(each.new for each in amended), "; ".join(own_words(overhaul, each) for each in amended[-1:]),
    )  # fmt: skip
