"""Tests of making safe: every step confirmed by name and time, and nothing gauged before."""

from app.actions.overhauls import overhaul
from app.domain.overhaul import Phase
from app.domain.phases import phase_of
from app.domain.steps import make_safe_steps, open_steps
from app.store.book import Book
from tests.builders import confirm_all
from tests.web.forms import form_of, said_beside, typed_in, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop


def test_every_step_is_confirmed_on_the_page_and_the_last_leads_to_gauging(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    for step in make_safe_steps(shop.overhaul):
        form = form_of(shop.fitter.page, shop.url("/safe"), step.key)
        answer = shop.fitter.post(shop.url("/safe"), form | ({f"value-{step.key}": step.hint} if step.asks else {}))
        if not answer.headers["location"].endswith("/gauge"):
            shop.fitter.follow(answer)

    assert answer.headers["location"] == shop.url("/gauge")
    assert open_steps(shop.overhaul, Phase.MAKE_SAFE) == ()
    assert phase_of(shop.overhaul) is Phase.GAUGE


def test_confirmed_step_shows_its_value_and_by_whom(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    answer = shop.fitter.post(shop.url("/safe"), {"step": "permit", "value-permit": "P-118"})
    page = shop.fitter.follow(answer).text

    assert answer.headers["location"] == shop.url("/safe#step-locks")
    assert "Permit number: P-118" in words_in(page, "step-permit").replace(" :", ":")
    assert "M. Tarrow" in words_in(page, "step-permit")


def test_missing_permit_number_is_said_beside_its_field(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    answer = shop.fitter.post(shop.url("/safe"), {"step": "permit", "value-permit": "  "}, 422)

    assert said_beside(answer.text, "value-permit") == "Permit number: fill this in, such as 118."
    assert said_beside(answer.text, "value-locks") == ""
    assert shop.overhaul.confirmations == ()


def test_value_too_long_comes_back_as_it_was_typed(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    answer = shop.fitter.post(shop.url("/safe"), {"step": "locks", "value-locks": "L-14 " * 40}, 422)

    assert "Lock number" in said_beside(answer.text, "value-locks")
    assert typed_in(answer.text, "value-locks") == "L-14 " * 40


def test_note_too_long_at_a_step_that_asks_nothing_is_refused(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    shop.fitter.post(shop.url("/safe"), {"step": "vented", "value-vented": "x" * 121}, 422)

    assert shop.overhaul.confirmations == ()


def test_steps_of_making_safe_may_be_confirmed_as_the_work_allows(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    answer = shop.fitter.post(shop.url("/safe"), {"step": "flywheel"})

    assert answer.headers["location"] == shop.url("/safe#step-permit")
    assert [each.step for each in shop.overhaul.confirmations] == ["flywheel"]


def test_step_sent_twice_is_confirmed_once_even_when_it_was_the_last(book: Book) -> None:
    shop = Workshop(book)
    confirm_all(book, shop.id, Phase.MAKE_SAFE, OPENED_AT, but=("permit",))
    shop.fitter.get(shop.url("/safe"))

    first = shop.fitter.post(shop.url("/safe"), {"step": "permit", "value-permit": "118"})
    second = shop.fitter.post(shop.url("/safe"), {"step": "permit", "value-permit": "118 "})

    assert first.headers["location"] == second.headers["location"] == shop.url("/gauge")
    assert [each.step for each in shop.overhaul.confirmations].count("permit") == 1


def test_step_confirmed_with_another_value_stands_beside_the_first(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    shop.fitter.post(shop.url("/safe"), {"step": "permit", "value-permit": "118"})
    shop.fitter.post(shop.url("/safe"), {"step": "permit", "value-permit": "119"})

    assert [each.value for each in shop.overhaul.confirmations] == ["118", "119"]


def test_unknown_step_is_not_confirmed(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    shop.fitter.post(shop.url("/safe"), {"step": "coffee"}, 404)

    assert shop.overhaul.confirmations == ()


def test_gauging_before_the_machine_is_safe_leads_to_making_safe(book: Book) -> None:
    shop = Workshop(book)

    opened = shop.fitter.get(shop.url(), 303)
    gauging = shop.fitter.get(shop.url("/gauge"), 303)

    assert opened.headers["location"] == gauging.headers["location"] == shop.url("/safe")


def test_reading_before_the_machine_is_safe_is_refused_and_not_stored(book: Book) -> None:
    shop = Workshop(book)

    answer = shop.key_in(shop.fitter, "2.ring-1/closed-gap", 409, value="0.50")

    assert "Gauging begins when the machine is made safe" in answer.text
    assert shop.readings == ()


def test_every_page_says_under_which_permit_the_machine_is_safe(book: Book) -> None:
    shop = Workshop(book)
    before = words_of(shop.fitter.get(shop.url("/safe")).text)
    shop.safe()

    after = words_of(shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text)

    assert "Not made safe yet" in before
    assert "permit 118" in after


def test_making_safe_is_read_only_once_gauging_has_begun(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.fitter.get(shop.url("/safe"))

    answer = shop.fitter.post(shop.url("/safe"), {"step": "permit", "value-permit": "120"})

    assert "Nothing was changed: this page says what stands already" in shop.fitter.follow(answer).text
    assert overhaul(book, shop.id).confirmation(Phase.MAKE_SAFE, "permit").value == "118"  # type: ignore[union-attr]


def test_auditor_sees_the_steps_without_forms_and_confirms_none(book: Book) -> None:
    shop = Workshop(book)

    page = shop.auditor.get(shop.url("/safe")).text
    shop.auditor.post(shop.url("/safe"), {"step": "vented"}, 403)

    assert f'action="{shop.url("/safe")}"' not in page
    assert shop.overhaul.confirmations == ()


def test_gauge_that_still_shows_pressure_is_no_step_confirmed_and_stays_as_typed(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get(shop.url("/safe"))

    answer = shop.fitter.post(shop.url("/safe"), {"step": "gauge-2", "value-gauge-2": "1.5 bar"}, 422)

    assert "There is pressure in this stage: nothing is opened." in said_beside(answer.text, "value-gauge-2")
    assert typed_in(answer.text, "value-gauge-2") == "1.5 bar"
    assert shop.overhaul.confirmations == ()
