"""The plan of what is due as an iCalendar file (RFC 5545), one event of a whole day for each visit to a machine."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

MOST_OCTETS = 75  # of a line, its end not counted (RFC 5545, 3.1)
ESCAPES = {"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"}


@dataclass(frozen=True)
class CalendarEvent:
    """Something on one day; the same `uid` is the same event, whatever day it moves to."""

    uid: str
    on: date
    summary: str
    description: str


def write_calendar(name: str, events: Iterable[CalendarEvent], now: datetime) -> str:
    """Write a calendar file."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Wearbook//What is due//EN", "CALSCALE:GREGORIAN"]
    lines += ["METHOD:PUBLISH", f"X-WR-CALNAME:{escaped(name)}"]
    for event in events:
        lines += _event(event, now)
    return "".join(f"{folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def _event(event: CalendarEvent, now: datetime) -> list[str]:
    """Write one event; it ends on the day after, which is not part of it."""
    return [
        "BEGIN:VEVENT",
        f"UID:{escaped(event.uid)}",
        f"DTSTAMP:{now.astimezone(UTC):%Y%m%dT%H%M%SZ}",
        f"DTSTART;VALUE=DATE:{event.on:%Y%m%d}",
        f"DTEND;VALUE=DATE:{event.on + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{escaped(event.summary)}",
        f"DESCRIPTION:{escaped(event.description)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def escaped(text: str) -> str:
    r"""Escape what has a meaning of its own in a text.

    >>> escaped("valves, rings; then prove")
    'valves\\, rings\\; then prove'
    """
    printed = "".join(sign for sign in text.replace("\r\n", "\n") if sign == "\n" or sign.isprintable())
    return "".join(ESCAPES.get(sign, sign) for sign in printed)


def folded(line: str) -> str:
    """Fold a line so that no piece is longer than 75 octets, and none breaks within a letter."""
    pieces, piece, octets = [], "", 0
    for sign in line:
        size = len(sign.encode())
        if octets + size > MOST_OCTETS:
            pieces.append(piece)
            piece, octets = " ", 1
        piece, octets = piece + sign, octets + size
    return "\r\n".join([*pieces, piece])
