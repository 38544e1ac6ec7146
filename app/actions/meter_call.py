"""A meter reading sent by a plant system: read strictly, kept once, and questioned as a person's would be."""

import json
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from decimal import Decimal
from typing import Any

from app.actions.meter import HoursAsked, hours_typed, keep_hours
from app.domain.errors import InputRefused, NotAllowed
from app.domain.meter import is_sent_again, question_about, reading_of
from app.domain.overhaul import MeterReading
from app.store.book import Book
from app.store.machines import get_machine, list_meter_readings
from app.store.tokens import Token

SOURCE = "call"
KNOWN = {"hours", "read_at"}


@dataclass(frozen=True)
class Called:
    """What became of a call: the machine's hours, and whether they were new."""

    hours: Decimal
    is_new: bool


def call_hours(book: Book, token: Token, tag: str, body: bytes, zone: tzinfo, now: datetime) -> Called:
    """Keep the reading of a call once; HoursAsked where it cannot be right, and then nothing is stored."""
    if token.machine not in ("", tag):
        raise NotAllowed(f"This token is for {token.machine} alone.")
    shown, read_at = _content(body, now)
    with book.writing(token.name, now) as writing:
        machine = get_machine(writing.session, tag)
        meter = list_meter_readings(writing.session, machine.id)
        reading = reading_of(meter, shown, read_at, token.name)
        if is_sent_again(meter, reading, zone):
            return Called(reading.hours, False)
        question = question_about(meter, reading, now.astimezone(zone))
        if question:
            raise HoursAsked(question)
        keep_hours(writing, machine, MeterReading(reading.hours, read_at, token.name, reading.shown, source=SOURCE))
    return Called(reading.hours, True)


def _content(body: bytes, now: datetime) -> tuple[Decimal, datetime]:
    """Read the JSON of a call: hours as a number or text, and the moment with its zone, which is now when left out."""
    refused: dict[str, str] = {}
    sent = _object(body)
    refused |= {name[:40]: "There is no such key; known are hours and read_at." for name in sent.keys() - KNOWN}
    hours = hours_typed(_digits(sent.get("hours")), refused)
    read_at = _moment(sent["read_at"], refused) if "read_at" in sent else now
    if refused:
        raise InputRefused(refused)
    return hours, read_at or now


def _object(body: bytes) -> dict[str, Any]:
    """Read one JSON object; its numbers keep their digits."""
    try:
        sent = json.loads(body, parse_float=str, parse_int=str)
    except (ValueError, RecursionError):
        sent = None
    if not isinstance(sent, dict):
        raise InputRefused({"body": 'A JSON object is expected, such as {"hours": 12660.5}.'})
    return sent


def _digits(value: object) -> str:
    """Give the digits of a number or text; anything else is no reading."""
    return value if isinstance(value, str) else ""


def _moment(value: object, refused: dict[str, str]) -> datetime | None:
    """Read a moment with its time zone."""
    try:
        moment = datetime.fromisoformat(value) if isinstance(value, str) else None
        if moment is not None and moment.utcoffset() is not None:
            return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        pass
    refused["read_at"] = "A moment with its time zone is expected, such as 2026-11-24T06:00:00Z."
    return None
