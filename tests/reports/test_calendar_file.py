"""Tests of the calendar file, read back by a reader of another make."""

from datetime import UTC, date, datetime

from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from app.reports.calendar_file import MOST_OCTETS, CalendarEvent, folded, write_calendar

NOW = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)
LONG = "Öl; Ventile, Ringe \\ Kolben\nzweite Zeile: " + "Schraube für Schraube, " * 12
PRINTED = st.text(st.characters(exclude_categories=["Cc", "Cs", "Cn", "Co", "Cf", "Zl", "Zp", "Zs"]) | st.just(" "))


def test_an_event_is_read_back_as_it_was_written() -> None:
    event = CalendarEvent("GA-1.valves@wearbook", date(2025, 4, 28), "GA-1: open, Valves", LONG)

    text = write_calendar("What is due", [event], NOW)

    (read,) = Calendar.from_ical(text).walk("VEVENT")
    assert (read["UID"], read["SUMMARY"], read["DESCRIPTION"]) == (event.uid, event.summary, LONG)
    assert (read["DTSTART"].dt, read["DTEND"].dt) == (date(2025, 4, 28), date(2025, 4, 29))
    assert read["DTSTAMP"].dt == NOW
    assert Calendar.from_ical(text)["X-WR-CALNAME"] == "What is due"


def test_a_calendar_without_events_is_a_calendar() -> None:
    read = Calendar.from_ical(write_calendar("Due", [], NOW))

    assert (read["VERSION"], read["METHOD"], read.walk("VEVENT")) == ("2.0", "PUBLISH", [])


@given(PRINTED)
def test_no_text_breaks_a_line_a_letter_or_an_event(text: str) -> None:
    written = write_calendar("Due", [CalendarEvent("u", date(2025, 4, 28), text, text)], NOW)

    lines = written.split("\r\n")
    (read,) = Calendar.from_ical(written).walk("VEVENT")
    assert max(len(line.encode()) for line in lines) <= MOST_OCTETS
    assert "\n" not in written.replace("\r\n", "")
    assert str(read.get("DESCRIPTION", "")) == text


def test_a_line_is_folded_only_where_it_is_too_long() -> None:
    assert folded("a" * 75) == "a" * 75
    assert folded("a" * 76) == "a" * 75 + "\r\n a"
    assert folded("ä" * 38) == "ä" * 37 + "\r\n ä"
