"""The days of what is due are those of the site, on both sides of midnight, wherever the site is."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.actions.due_plan import due_plan
from app.actions.instruments import add_instrument, calibrate, doubts, one_instrument, statuses
from app.actions.meter import HoursAsked, TypedHours, meter_of, read_meter
from app.actions.people import person_named
from app.domain.days import date_words
from app.store.book import Book
from tests.builders import a_machine, a_person, a_reading, an_app, enter
from tests.web.forms import form_of
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

AUCKLAND, LOS_ANGELES = ZoneInfo("Pacific/Auckland"), ZoneInfo("America/Los_Angeles")
BEGAN = datetime(2025, 3, 1, 12, tzinfo=UTC)
# On 31 March 2025 midnight in Auckland is at 11:00 UTC, and on 1 April in Los Angeles at 07:00 UTC.
MIDNIGHTS = [
    (AUCKLAND, datetime(2025, 3, 31, 10, 59, tzinfo=UTC), date(2025, 3, 31)),
    (AUCKLAND, datetime(2025, 3, 31, 11, 1, tzinfo=UTC), date(2025, 4, 1)),
    (LOS_ANGELES, datetime(2025, 4, 1, 6, 59, tzinfo=UTC), date(2025, 3, 31)),
    (LOS_ANGELES, datetime(2025, 4, 1, 7, 1, tzinfo=UTC), date(2025, 4, 1)),
    (UTC, datetime(2025, 3, 31, 23, 59, tzinfo=UTC), date(2025, 3, 31)),
]


M_7 = {
    "name": "M-7",
    "method": "micrometer",
    "measures": "0 to 25 mm",
    "resolution": "0.01",
    "permissible_error": "0.01",
}
DAY = timedelta(days=1)


def calibrated(book: Book, *calibrations: tuple[date, date, str]) -> int:
    """M-7 in the register, calibrated on these days, due on those, with the error that was found."""
    chief, later = person_named(book, "I. Brandreth"), datetime(2026, 1, 1, tzinfo=UTC)
    number = add_instrument(book, chief, M_7, later)
    for on, due, error in calibrations:
        typed = {"on": on.isoformat(), "due": due.isoformat(), "certificate": "K-1", "error_mm": error}
        calibrate(book, chief, number, typed, UTC, later)
    return number


@pytest.mark.parametrize(("zone", "moment", "day"), MIDNIGHTS)
@pytest.mark.parametrize(("late", "status"), [(0, "in date"), (1, "overdue")])
def test_an_instrument_is_worth_what_it_was_on_the_day_of_measuring_at_the_site(
    book: Book, zone: ZoneInfo, moment: datetime, day: date, late: int, status: str
) -> None:
    shop = Workshop(book, site_zone=str(zone)).safe()
    due = day - late * DAY
    calibrated(book, (day - 9 * DAY, due, ""))
    enter(book, shop.id, a_reading("2.pin", "diameter", "21.995", moment, instrument="M-7"))

    said = statuses(book, shop.overhaul, zone)

    assert said == [("M-7", f"{status}, due {date_words(due)}, certificate K-1")]
    assert f"M-7: {status}, due {date_words(due)}" in words_of(shop.auditor.get(shop.url("/record")).text)


@pytest.mark.parametrize(("zone", "moment", "day"), MIDNIGHTS)
@pytest.mark.parametrize(("good", "out", "in_doubt"), [(0, 9, 1), (1, 9, 0), (-9, 0, 1), (-9, -1, 0)])
def test_days_in_doubt_are_those_of_the_site(
    book: Book, zone: ZoneInfo, moment: datetime, day: date, good: int, out: int, in_doubt: int
) -> None:
    shop = Workshop(book, site_zone=str(zone)).safe()
    last = day + 100 * DAY
    number = calibrated(book, (day + good * DAY, last, ""), (day + out * DAY, last, "0.02"))
    enter(book, shop.id, a_reading("2.pin", "diameter", "21.995", moment, instrument="M-7"))

    found = doubts(book, one_instrument(book, number), zone)

    assert [len(doubt.readings) for doubt in found] == [1] * in_doubt


@pytest.mark.parametrize(("zone", "moment", "day"), MIDNIGHTS)
def test_a_due_day_counts_from_the_day_that_the_meter_was_read_on_at_the_site(
    book: Book, zone: ZoneInfo, moment: datetime, day: date
) -> None:
    a_machine(book, "GA-1", "0", moment - timedelta(days=100))
    read_meter(book, a_person(book), "GA-1", TypedHours("1200"), zone, moment)

    plan = due_plan(book, zone, 0)

    dues = {each.task.key: each for visit in plan.visits for each in visit.tasks}
    assert dues["valves"].due.on == day + timedelta(days=316)  # 3,800 h left at 12 h a day
    assert dues["valves"].read_on == day


@pytest.mark.parametrize("zone", [AUCKLAND, LOS_ANGELES])
def test_today_and_overdue_are_told_by_the_day_at_the_site(book: Book, zone: ZoneInfo) -> None:
    now = datetime.now(UTC)
    a_machine(book, "GA-1", "0", now - timedelta(days=100))
    a_person(book)
    read_meter(book, person_named(book, "M. Tarrow"), "GA-1", TypedHours("1200"), zone, now)
    visitor = Visitor(an_app(book, site_zone=str(zone))).sign_in("M. Tarrow")

    words = words_of(visitor.get("/due?window=0").text)
    form = form_of(visitor.get("/machines/GA-1/service/oil-level").text, "/machines/GA-1/service/oil-level")

    shown = datetime.now(zone).date() + timedelta(days=316)
    assert f"{shown:%-d %b %Y} in 316 d GA-1" in words
    assert form["day"] == datetime.now(zone).date().isoformat()


def test_two_readings_of_one_day_are_told_by_the_day_at_the_site(book: Book) -> None:
    a_machine(book, "GA-1", "100", BEGAN)
    fitter = a_person(book)
    morning, evening = datetime(2025, 3, 30, 20, tzinfo=UTC), datetime(2025, 3, 31, 5, tzinfo=UTC)

    # In Auckland 9 in the morning and 6 in the evening of 31 March; in UTC two days.
    read_meter(book, fitter, "GA-1", TypedHours("200"), AUCKLAND, morning)
    with pytest.raises(HoursAsked) as asked:
        read_meter(book, fitter, "GA-1", TypedHours("205"), AUCKLAND, evening)
    read_meter(book, fitter, "GA-1", TypedHours("210"), AUCKLAND, datetime(2025, 3, 31, 21, tzinfo=UTC))

    assert "A reading of 31 Mar 2025 is in the book: 200 h" in str(asked.value.question.words)
    assert [str(each.hours) for each in meter_of(book, "GA-1").readings] == ["100", "200", "210"]
