"""Tests of the page of a machine's meter: reading it, what is asked, what is struck, and a meter that was changed."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from app.actions.meter import meter_of
from app.store.book import Book
from app.store.chain import list_entries, verify_chain
from app.store.evidence import verify_evidence
from tests.builders import a_machine
from tests.web.forms import form_of, has_form, said_beside, typed_in
from tests.web.visitor import Visitor, a_visitor, an_auditor, words_of

PAGE = "/machines/GA-1/hours"
NOW = datetime.now(UTC)


def days_ago(days: float) -> datetime:
    """A moment so many days ago."""
    return NOW - timedelta(days=days)


def day(days: float) -> str:
    """The day so many days ago, as a form sends it."""
    return days_ago(days).date().isoformat()


def at_the_meter(book: Book) -> Visitor:
    """A fitter at the meter of GA-1, which stood at 2000 h twenty days ago."""
    a_machine(book, at=days_ago(20))
    visitor = a_visitor(book)
    visitor.get(PAGE)
    return visitor


def hours(book: Book) -> list[str]:
    """The hours that count."""
    return [str(each.hours) for each in meter_of(book, "GA-1").readings]


def test_a_reading_of_today_takes_one_figure_and_one_tap(book: Book) -> None:
    visitor = at_the_meter(book)

    page = visitor.follow(visitor.post(PAGE, form_of(visitor.page, PAGE) | {"hours": "2120,5"}))

    words = words_of(page.text)
    assert hours(book) == ["2000", "2120.5"]
    assert "Operating hours recorded." in words
    assert "6.0 h a day" in words
    assert has_form(page.text, PAGE)


def test_a_reading_of_an_earlier_day_says_when_it_was_read_and_when_entered(book: Book) -> None:
    visitor = at_the_meter(book)

    visitor.post(PAGE, {"hours": "2060", "day": day(10), "clock": "07:40"})

    last = meter_of(book, "GA-1").last
    assert last is not None
    assert last.read_at == datetime.fromisoformat(f"{day(10)}T07:40:00+00:00")
    assert last.entered_at is not None
    assert "Entered" in words_of(visitor.get(PAGE).text)


CANNOT_BE = [
    ({"hours": "12 300 000"}, "hours", "not one plain number"),
    ({"hours": "1000001"}, "hours", "More than 1000000 h cannot be."),
    ({"hours": "2100", "day": "yesterday"}, "day", "A day is written 2026-11-24."),
    ({"hours": "2100", "day": "0001-01-01"}, "day", "is no year of this machine"),
    ({"hours": "2100", "day": day(3), "clock": "8 o'clock"}, "clock", "A time is written 07:40."),
    ({"hours": "2100", "day": day(-3)}, "hours", "has not come yet"),
    ({"hours": "2500", "day": day(3)}, "hours", "is more than the clock has run"),
    ({"hours": "1999", "day": day(3)}, "hours", "It cannot run back"),
    ({"hours": "2001", "day": day(20), "clock": ""}, "hours", "Are both right, or was one misread?"),
]


def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_stored(book: Book) -> None:
    visitor = at_the_meter(book)

    for typed, field, said in CANNOT_BE:
        answer = visitor.post(PAGE, typed, 422)

        assert said in said_beside(answer.text, field)
        assert typed_in(answer.text, "hours") == typed["hours"]
        assert hours(book) == ["2000"]


def test_a_misread_reading_is_struck_with_its_reason_and_stays_legible(book: Book) -> None:
    visitor = at_the_meter(book)
    visitor.post(PAGE, {"hours": "2410", "day": day(2)})
    asked = visitor.post(PAGE, {"hours": "2141"}, 422)
    form = form_of(asked.text, PAGE)

    page = visitor.follow(visitor.post(PAGE, form | {"answer": "struck", "why": "figures turned round"}))

    assert hours(book) == ["2000", "2141"]
    assert "2 410 h" in words_of(page.text)
    assert "struck: figures turned round." in words_of(page.text)
    with book.reading() as session:
        assert [entry.what for entry in list_entries(session)[:2]] == ["hours recorded", "hours struck"]
        assert (verify_chain(session), verify_evidence(session)) == (None, [])


def test_an_answer_to_one_question_settles_no_other(book: Book) -> None:
    visitor = at_the_meter(book)
    visitor.post(PAGE, {"hours": "2410", "day": day(2)})
    form = form_of(visitor.post(PAGE, {"hours": "1990"}, 422).text, PAGE)

    asked = visitor.post(PAGE, form | {"answer": "struck"}, 422)
    both = visitor.post(PAGE, form | {"answer": "both"}, 422)

    assert "stood at 2000 h" in said_beside(asked.text, "hours")
    assert "stood at 2410 h" in said_beside(both.text, "hours")
    assert hours(book) == ["2000", "2410"]


def test_two_readings_of_one_day_are_kept_when_both_are_said_to_be_right(book: Book) -> None:
    visitor = at_the_meter(book)
    visitor.post(PAGE, {"hours": "2050", "day": day(3), "clock": "06:00"})
    asked = visitor.post(PAGE, {"hours": "2056", "day": day(3), "clock": "14:00"}, 422)

    visitor.post(PAGE, form_of(asked.text, PAGE) | {"answer": "both"})

    assert hours(book) == ["2000", "2050", "2056"]


def test_a_changed_meter_goes_on_with_the_hours_of_the_machine(book: Book) -> None:
    visitor = at_the_meter(book)
    visitor.post(PAGE, {"hours": "40", "day": day(5)}, 422)

    form = {"answer": "changed", "hours": "40", "day": day(5), "old_last": "2030", "new_first": "1"}
    visitor.post(PAGE, form)
    visitor.post(PAGE, {"hours": "75"})
    page = visitor.get(PAGE)

    assert hours(book) == ["2000", "2069", "2104"]
    assert "New meter." in words_of(page.text)
    assert "On the meter 75 h the meter was changed" in words_of(page.text)
    assert "Last read 75 h" in words_of(visitor.get("/machines/GA-1").text)


CHANGES = [
    ({"old_last": "1990"}, "old_last", "The old meter stood at 2000 h already"),
    ({"new_first": "41"}, "new_first", "The new meter shows 40 h now"),
    ({"old_last": "x"}, "old_last", "not one plain number"),
    ({"old_last": "2900"}, "hours", "is more than the clock has run"),
    ({"day": day(25)}, "hours", "after every reading of the old one"),
]


def test_a_changed_meter_is_questioned_too(book: Book) -> None:
    visitor = at_the_meter(book)

    for typed, field, said in CHANGES:
        answer = visitor.post(PAGE, {"answer": "changed", "hours": "40", "day": day(5)} | typed, 422)

        assert said in said_beside(answer.text, field)
        assert hours(book) == ["2000"]


def test_the_last_reading_can_be_struck_by_hand_but_never_the_only_one(book: Book) -> None:
    visitor = at_the_meter(book)
    only = meter_of(book, "GA-1").readings[0].id
    refused = visitor.post(f"{PAGE}/{only}/strike", {"why": "misread"}, 422)
    visitor.post(PAGE, {"hours": "2100"})
    last = meter_of(book, "GA-1").readings[-1].id

    for _ in range(2):
        visitor.post(f"{PAGE}/{last}/strike", {"why": ""})
    visitor.post(f"{PAGE}/99/strike", {}, 404)

    assert "This is the only reading." in refused.text
    assert hours(book) == ["2000"]
    assert Decimal(2100) in [each.hours for each, struck in meter_of(book, "GA-1").entries if struck == "misread"]


def test_an_auditor_reads_the_meter_and_changes_nothing(book: Book) -> None:
    at_the_meter(book)

    page = an_auditor(book).get(PAGE)

    assert not has_form(page.text, PAGE)
    assert "2 000 h" in words_of(page.text)
