"""Tests of a machine's own page: its meter, what is next, its concessions, trends and records."""

from datetime import date
from decimal import Decimal

from app.actions.machines import machine_state
from app.actions.past_overhauls import past_overhauls
from app.domain.overhaul import Concession, Decision, Meaning, MeterReading
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.machines import save_meter_reading
from tests.builders import NOW, a_machine, a_reading, an_overhaul, decide, enter, good_readings, sign_all
from tests.web.forms import has_form
from tests.web.lives import THIRD, a_machine_with_a_past
from tests.web.visitor import a_visitor, an_auditor, words_of


def test_a_fitter_records_hours_and_a_second_tap_records_no_other(book: Book) -> None:
    a_machine(book)
    visitor = a_visitor(book)
    visitor.get("/machines/GA-1")

    for _ in range(2):
        page = visitor.follow(visitor.post("/machines/GA-1/hours", {"hours": "2000"}))

    assert "Operating hours recorded." in page.text
    assert [(reading.hours, reading.person) for reading in machine_state(book, "GA-1").meter] == [
        (Decimal(2000), "I. Brandreth"),
        (Decimal(2000), "M. Tarrow"),
    ]


def test_hours_that_run_back_are_asked_about_with_what_was_typed_still_there(book: Book) -> None:
    a_machine(book)
    visitor = a_visitor(book)
    visitor.get("/machines/GA-1")

    back = visitor.post("/machines/GA-1/hours", {"hours": "1999"}, 422)
    nothing = visitor.post("/machines/GA-1/hours", {"hours": ""}, 422)
    ahead = visitor.post("/machines/GA-1/hours", {"hours": "900000"}, 422)

    assert 'value="1999"' in back.text
    assert "It cannot run back" in back.text
    assert "Nothing is typed." in nothing.text
    assert "more than the clock has run" in ahead.text


def test_an_auditor_sees_a_machine_and_no_form_to_change_it(book: Book) -> None:
    a_machine(book)
    visitor = an_auditor(book)

    page = visitor.get("/machines/GA-1")
    visitor.post("/machines/GA-1/hours", {"hours": "2001"}, 403)

    assert not has_form(page.text, "/machines/GA-1/hours")
    assert "/machines/GA-1/open" not in page.text


def test_a_machine_that_is_not_there_is_not_found(book: Book) -> None:
    visitor = a_visitor(book)

    visitor.get("/machines/XX-9", 404)
    visitor.post("/machines/XX-9/hours", {"hours": "1"}, 404)


def test_a_machine_in_service_leads_on_to_opening_it_and_an_open_one_to_its_overhaul(book: Book) -> None:
    past = a_machine_with_a_past(book)
    visitor = a_visitor(book)

    is_open = visitor.get("/machines/GA-1").text
    sign_all(book, past.third, THIRD)
    in_service = visitor.get("/machines/GA-1").text

    assert f'id="next" href="/overhauls/{past.third}"' in is_open
    assert "/machines/GA-1/open" not in is_open
    assert 'id="next" href="/machines/GA-1/open"' in in_service
    assert "Opened next:" not in words_of(is_open)
    assert "Opened next: 2 Jan 2017, Valves" in words_of(in_service)


def test_records_stand_newest_first_with_verdict_signature_digest_and_corrections(book: Book) -> None:
    past = a_machine_with_a_past(book)

    page = a_visitor(book).get("/machines/GA-1").text

    records = words_of(page[page.index('id="records"') :])
    third, second, first = (records.index(f"Overhaul {number}") for number in (3, 2, 1))
    assert third < second < first
    assert (
        "16 Mar 2021, at: make safe 6 150 h REUSE 10 of 10 not signed yet 1 entry superseded" in records[third:second]
    )
    assert "4 080 h RENEW 3 of 10 I. Brandreth returned to service; digest begins" in records[second:first]
    assert f"/overhauls/{past.first}/record" in page
    assert f"/overhauls/{past.second}/record" in page


def test_a_new_correction_of_an_open_overhaul_shows_at_once(book: Book) -> None:
    past = a_machine_with_a_past(book)
    visitor = a_visitor(book)
    visitor.get("/machines/GA-1")

    enter(book, past.third, a_reading("2.ring-1", "closed-gap", "0.70/0.75", THIRD, level="worst place"))

    words = words_of(visitor.get("/machines/GA-1").text)
    assert "2 entries superseded" in words
    assert "RENEW 3 of 10 not signed yet" in words


def test_the_worst_ring_gap_is_drawn_by_life_with_the_limits_of_each_day(book: Book) -> None:
    a_machine_with_a_past(book)

    page = a_visitor(book).get("/machines/GA-1").text

    assert "Stage 2, worst ring gap, mm" in page
    assert "LIMIT 0.70" in page
    assert "LIMIT 0.65" in page
    figures = words_of(page[page.index("Figures of this plot") :])
    assert "2 010 0.40 in place when the book began 4 080 0.72" in figures
    assert "4 080 0.20 set renewed at overhaul 2 6 150 0.45 set renewed at overhaul 2" in figures
    # From 0.20 at 4 080 h to 0.45 at 6 150 h: 0.65 is reached 0.20 / 0.25 x 2 070 h after the last reading.
    assert "is reached near 7 800 h" in words_of(page)


def test_a_limit_that_the_machine_has_run_past_since_it_was_gauged_is_not_foretold(book: Book) -> None:
    past = a_machine_with_a_past(book)
    visitor = a_visitor(book)
    with book.writing("M. Tarrow", NOW) as writing:
        save_meter_reading(writing, past.machine, MeterReading(Decimal(8123), NOW, "M. Tarrow"))

    pages = [
        visitor.get("/machines/GA-1"),
        visitor.get("/machines/GA-1/history?part=2.ring-1&characteristic=closed-gap"),
    ]

    for page in pages:
        said = words_of(page.text)
        assert "the limit 0.65 was reached near 7 800 h" in said
        assert "The machine stands at 8 123 h, gauged last at 6 150 h." in said


def test_a_stage_with_two_kinds_of_ring_has_a_trend_for_each(book: Book) -> None:
    machine = a_machine(book, "BA-1", "4120", NOW, "QM-BA")
    sheet = machine_state(book, "BA-1").sheet
    overhaul = an_overhaul(book, machine, "4120", NOW, sheet, stages=(1,))
    enter(book, overhaul, *good_readings(tuple(p for p in sheet.parts if p.stage == 1), Occasion.AS_FOUND, NOW))

    page = a_visitor(book).get("/machines/BA-1").text

    assert "Stage 1, worst compression ring gap, in" in page
    assert "Stage 1, worst oil ring gap, in" in page
    assert "No forecast: fewer than two readings at different hours in this life." in words_of(page)


def test_a_concession_stands_until_its_end_and_then_says_that_it_has_run_out(book: Book) -> None:
    a_machine_with_a_past(book, Concession("R. Osk", Decimal(7000), date(2099, 1, 31)))
    visitor = a_visitor(book)

    before = words_of(visitor.get("/machines/GA-1").text)
    visitor.post("/machines/GA-1/hours", {"hours": "7000"})
    after = words_of(visitor.get("/machines/GA-1").text)

    assert "2-08 Piston pin may be used until 7 000 h or 31 Jan 2099" in before
    assert "Due first Now Oil level: since" in before
    assert "second signature R. Osk: New pin on order" in before
    assert "2-08 Piston pin has run out" in after
    assert "1 run out" in after


def test_a_concession_by_date_runs_out_after_its_day(book: Book) -> None:
    a_machine_with_a_past(book, Concession("R. Osk", None, date(2020, 1, 31)))

    words = words_of(a_visitor(book).get("/machines/GA-1").text)

    assert "2-08 Piston pin has run out: it ended at 31 Jan 2020" in words


def test_a_concession_is_closed_when_a_later_overhaul_has_decided_the_part(book: Book) -> None:
    past = a_machine_with_a_past(book)
    visitor = a_visitor(book)

    sign_all(book, past.third, THIRD, (Meaning.GAUGED, Meaning.DECIDED))

    assert "Open concessions None." in words_of(visitor.get("/machines/GA-1").text)


def test_a_closed_overhaul_is_judged_once_and_an_open_one_each_time(book: Book) -> None:
    machine = a_machine_with_a_past(book).machine

    before, after = past_overhauls(book, machine.id), past_overhauls(book, machine.id)

    assert [was is still for was, still in zip(before, after, strict=True)] == [True, True, False]


def test_a_concession_on_a_ring_set_names_the_set(book: Book) -> None:
    ends = Concession("R. Osk", Decimal(5000))
    past = a_machine_with_a_past(book)
    enter(book, past.third, a_reading("2.ring-1", "closed-gap", "0.70/0.75", THIRD, level="worst place"))
    reason = "Ring set on order, four weeks"
    decide(book, past.third, Decision("2.ring-set", Verdict.REUSE, reason, "I. Brandreth", THIRD, concession=ends))

    sign_all(book, past.third, THIRD, (Meaning.GAUGED, Meaning.DECIDED))

    assert "Stage 2, ring set has run out: it ended at 5 000 h" in words_of(a_visitor(book).get("/machines/GA-1").text)
