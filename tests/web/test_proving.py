"""Tests of proving and of returning to service, after which nothing changes any more."""

from dataclasses import replace

from app.domain.overhaul import Meaning, Phase
from app.domain.phases import phase_of
from app.domain.steps import open_steps, prove_steps
from app.store.book import Book
from tests.builders import PASSWORD, a_reading, a_sheet, enter, fit, good_readings
from tests.web.forms import form_of, has_form, said_beside, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop


def test_every_step_is_confirmed_with_what_was_read(book: Book) -> None:
    shop = Workshop(book).boxed_up()
    shop.fitter.get(shop.url("/prove"))

    for step in prove_steps(shop.overhaul):
        form = form_of(shop.fitter.page, shop.url("/prove"), step.key)
        answer = shop.fitter.post(shop.url("/prove"), form | {f"value-{step.key}": step.hint if step.asks else ""})
        page = shop.fitter.follow(answer).text

    assert answer.headers["location"] == shop.url("/prove")
    assert open_steps(shop.overhaul, Phase.PROVE) == ()
    assert "60" in words_in(page, "step-load")


def test_gauges_are_written_down_as_steps_where_the_sheet_says_nothing_of_the_running_machine(book: Book) -> None:
    earlier = replace(Workshop(book).overhaul, sheet=a_sheet(book, "qm-ga-b.toml"))

    keys = [step.key for step in prove_steps(earlier)]

    assert [key for key in keys if key.startswith("run-")] == ["run-1", "run-2", "run-3"]


def test_pressure_that_is_not_given_is_asked_for_beside_its_field(book: Book) -> None:
    shop = Workshop(book).boxed_up()
    shop.fitter.get(shop.url("/prove"))

    answer = shop.fitter.post(shop.url("/prove"), {"step": "oil-pressure", "value-oil-pressure": ""}, 422)

    assert said_beside(answer.text, "value-oil-pressure") == "Oil pressure: fill this in, such as 2.4 bar."


def test_signature_waits_for_every_step_and_names_the_first(book: Book) -> None:
    shop = Workshop(book).boxed_up()

    page = shop.fitter.get(shop.url("/prove")).text
    answer = shop.fitter.post(shop.url("/signatures"), {"meaning": "returned to service, fitter", "password": PASSWORD})
    led_to = words_of(shop.fitter.follow(answer).text)

    assert not has_form(page, shop.url("/signatures"))
    assert "Not yet: not confirmed: Direction of rotation" in words_of(page)
    assert "Not signed: what comes before the signature is on this page." in led_to
    assert "Not yet: not confirmed: Direction of rotation" in led_to
    assert not shop.overhaul.signature(Meaning.RETURNED_FITTER)


def test_returned_machine_shows_both_signatures_and_leads_to_its_record(book: Book) -> None:
    shop = Workshop(book).returned()

    opened = shop.fitter.get(shop.url(), 303)
    page = shop.fitter.get(shop.url("/prove")).text

    assert opened.headers["location"] == shop.url("/record")
    assert "✓ Fitter: M. Tarrow" in words_of(page)
    assert "✓ Chief engineer: I. Brandreth" in words_of(page)
    assert f'href="{shop.url("/record")}"' in page


def test_nothing_of_a_returned_overhaul_changes_any_more(book: Book) -> None:
    shop = Workshop(book).returned()
    before = shop.overhaul
    shop.chief.get(shop.url("/prove"))
    posts: list[tuple[str, dict[str, object]]] = [
        ("/safe", {"step": "permit", "value-permit": "other"}),
        ("/box-up", {"step": "heads", "value-heads": "other"}),
        ("/prove", {"step": "load", "value-load": "other"}),
        ("/decisions", {"ref": "2.pin", "verdict": "renew", "reason": "Changed my mind."}),
        ("/fittings/2.pin", {"number": "Q-1"}),
        ("/signatures", {"meaning": "gauged", "password": PASSWORD}),
        ("/signatures", {"meaning": "decided", "password": PASSWORD}),
        ("/signatures", {"meaning": "returned to service, fitter", "password": PASSWORD}),
        ("/signatures", {"meaning": "returned to service, chief engineer", "password": PASSWORD}),
    ]

    for path, form in posts:
        answer = shop.chief.post(shop.url(path), form, 409 if path.startswith("/fittings") else 303)
        assert answer.status_code == 409 or "?done=stands" in answer.headers["location"]
    shop.key_in(shop.fitter, "2.pin/diameter", 409, value="21.985")
    shop.fitter.post(
        shop.url("/readings"),
        form_of(shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text, shop.url("/readings"))
        | {"occasion": "as fitted", "value": "21.985"},
        409,
    )

    assert shop.overhaul == before


def test_whole_life_of_an_overhaul_with_a_renewed_set(book: Book) -> None:
    shop = Workshop(book).with_new_rings()
    enter(book, shop.id, *good_readings(shop.parts("2.ring-3"), shop.readings[-1].occasion, OPENED_AT))

    shop.closed_and_proved()
    shop.sign(shop.fitter, "/prove")
    shop.sign(shop.chief, "/prove")

    assert phase_of(shop.overhaul) is Phase.RETURNED


def test_size_a_bore_was_made_to_holds_at_the_next_opening(book: Book) -> None:
    worn = a_reading("2.cylinder", "bore", "78.12", OPENED_AT, level="mid stroke", axis="along the pin")
    shop = Workshop(book).decided(worn)
    fit(book, shop.id, "2.cylinder", OPENED_AT, made_to="78.25")

    later = shop.opened_again("2310")

    page = later.fitter.get(later.url("/gauge/2.cylinder/bore?how=dial")).text
    assert form_of(page, later.url("/readings"))["set_size"] == "78.25"
