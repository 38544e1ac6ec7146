"""Tests of routine service: the generic form, what it refuses, what it keeps, and when it is due next."""

from datetime import UTC, datetime, timedelta

from app.actions.meter import meter_of
from app.actions.services import machine_services
from app.store.book import Book
from app.store.chain import list_entries, verify_chain
from app.store.evidence import verify_evidence
from tests.builders import a_machine
from tests.web.forms import form_of, said_beside, ticked, typed_in
from tests.web.visitor import Visitor, a_visitor, an_auditor, words_of

NOW = datetime.now(UTC)
LIST, OIL = "/machines/GA-1/service", "/machines/GA-1/service/oil-change"
DONE = {
    "item-grade": "QM-D 100", "item-filled": "6,5", "item-filter": "renewed", "item-drained": "clear",
    "item-pressure": "2.4", "hours": "2300",
}  # fmt: skip


def at_the_oil(book: Book) -> Visitor:
    """A fitter at the form of the oil change of GA-1, which stood at 2000 h sixty days ago."""
    a_machine(book, at=NOW - timedelta(days=60))
    visitor = a_visitor(book)
    visitor.get(OIL)
    return visitor


def test_a_service_is_recorded_once_with_its_hours_and_sets_its_next_due(book: Book) -> None:
    visitor = at_the_oil(book)
    form = form_of(visitor.page, OIL) | DONE

    for _ in range(2):
        page = visitor.follow(visitor.post(OIL, form))

    words = words_of(page.text)
    (service,) = machine_services(book, "GA-1", UTC).services
    assert (service.person, str(service.hours), service.is_in_order) == ("M. Tarrow", "2300", True)
    assert [str(each.hours) for each in meter_of(book, "GA-1").readings] == ["2000", "2300"]
    assert "Recorded. Its next due is worked out anew." in words
    assert "by hours: 1000 h left at 5.0 h a day" in words
    assert "Oil filled 6,5 l" in words
    with book.reading() as session:
        assert list_entries(session)[0].what == "service recorded"
        assert (verify_chain(session), verify_evidence(session)) == (None, [])


def test_what_is_missing_or_wrong_is_said_beside_its_field_with_all_that_was_typed(book: Book) -> None:
    visitor = at_the_oil(book)
    form = form_of(visitor.page, OIL) | DONE | {"item-filter": "left in", "item-pressure": "1.2", "hours": "1990"}
    del form["item-drained"]

    page = visitor.post(OIL, form, 422).text

    assert "It cannot run back" in said_beside(page, "hours")
    assert "choose what is so" in said_beside(page, "item-drained")
    assert "Say what was found" in said_beside(page, "note")
    assert "was it put right?" in said_beside(page, "state")
    assert typed_in(page, "item-pressure") == "1.2"
    assert ticked(page, "item-filter") == ["left in"]
    assert machine_services(book, "GA-1", UTC).services == ()
    assert len(meter_of(book, "GA-1").readings) == 1


def test_what_was_not_put_right_stays_due_and_another_grade_stands_with_its_reason(book: Book) -> None:
    visitor = at_the_oil(book)
    odd = {"item-grade": "another", "item-grade-other": "QM-X 68", "item-filter": "left in"}
    form = form_of(visitor.page, OIL) | DONE | odd | {"note": "no filter in store", "state": "not yet"}

    page = visitor.follow(visitor.post(OIL, form))

    words = words_of(page.text)
    assert "and not put right" in words
    assert "Oil grade: QM-X 68 is not on the sheet" in words
    assert "Oil filter: left in" in words
    assert "no filter in store" in words


def test_the_form_carries_the_cautions_of_its_task_and_defers_to_maker_site_and_law(book: Book) -> None:
    words = words_of(at_the_oil(book).page)

    assert "Stop, isolate, lock and tag the supply" in words
    assert "No petrol, paraffin or other light oil on the air side" in words
    assert "The maker's instructions, the site's permits and local law come first." in words
    assert "1.8 to 3.5 bar" in words


def test_a_day_of_the_past_is_kept_between_its_neighbours(book: Book) -> None:
    visitor = at_the_oil(book)
    day = (NOW - timedelta(days=20)).date().isoformat()

    visitor.post(OIL, form_of(visitor.page, OIL) | DONE | {"day": day, "hours": "2200"})
    visitor.get(OIL)
    late = visitor.post(OIL, form_of(visitor.page, OIL) | DONE | {"hours": "2100"}, 422)

    assert machine_services(book, "GA-1", UTC).services[0].at.date().isoformat() == day
    assert "If the meter was changed" in said_beside(late.text, "hours")
    assert "Last time" in words_of(late.text)


def test_a_task_that_opens_the_machine_or_is_unknown_has_no_form(book: Book) -> None:
    visitor = at_the_oil(book)

    visitor.get(f"{LIST}/valves", 404)
    visitor.post(f"{LIST}/nothing", {"request_id": "a-long-enough-one"}, 404)
    visitor.post(OIL, DONE | {"request_id": "short"}, 404)


def test_an_auditor_reads_the_services_and_records_none(book: Book) -> None:
    at_the_oil(book)
    auditor = an_auditor(book)

    page = auditor.get(LIST)
    auditor.get(OIL, 403)

    assert OIL not in page.text
    assert "Oil change with filter" in page.text
