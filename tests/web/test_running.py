"""Tests of the running machine: a run that proves an overhaul, a fault in service, and the baseline between them."""

import pytest

from app.domain.overhaul import Phase
from app.domain.phases import holds_before, phase_of
from app.store.book import Book
from tests.builders import a_good_run, confirm_all, run_it
from tests.web.forms import form_of, said_beside, typed_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, RETURNED, Workshop

FAULT = {"seen": "Gauge 2 swings.", "hours": "2310", "gauge-2": "9.6", "sign-2": "swings", "gauge-1": "2.3"}
FAULT |= {"gauge-3": "40.0", "barometer": "1.013", "intake_temperature": "20"}


def running(book: Book) -> Workshop:
    """Boxed up, with every step of proving confirmed but the run."""
    shop = Workshop(book).boxed_up()
    confirm_all(book, shop.id, Phase.PROVE, OPENED_AT)
    return shop


def enter_run(shop: Workshop, status: int = 303, **other: str) -> str:
    """Type a run into its form, send it, and give the page that comes."""
    url = shop.url("/run")
    shop.fitter.get(url)
    form = form_of(shop.fitter.page, url) | a_good_run(request_id=str(form_of(shop.fitter.page, url)["request_id"]))
    answer = shop.fitter.post(url, form | other, status)
    return shop.fitter.follow(answer).text if status == 303 else answer.text


def enter_fault(shop: Workshop, status: int = 303, **other: str) -> str:
    """Type a fault into its form, send it, and give the page that comes."""
    url = "/machines/GA-1/fault"
    shop.fitter.get(url)
    answer = shop.fitter.post(url, form_of(shop.fitter.page, url) | FAULT | other, status)
    return shop.fitter.follow(answer).text if status == 303 else answer.text


def test_machine_is_not_returned_before_a_run_is_entered(book: Book) -> None:
    shop = running(book)

    before = holds_before(shop.overhaul, RETURNED[0])
    page = enter_run(shop)

    assert before == ("no run is entered",)
    assert holds_before(shop.overhaul, RETURNED[0]) == ()
    assert "Within what the sheet says." in words_of(page)
    assert phase_of(shop.overhaul) is Phase.PROVE


def test_a_temperature_in_another_unit_comes_back_beside_its_field_and_keeps_nothing(book: Book) -> None:
    shop = running(book)

    page = enter_run(shop, 422, intake_temperature="293")

    assert "Typed in °C?" in said_beside(page, "intake_temperature")
    assert typed_in(page, "intake_temperature") == "293"
    assert shop.overhaul.runs == ()


def test_run_outside_the_sheet_does_not_prove_the_machine_and_says_what_is_outside(book: Book) -> None:
    shop = running(book)

    page = words_of(enter_run(shop, **{"gauge-1": "2.9"}))

    assert "Not proved." in page
    assert holds_before(shop.overhaul, RETURNED[0]) == (
        "the last run is not proved: Stage 1 gauge 2.9 bar, 2.0 to 2.7 bar",
    )
    assert "No run of this machine is its baseline yet" in page


def test_later_run_within_the_sheet_proves_the_machine(book: Book) -> None:
    shop = running(book)

    enter_run(shop, **{"gauge-1": "2.9"})
    enter_run(shop)

    assert len(shop.overhaul.runs) == 2
    assert holds_before(shop.overhaul, RETURNED[0]) == ()


def test_figure_that_cannot_be_comes_back_beside_its_field_with_what_was_typed(book: Book) -> None:
    shop = running(book)

    page = enter_run(shop, 422, **{"gauge-2": "1.1", "barometer": "0"})

    assert said_beside(page, "gauge-2") == "Stage 2 stands above stage 1; read both gauges again."
    assert "absolute, in bar" in said_beside(page, "barometer")
    assert typed_in(page, "gauge-2") == "1.1"
    assert shop.overhaul.runs == ()


def test_pump_up_test_is_asked_for_unless_a_reason_is_given(book: Book) -> None:
    shop = running(book)
    none = {
        f"{name}-{n}": "" for name in ("start", "end", "seconds", "start_temperature", "end_temperature") for n in "123"
    }

    page = enter_run(shop, 422, **none)
    enter_run(shop, no_pump_up="The receiver is out of service.", **none)

    assert "3 pump-up runs at least" in said_beside(page, "no_pump_up")
    assert shop.overhaul.runs[0].why_no_pump_up == "The receiver is out of service."


def test_run_sent_twice_is_kept_once(book: Book) -> None:
    shop = running(book)
    url = shop.url("/run")
    shop.fitter.get(url)
    form = form_of(shop.fitter.page, url) | a_good_run()

    shop.fitter.post(url, form)
    shop.fitter.post(url, form)

    assert len(shop.overhaul.runs) == 1


def test_run_is_not_taken_before_the_machine_is_boxed_up_nor_after_it_is_returned(book: Book) -> None:
    shop = Workshop(book).decided()
    shop.fitter.get("/")

    shop.fitter.post(shop.url("/run"), a_good_run(), 409)
    shop.fitter.get(shop.url("/run"), 409)

    assert shop.overhaul.runs == ()


def test_what_both_sign_covers_the_run(book: Book) -> None:
    shop = running(book)
    enter_run(shop)
    shop.sign(shop.fitter, "/prove")
    shop.sign(shop.chief, "/prove")

    with book.reading() as session:
        from app.store.facts import get_signature_content

        content = get_signature_content(session, shop.id, RETURNED[1])

    assert phase_of(shop.overhaul) is Phase.RETURNED
    assert '"gauge-2":"11.3"' in content


def test_fault_names_what_to_look_at_first_and_leads_to_opening_that_stage_alone(book: Book) -> None:
    shop = Workshop(book).returned()
    run = shop.overhaul.runs[-1]
    shop.chief.get(f"/runs/{run.id}")
    shop.chief.post(
        f"/runs/{run.id}/baseline", form_of(shop.chief.page, f"/runs/{run.id}/baseline") | {"reason": "New."}
    )

    page = enter_fault(shop)
    opening = shop.fitter.get("/machines/GA-1/open?stages=2").text

    assert "Stage 2: delivery valve" in words_of(page)
    assert 'href="/machines/GA-1/open?stages=2"' in page
    assert form_of(opening, "/machines/GA-1/open")["stages"] == "2"


def test_what_a_run_said_stays_when_another_baseline_is_chosen(book: Book) -> None:
    shop = Workshop(book).returned()
    first = shop.overhaul.runs[-1]
    shop.chief.get("/")
    before = words_of(shop.chief.get(f"/runs/{first.id}").text)

    shop.chief.post(f"/runs/{first.id}/baseline", {"reason": "In good order."})

    after = words_of(shop.chief.get(f"/runs/{first.id}").text)
    assert "no suspect is named" in before
    assert "This run is the machine's baseline." in after
    assert shop.overhaul.baseline is None


def test_fault_without_a_baseline_shows_an_estimate_and_names_no_suspect(book: Book) -> None:
    page = words_of(enter_fault(Workshop(book)))

    assert "no suspect is named" in page
    assert "From the swept volumes alone" in page
    assert "Look at first" not in page


def test_fault_without_words_or_hours_is_asked_for_them(book: Book) -> None:
    page = enter_fault(Workshop(book), 422, seen="", hours="many", **{"gauge-1": "x"})

    assert "what was seen or heard" in said_beside(page, "seen")
    assert "plain number" in said_beside(page, "hours")
    assert "plain number" in said_beside(page, "gauge-1")


def test_runs_and_faults_are_listed_for_every_reader(book: Book) -> None:
    shop = Workshop(book).returned()
    enter_fault(shop)

    page = shop.auditor.get("/machines/GA-1/runs").text

    assert "Gauge 2 swings." in words_of(page)
    assert "to prove an overhaul" in words_of(page)
    assert "/machines/GA-1/fault" not in page


@pytest.mark.parametrize("other", [{"gauge-1": "2.9"}, {}])
def test_only_a_run_within_the_sheet_is_made_the_baseline_and_only_with_a_reason(
    book: Book, other: dict[str, str]
) -> None:
    shop = Workshop(book).boxed_up()
    run_id = run_it(book, shop.id, OPENED_AT, **other)
    shop.chief.get("/")

    status = 409 if other else 422
    shop.chief.post(f"/runs/{run_id}/baseline", {"reason": ""}, status)
    shop.chief.post(f"/runs/{run_id}/baseline", {"reason": "In good order."}, 409 if other else 303)

    page = words_of(shop.chief.get(f"/runs/{run_id}").text)
    assert ("This run is the machine's baseline." in page) is not bool(other)


def test_fault_is_never_a_baseline(book: Book) -> None:
    shop = Workshop(book)
    enter_fault(shop)
    shop.chief.get("/")

    shop.chief.post("/runs/1/baseline", {"reason": "It runs."}, 403)

    assert "This run is the machine's baseline." not in words_of(shop.chief.get("/runs/1").text)


def test_pressure_like_an_absolute_one_is_asked_about_beside_its_field_and_kept_by_its_answer(book: Book) -> None:
    shop = running(book)

    asked = enter_run(shop, 422, **{"gauge-1": "3.3"})
    nothing = shop.overhaul.runs
    enter_run(shop, **{"gauge-1": "3.3", "gauge-1-is": "absolute", "gauge-2-is": "gauge", "gauge-3-is": "gauge"})

    assert "Gauge or absolute? 3.3 bar is off the sheet, 2.0 to 2.7" in said_beside(asked, "gauge-1")
    assert typed_in(asked, "gauge-1") == "3.3"
    assert 'name="gauge-1-is"' in asked
    assert nothing == ()
    assert str(shop.overhaul.runs[0].figures.stages[0].pressure) == "2.287"


def test_fault_with_a_pressure_that_says_it_is_absolute_is_taken_at_its_word(book: Book) -> None:
    page = enter_fault(running(book), **{"gauge-1": "3.3 bara", "gauge-2-is": "gauge", "gauge-3-is": "gauge"})

    assert "2.287" in words_of(page)


def test_delivery_temperature_in_another_unit_is_asked_about_and_kept_by_its_answer(book: Book) -> None:
    shop = running(book)

    asked = enter_run(shop, 422, **{"temperature-1": "239"})
    enter_run(shop, **{"temperature-1": "239", "temperature-1-is": "F"})

    assert "239 °F would be 115 °C" in said_beside(asked, "temperature-1")
    assert 'name="temperature-1-is"' in asked
    assert str(shop.overhaul.runs[0].figures.stages[0].temperature) == "115"
