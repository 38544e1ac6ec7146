"""Tests of buttons that are tapped twice: the second sending changes nothing."""

import pytest

from app.domain.overhaul import Phase
from app.store.book import Book
from app.store.chain import chain_head
from tests.builders import PASSWORD, a_reading, a_sheet_text, confirm_all
from tests.web.forms import form_of
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

WORN_RING = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")


def stored(book: Book) -> tuple[int, str]:
    """How far the chain of changes has come; every change of the book adds to it."""
    with book.reading() as session:
        return chain_head(session)


def twice(shop: Workshop, page: str, action: str, typed: dict[str, object], again: int = 303) -> bool:
    """Open a page, send its form twice as the chief engineer, and tell whether the second sending stored nothing."""
    shop.chief.get(page)
    form = form_of(shop.chief.page, action) | typed
    before = stored(shop.book)
    shop.chief.post(action, form)
    first = stored(shop.book)
    shop.chief.post(action, form, again)
    return before < first == stored(shop.book)


def test_reading_kept_twice_is_stored_once(book: Book) -> None:
    shop = Workshop(book).safe()

    assert twice(shop, shop.url("/gauge/2.pin/diameter"), shop.url("/readings"), {"value": "21.995"})
    assert len(shop.readings) == 1


@pytest.mark.parametrize(
    ("name", "phase", "step", "value"),
    [
        ("safe", Phase.MAKE_SAFE, "permit", "118"),
        ("box-up", Phase.BOX_UP, "delivery", ""),
        ("prove", Phase.PROVE, "load", "60"),
    ],
)
def test_last_step_confirmed_twice_is_stored_once(book: Book, name: str, phase: Phase, step: str, value: str) -> None:
    shop = Workshop(book)
    if phase is Phase.BOX_UP:
        shop.decided()
    if phase is Phase.PROVE:
        shop.boxed_up()
    confirm_all(book, shop.id, phase, OPENED_AT, but=(step,))

    assert twice(shop, shop.url(f"/{name}"), shop.url(f"/{name}"), {"step": step, f"value-{step}": value})


def test_decision_sent_twice_is_stored_once(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_RING)
    typed = {"verdict": "reuse", "reason": "Good enough for now.", "until_hours": "3000", "second_person": "R. Osk"}

    page = shop.url("/decide?item=2.ring-set")
    assert twice(shop, page, shop.url("/decisions"), typed | {"second_password": PASSWORD})


def test_new_part_entered_twice_is_stored_once(book: Book) -> None:
    shop = Workshop(book).decided(WORN_RING)
    url = shop.url("/fittings/2.ring-set")

    assert twice(shop, url, url, {"batch": "B-7"})


def test_signature_sent_twice_is_given_once(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    assert twice(shop, shop.url("/gauged"), shop.url("/signatures"), {"password": PASSWORD})
    assert len(shop.overhaul.signatures) == 1


@pytest.mark.parametrize(("page", "who"), [("/decide", "R. Osk"), ("/prove", "I. Brandreth")])
def test_signature_from_a_second_tab_leads_to_the_one_that_stands(book: Book, page: str, who: str) -> None:
    shop = Workshop(book).gauged() if page == "/decide" else Workshop(book).proved()
    late = shop.visitor("R. Osk" if page == "/prove" else "I. Brandreth")
    late.get(shop.url(page))
    form = form_of(late.page, shop.url("/signatures")) | {"password": PASSWORD}
    shop.sign(shop.visitor(who), page)
    before = stored(book)

    said = words_of(late.follow(late.post(shop.url("/signatures"), form)).text)

    assert f"{who}, " in said
    assert "Nothing was changed: this page says what stands already" in said
    assert stored(book) == before


def test_decision_from_a_tab_left_open_leads_to_what_is_signed(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_RING)
    shop.chief.get(shop.url("/decide?item=2.ring-set"))
    form = form_of(shop.chief.page, shop.url("/decisions")) | {"verdict": "renew", "reason": "Too worn for me."}
    shop.sign(shop.visitor("R. Osk"), "/decide")

    said = words_of(shop.chief.follow(shop.chief.post(shop.url("/decisions"), form)).text)

    assert "Signed decided by R. Osk" in said
    assert "Nothing was changed: this page says what stands already" in said
    assert "Amend what is wrong" in said
    assert shop.overhaul.decisions == ()


def test_opening_sent_twice_opens_once(book: Book) -> None:
    shop = Workshop(book).returned()

    assert twice(shop, "/machines/GA-1/open", "/machines/GA-1/open", {"hours": "2310"})


def test_hours_sent_twice_are_recorded_once(book: Book) -> None:
    shop = Workshop(book)

    assert twice(shop, "/machines/GA-1", "/machines/GA-1/hours", {"hours": "2310"})


def test_machine_sent_twice_is_added_once(book: Book) -> None:
    shop = Workshop(book)
    typed = {"tag": "GA-2", "serial": "Q-2", "name": "Governor air", "site": "Quillmoor", "hours": "10"}

    assert twice(shop, "/machines/new", "/machines/new", typed)


def test_sheet_sent_twice_is_imported_once(book: Book) -> None:
    shop = Workshop(book)

    assert twice(shop, "/sheets/import", "/sheets/import", {"text": a_sheet_text("qm-ba.toml"), "accepted": "yes"})


def test_person_sent_twice_is_added_once(book: Book) -> None:
    shop = Workshop(book)
    typed = {"name": "J. Penn", "role": "fitter", "password": PASSWORD, "again": PASSWORD}

    assert twice(shop, "/people", "/people", typed, 422)


@pytest.mark.parametrize("what", ["keep-out", "let-in"])
def test_person_kept_out_or_let_in_twice_changes_once(book: Book, what: str) -> None:
    shop = Workshop(book)
    if what == "let-in":
        shop.keep_out("M. Tarrow")

    assert twice(shop, "/people", f"/people/1/{what}", {})


def test_signing_out_twice_is_signed_out_once(book: Book) -> None:
    shop = Workshop(book)
    shop.chief.get("/")

    first = shop.chief.post("/sign-out")
    second = shop.chief.post("/sign-out")

    assert first.headers["location"] == second.headers["location"] == "/sign-in"
