"""Tests of the page of what is due, and of the calendar that says the same."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from icalendar import Calendar

from app.actions.foreseen import _worn_first
from app.actions.meter import TypedHours, meter_of, read_meter
from app.actions.people import person_named, set_active
from app.domain.overhaul import Concession
from app.domain.people import Role
from app.domain.readings import Occasion
from app.store.book import Book
from tests.builders import a_machine, a_person, a_reading, a_sheet, an_overhaul, enter, good_readings, sign_all
from tests.web.forms import has_form, words_in
from tests.web.lives import THIRD, a_machine_with_a_past
from tests.web.visitor import Visitor, a_visitor, an_auditor, words_of
from tests.web.workshop import Workshop

NOW = datetime.now(UTC)
BEGAN = NOW - timedelta(days=100)


def a_running_machine(book: Book, hours: str = "1200") -> Visitor:
    """GA-1 in the book at 0 h a hundred days ago, and at 1,200 h now: 12.0 h a day; a fitter looks."""
    a_machine(book, "GA-1", "0", BEGAN)
    visitor = a_visitor(book)
    read_meter(book, person_named(book, "M. Tarrow"), "GA-1", TypedHours(hours), UTC, NOW)
    return visitor


def in_days(days: int) -> str:
    """A day ahead, as the page writes it."""
    return f"{NOW + timedelta(days=days):%-d %b %Y}"


def test_what_is_due_stands_soonest_first_with_its_day_and_reason(book: Book) -> None:
    visitor = a_running_machine(book)

    words = words_of(visitor.get("/due?window=0").text)

    # Of 5,000 h at 12 h a day 316 days are left to the valves; the oil was due at its first check, 1,100 h ago.
    assert f"{in_days(316)} in 316 d GA-1 opened once Valves opens the machine" in words
    assert "by hours: 3800 h left at 12.0 h a day" in words
    assert "first check 100 h after start-up, by hours: 1100 h over" in words
    assert words.index("Joints, leaks and hoses") < words.index("Oil change with filter") < words.index("Valves opens")
    assert "overdue by" in words


def test_tasks_within_the_window_open_the_machine_once_and_never_after_a_due_day(book: Book) -> None:
    visitor = a_running_machine(book, "2400")
    at, machine = NOW - timedelta(days=75), meter_of(book, "GA-1").machine
    sign_all(book, an_overhaul(book, machine, "600", at, a_sheet(book), has_rings=False), at)

    # At 24 h a day the rings have 2,600 h left or 108 days, the valves done at 600 h have 3,200 h or 133 days.
    apart, together, strange = (words_of(visitor.get(f"/due?window={days}").text) for days in ("0", "30", "1000000"))

    assert "2 with the machine opened" in apart
    assert "1 with the machine opened" in together
    rings = f"{in_days(108)} in 108 d GA-1 opened once Rings, pistons and cylinders opens the machine {in_days(108)}"
    assert rings in together
    assert f"Valves opens the machine {in_days(133)} , by hours: 3200 h left at 24.0 h a day" in together
    assert "1 with the machine opened" in strange


def test_an_overhaul_that_covers_a_task_begins_its_interval_again(book: Book) -> None:
    visitor = a_running_machine(book)
    overhaul = an_overhaul(book, meter_of(book, "GA-1").machine, "1200", NOW, a_sheet(book), has_rings=False)
    before = words_of(visitor.get("/machines/GA-1/service").text)
    sign_all(book, overhaul, NOW)

    after = words_of(visitor.get("/machines/GA-1/service").text)

    assert "Valves by an overhaul start-up" in before
    assert "Valves by an overhaul overhaul 1" in after
    assert "Rings, pistons and cylinders by an overhaul start-up" in after
    assert "first check 100 h after overhaul 1, by hours: 100 h left at 12.0 h a day" in after


def test_a_calendar_is_read_by_whoever_holds_its_address_and_by_nobody_else(book: Book) -> None:
    visitor = a_running_machine(book)
    visitor.get("/due")
    first = words_in(visitor.post("/due/calendar", status=200).text, "address")
    second = words_in(visitor.post("/due/calendar", status=200).text, "address")
    bare = Visitor(visitor.client.app).client  # type: ignore[arg-type]

    answer = bare.get(second)

    opening = next(each for each in Calendar.from_ical(answer.text).walk("VEVENT") if "Valves" in each["SUMMARY"])
    assert answer.headers["content-type"].startswith("text/calendar")
    assert opening["SUMMARY"].startswith("GA-1: open, Valves")
    assert opening["DTSTART"].dt == (NOW + timedelta(days=316)).date()
    assert "by hours: 3800 h left at 12.0 h a day" in opening["DESCRIPTION"]
    assert [bare.get(url).status_code for url in (first, "/due/calendar/guessed.ics")] == [404, 404]
    chief = a_person(book, "I. Brandreth", Role.CHIEF)
    set_active(book, chief, person_named(book, "M. Tarrow").id, False, NOW)
    assert bare.get(second).status_code == 404


def test_a_book_without_tasks_says_where_they_come_from(book: Book) -> None:
    page = an_auditor(book).get("/due").text

    assert "Tasks stand in a machine's limit sheet" in words_of(page)
    assert has_form(page, "/due/calendar")


def test_a_concession_comes_back_as_due_before_its_end_on_the_page_and_in_the_calendar(book: Book) -> None:
    a_machine_with_a_past(book, Concession("R. Osk", Decimal(7000), date(2099, 1, 31)))
    visitor = a_visitor(book)

    words = words_of(visitor.get("/due?window=0").text)
    made = visitor.post("/due/calendar", status=200).text
    calendar = visitor.get(words_in(made, "address")).text

    assert "Concession ends: 2-08 Piston pin opens the machine" in words
    assert "it ends at 7000 h, by hours:" in words
    events = [str(event["summary"]) for event in Calendar.from_ical(calendar).walk("VEVENT")]
    assert [event for event in events if "Concession ends: 2-08 Piston pin" in event] != []


def test_a_concession_that_a_later_overhaul_has_decided_anew_is_not_due(book: Book) -> None:
    past = a_machine_with_a_past(book)
    sign_all(book, past.third, THIRD)

    assert "Concession ends" not in words_of(a_visitor(book).get("/due?window=0").text)


def a_machine_that_wears(book: Book, *gaps: str) -> Visitor:
    """GA-1 found with these gaps at 2,500 h and 5,000 h, at 9,500 h now, 12 h a day of late; a fitter looks."""
    sheet, machine = a_sheet(book), a_machine(book, "GA-1", "0", NOW - timedelta(days=2000))
    for hours, days, gap in zip(("2500", "5000"), (1500, 1000), gaps, strict=True):
        at = NOW - timedelta(days=days)
        number = an_overhaul(book, machine, hours, at, sheet)
        enter(book, number, *good_readings(sheet.parts, Occasion.AS_FOUND, at))
        enter(book, number, a_reading("2.ring-1", "closed-gap", gap, at, level="worst place"))
        sign_all(book, number, at)
    visitor = a_visitor(book)
    for hours, days in (("8300", 100), ("9500", 0)):
        when = (NOW - timedelta(days=days)).date().isoformat()
        read_meter(book, person_named(book, "M. Tarrow"), "GA-1", TypedHours(hours, when, "00:00"), UTC, NOW)
    return visitor


def test_a_part_that_wears_out_before_its_opening_is_a_line_with_its_reason_and_in_the_calendar(book: Book) -> None:
    # The gap grows by 0.056 mm in 1,000 h and comes to 0.65 mm at 8,750 h; the rings are opened at 10,000 h.
    visitor = a_machine_that_wears(book, "0.30", "0.44")

    words = words_of(visitor.get("/due?window=0").text)
    made = visitor.post("/due/calendar", status=200).text
    calendar = visitor.get(words_in(made, "address")).text

    assert "Wear limit: Stage 2, ring set opens the machine" in words
    assert "by wear: closed gap, worst place at its limit of 0.65 mm at 8750 h, by hours: 750 h over" in words
    assert words.index("Wear limit: Stage 2") < words.index("Rings, pistons and cylinders opens")
    assert "Wear limit: Stage 2\\, ring set" in calendar.replace("\r\n ", "")


def test_a_part_that_lasts_until_its_opening_is_no_line(book: Book) -> None:
    visitor = a_machine_that_wears(book, "0.30", "0.33")

    assert "Wear limit" not in words_of(visitor.get("/due").text)


def test_while_a_machine_is_open_its_overhaul_tells_what_is_worn(book: Book) -> None:
    visitor = a_machine_that_wears(book, "0.30", "0.44")
    before = words_of(visitor.get("/due").text)

    an_overhaul(book, meter_of(book, "GA-1").machine, "9500", NOW, a_sheet(book))

    assert "Wear limit" in before
    assert "Wear limit" not in words_of(visitor.get("/due").text)


def test_what_wears_is_worked_out_once_and_anew_when_an_overhaul_closes(book: Book) -> None:
    visitor = a_machine_that_wears(book, "0.30", "0.44")
    visitor.get("/due")
    worked_out = _worn_first.cache_info().misses
    visitor.get("/due")
    again = _worn_first.cache_info().misses
    number = an_overhaul(book, meter_of(book, "GA-1").machine, "9500", NOW, a_sheet(book))
    enter(book, number, *good_readings(a_sheet(book).parts, Occasion.AS_FOUND, NOW))
    sign_all(book, number, NOW)

    words = words_of(visitor.get("/due").text)

    assert again == worked_out
    assert "Wear limit: Stage 2, ring set" not in words


def test_of_very_many_visits_the_first_are_shown_and_the_rest_on_demand(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.web.due.MOST_SHOWN", 2)
    shop = Workshop(book)

    few, whole = (shop.fitter.get(path).text for path in ("/due?window=0", "/due?window=0&visits=all"))

    count = whole.count('class="visit"')
    assert few.count('class="visit"') == 2 < count
    assert f'<a href="/due?window=0&amp;visits=all">Show all {count} visits</a>' in few
    assert "Show all" not in whole


def test_wear_that_there_was_no_time_to_look_at_is_said(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.actions.due_plan.LONGEST_LOOK_S", 0.0)

    said = words_of(Workshop(book).fitter.get("/due").text)

    assert "The wear of 1 machine is not looked ahead at yet" in said
