"""Tests of the register of instruments: at entry, on the record, overdue, and found out of tolerance."""

from datetime import UTC, date, timedelta

import pytest

from app.actions.instruments import add_instrument, calibrate, doubts, one_instrument
from app.actions.people import person_named
from app.domain.days import date_words
from app.domain.overhaul import Meaning
from app.domain.readings import Occasion
from app.store.book import Book
from app.store.evidence import verify_evidence
from tests.builders import PASSWORD, a_reading, enter, sign_all
from tests.web.forms import form_of, said_beside
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

PIN = {"name": "M-7", "method": "micrometer", "measures": "0 to 25 mm", "resolution": "0.01 mm"}
PIN |= {"permissible_error": "0.004 mm"}
TODAY = OPENED_AT.date()


def day(back: int) -> str:
    """A day so many days before the opening."""
    return (TODAY - timedelta(days=back)).isoformat()


def written(back: int) -> str:
    """The same as pages write it."""
    return date_words(TODAY - timedelta(days=back))


def registered(shop: Workshop, *calibrations: tuple[int, int, str]) -> int:
    """M-7 in the register, calibrated so many days before the opening, due so many days before it, with an error."""
    chief = person_named(shop.book, "I. Brandreth")
    number = add_instrument(shop.book, chief, PIN, OPENED_AT)
    for on, due, error in calibrations:
        typed = {"on": day(on), "due": day(due), "certificate": f"K-{on}", "error_mm": error}
        calibrate(shop.book, chief, number, typed, UTC, OPENED_AT)
    return number


def test_chief_engineer_adds_an_instrument_and_its_calibration_and_everybody_reads_it(book: Book) -> None:
    shop = Workshop(book)
    shop.chief.get("/instruments")

    page = shop.chief.follow(shop.chief.post("/instruments", PIN))
    calibration = {"on": day(10), "due": day(-300), "certificate": "K-55"}
    entered = shop.chief.follow(shop.chief.post("/instruments/1", calibration))
    register = shop.auditor.get("/instruments")

    assert "Never calibrated." in page.text
    assert "within tolerance" in entered.text
    assert f"in date, due {written(-300)}, certificate K-55" in words_of(register.text)
    assert "Add an instrument" not in register.text
    with book.reading() as session:
        assert verify_evidence(session) == []


def test_what_is_wrong_is_said_beside_its_field_and_the_rest_stays_typed(book: Book) -> None:
    shop = Workshop(book)
    registered(shop)
    shop.chief.get("/instruments")

    again = shop.chief.post("/instruments", PIN | {"method": "eye", "measures": ""}, 422)
    shop.chief.get("/instruments/1")
    wrong = {"on": day(-5), "due": "soon", "certificate": "", "error_mm": "much"}
    calibration = shop.chief.post("/instruments/1", wrong, 422)

    assert [name for name in PIN if f'id="f-{name}-error"' in again.text] == ["name", "method", "measures"]
    assert 'value="0.01 mm"' in again.text
    assert all(f'id="f-{name}-error"' in calibration.text for name in wrong)


def test_entry_offers_the_names_of_the_register_with_what_each_is_worth_today(book: Book) -> None:
    shop = Workshop(book).safe()
    registered(shop, (400, 35, ""))

    page = shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text

    assert 'list="instruments"' in page
    assert f'<option value="M-7">overdue, due {written(35)}, certificate K-400</option>' in page


@pytest.mark.parametrize(("rule", "status", "kept"), [("mark", 303, 1), ("refuse", 422, 0)])
def test_overdue_instrument_is_marked_or_refused_as_the_site_has_set(
    book: Book, rule: str, status: int, kept: int
) -> None:
    shop = Workshop(book, overdue_instruments=rule).safe()
    registered(shop, (400, 35, ""))
    page = shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text
    form = form_of(page, shop.url("/readings")) | {"value": "21.995"}

    answer = shop.fitter.post(shop.url("/readings"), form | {"instrument": "M-7"}, status)
    unknown = form | {"id": "another-tablet-entry", "instrument": "in no register"}
    shop.fitter.post(shop.url("/readings"), unknown)

    assert len(shop.readings) == kept + 1
    assert ("Take another instrument." in answer.text) is (status == 422)


def test_record_says_what_each_instrument_was_worth_on_the_day(book: Book) -> None:
    shop = Workshop(book).safe()
    registered(shop, (400, 35, ""))
    enter(book, shop.id, a_reading("2.pin", "diameter", "21.995", OPENED_AT, instrument="M-7"))
    enter(book, shop.id, a_reading("2.ring-1", "closed-gap", "0.30", OPENED_AT, level="worst place", instrument="F-03"))

    record = words_of(shop.auditor.get(shop.url("/record")).text)

    assert f"M-7: overdue, due {written(35)}, certificate K-400" in record
    assert "F-03: not in the register" in record


def test_record_says_it_of_instruments_of_second_looks_and_of_signed_amendments_too(book: Book) -> None:
    look = {"is_second_look": True, "measured_by": "R. Osk", "entered_by": "R. Osk", "instrument": "M-7"}
    shop = Workshop(book).all_gauged()
    enter(book, shop.id, a_reading("2.pin", "diameter", "21.991", OPENED_AT, **look))
    sign_all(book, shop.id, OPENED_AT, (Meaning.GAUGED, Meaning.DECIDED))
    (seen,) = [
        each for each in shop.readings if each.place.part == "2.bush" and each.place.characteristic == "diameter"
    ]
    amended = {"reading": seen.id, "value": "22.02", "instrument": "M-8", "reason": "another gauge was taken"}
    shop.fitter.get(shop.url("/amendments"))
    shop.fitter.post(shop.url("/amendments"), amended)
    before = words_of(shop.auditor.get(shop.url("/record")).text)
    shop.chief.get(shop.url("/amendments"))
    shop.chief.post(shop.url("/amendments/1"), {"outcome": "signed", "password": PASSWORD})

    after = words_of(shop.auditor.get(shop.url("/record")).text)

    assert "M-7: not in the register" in before
    assert "M-8: not in the register" not in before
    assert "M-8: not in the register" in after


def test_instrument_found_out_lists_its_readings_since_the_last_good_day_and_verdicts_that_would_change(
    book: Book,
) -> None:
    ring = {"level": "worst place", "instrument": "M-7"}
    shop = Workshop(book).safe()
    enter(
        book, shop.id,
        a_reading("2.ring-1", "closed-gap", "0.64", OPENED_AT, **ring),
        a_reading("2.ring-2", "closed-gap", "0.30", OPENED_AT, **ring),
        a_reading("2.ring-3", "closed-gap", "0.64", OPENED_AT, **ring | {"instrument": "F-03"}),
    )  # fmt: skip
    number = registered(shop, (200, -100, ""), (0, -300, "-0.02"))

    page = shop.auditor.get(f"/instruments/{number}")
    (doubt,) = doubts(book, one_instrument(book, number), UTC)

    assert [reading.place.part for reading in doubt.readings] == ["2.ring-1", "2.ring-2"]
    assert ("2-03", "Ring 1") in [change[:2] for change in doubt.changes]
    assert all(change[3] == "RENEW" for change in doubt.changes)
    assert "2 readings" in words_of(page.text)
    assert "2-03 Ring 1 closed gap, worst place, as found 0.64 mm" in words_of(page.text)
    assert 'href="/machines/GA-1/history?part=2.ring-1&amp;characteristic=closed-gap#r-' in page.text
    assert "out of tolerance: -0.02 mm" in page.text


def test_second_look_and_a_reading_as_fitted_with_it_are_in_doubt_with_the_verdicts_they_would_change(
    book: Book,
) -> None:
    shop = Workshop(book).with_new_rings()
    gap = {"level": "worst place", "instrument": "M-7"}
    fitted = gap | {"occasion": Occasion.AS_FITTED}
    enter(book, shop.id, a_reading("2.ring-1", "closed-gap", "0.28/0.35", OPENED_AT, **fitted))
    look = gap | {"is_second_look": True, "measured_by": "R. Osk", "entered_by": "R. Osk"}
    enter(book, shop.id, a_reading("2.ring-2", "closed-gap", "0.31/0.35", OPENED_AT, **look))
    number = registered(shop, (200, -100, ""), (0, -300, "-0.50"))

    (doubt,) = doubts(book, one_instrument(book, number), UTC)

    found = [(each.place.part, each.occasion, each.is_second_look) for each in doubt.readings]
    assert found == [("2.ring-1", Occasion.AS_FITTED, False), ("2.ring-2", Occasion.AS_FOUND, True)]
    assert ("2-03", "Ring 1, as fitted", "REUSE") in [change[:3] for change in doubt.changes]


def test_readings_before_the_last_good_calibration_are_in_no_doubt(book: Book) -> None:
    shop = Workshop(book).safe()
    before = OPENED_AT - timedelta(days=250)
    enter(book, shop.id, a_reading("2.pin", "diameter", "21.995", before, instrument="M-7"))
    number = registered(shop, (200, -100, ""), (0, -300, "0.02"))

    page = shop.auditor.get(f"/instruments/{number}")

    assert doubts(book, one_instrument(book, number), UTC) == []
    assert "No reading names it in this time." in page.text


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"error_mm": "0.00"}, "error_mm", "within tolerance"),
        ({"error_mm": "--0.02"}, "error_mm", "not one plain number"),
        ({"error_mm": "99999999999999"}, "error_mm", "not one plain number"),
        ({"due": day(-20000)}, "due", "Look at the year"),
        ({"on": "", "due": day(-300)}, "on", "Give the day"),
        ({"due": "9999-99-99"}, "due", "Give the day"),
    ],
)
def test_calibration_that_cannot_be_is_refused_beside_its_field(
    book: Book, typed: dict[str, str], field: str, words: str
) -> None:
    shop = Workshop(book)
    number = registered(shop)
    shop.chief.get("/instruments/1")
    good = {"on": day(10), "due": day(-300), "certificate": "K-55", "error_mm": ""}

    page = shop.chief.post("/instruments/1", good | typed, 422).text

    assert words in said_beside(page, field)
    assert all(not said_beside(page, name) for name in good if name != field)
    assert one_instrument(book, number).calibrations == ()


def test_calibration_sent_twice_is_entered_once_and_another_of_that_day_beside_it(book: Book) -> None:
    shop = Workshop(book)
    number = registered(shop)
    shop.chief.get("/instruments/1")
    typed = {"on": day(10), "due": day(-300), "certificate": "K-55", "error_mm": "-0,02"}

    for sent in (typed, typed, typed | {"error_mm": "−0.03"}):
        shop.chief.post("/instruments/1", sent)

    assert [str(each.error_mm) for each in one_instrument(book, number).calibrations] == ["-0.02", "-0.03"]


def test_first_calibration_that_finds_it_out_puts_every_reading_in_doubt(book: Book) -> None:
    shop = Workshop(book).safe()
    enter(book, shop.id, a_reading("2.pin", "diameter", "21.995", OPENED_AT, instrument="M-7"))
    number = registered(shop, (0, -300, "0.02"))

    assert one_instrument(book, number).doubtful
    assert [len(doubt.readings) for doubt in doubts(book, one_instrument(book, number), UTC)] == [1]
    assert date.min < TODAY


def test_error_with_a_unit_beside_it_is_refused_beside_its_field(book: Book) -> None:
    shop = Workshop(book)
    registered(shop)
    shop.chief.get("/instruments/1")

    refused = shop.chief.post(
        "/instruments/1", {"on": day(9), "due": day(0), "certificate": "K", "error_mm": "1,30 mm"}, 422
    )

    assert "“mm” does not belong here" in said_beside(refused.text, "error_mm")
