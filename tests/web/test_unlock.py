"""Tests of the lock of an idle sign-in: it asks for the password, and nothing that was sent is lost."""

from datetime import UTC, datetime, timedelta

import pytest

from app.actions.people import token_digest
from app.store.book import Book
from app.store.sign_ins import save_last_seen
from tests.builders import PASSWORD
from tests.web.forms import form_of
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop


def leave_idle(book: Book, visitor: Visitor, minutes: int = 21) -> None:
    """Let a visitor do nothing for some minutes."""
    digest = token_digest(visitor.client.cookies["wearbook"])
    save_last_seen(book, digest, datetime.now(UTC) - timedelta(minutes=minutes))


@pytest.fixture
def shop(book: Book) -> Workshop:
    return Workshop(book).safe()


def test_idle_sign_in_asks_for_the_password_and_goes_on_to_the_page(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")
    leave_idle(book, shop.fitter)

    asked = shop.fitter.get("/machines/GA-1?a=1", 303)
    page = shop.fitter.follow(asked)
    answer = shop.fitter.post("/unlock", form_of(page.text, "/unlock") | {"unlock_password": PASSWORD})

    assert asked.headers["location"] == "/unlock?then=/machines/GA-1%3Fa%3D1"
    assert "Password of M. Tarrow" in page.text
    assert answer.headers["location"] == "/machines/GA-1?a=1"
    shop.fitter.follow(answer)


def test_reading_that_meets_the_lock_is_kept_once_the_password_is_given(book: Book, shop: Workshop) -> None:
    page = shop.fitter.get(shop.url("/gauge/2.pin/diameter"))
    form = form_of(page.text, shop.url("/readings")) | {"value": "21.995"}
    leave_idle(book, shop.fitter)

    met = shop.fitter.post(shop.url("/readings"), form, 401)
    kept = form_of(met.text, "/unlock")
    wrong = shop.fitter.post("/unlock", kept | {"unlock_password": "not this one"}, 422)
    again = form_of(wrong.text, "/unlock") | {"unlock_password": PASSWORD}
    answer = shop.fitter.post("/unlock", again, 307)
    nothing_yet = shop.readings
    shop.fitter.post(answer.headers["location"], again)

    assert "What was sent just now is not kept yet" in words_of(met.text)
    assert nothing_yet == ()
    assert [reading.value.typed for reading in shop.readings if reading.value] == ["21.995"]
    assert [reading.id for reading in shop.readings] == [form["id"]]


def test_no_password_stands_in_the_page_that_keeps_a_form(book: Book, shop: Workshop) -> None:
    shop.fitter.get(shop.url("/gauged"))
    leave_idle(book, shop.fitter)

    met = shop.fitter.post(shop.url("/signatures"), {"meaning": "gauged", "password": "a secret of mine"}, 401)

    assert "a secret of mine" not in met.text
    assert 'name="meaning" value="gauged"' in met.text


def test_fragment_that_meets_the_lock_changes_nothing_on_the_page(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")
    leave_idle(book, shop.fitter)

    answer = shop.fitter.client.get("/", headers={"hx-request": "true"})

    assert (answer.status_code, answer.text) == (204, "")


def test_page_that_covered_itself_is_told_whether_the_password_is_right(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")
    here = {"unlock_here": "yes", "unlock_who": "1"}

    wrong = shop.fitter.post("/unlock", here | {"unlock_password": "not this one"}, 422)
    right = shop.fitter.post("/unlock", here | {"unlock_password": PASSWORD}, 204)
    somebody_elses = shop.fitter.post("/unlock", here | {"unlock_who": "2", "unlock_password": PASSWORD}, 303)

    assert wrong.text == "This is not M. Tarrow's password."
    assert right.text == ""
    assert somebody_elses.headers["location"] == "/sign-in"


def test_use_keeps_a_sign_in_open_and_is_noted_at_most_once_a_minute(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")

    for _ in range(3):
        leave_idle(book, shop.fitter, minutes=19)
        shop.fitter.get("/")

    shop.fitter.get("/")


def test_sign_in_unused_for_longer_than_allowed_is_over_and_cannot_be_unlocked(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")
    leave_idle(book, shop.fitter, minutes=14 * 60)

    assert shop.fitter.get("/", 303).headers["location"] == "/sign-in"
    assert shop.fitter.post("/unlock", {"unlock_password": PASSWORD}).headers["location"] == "/sign-in"


def test_locked_page_is_handed_over_without_the_password(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")
    leave_idle(book, shop.fitter)
    shop.fitter.follow(shop.fitter.get("/", 303))

    shop.fitter.post("/sign-out")

    assert shop.fitter.get("/", 303).headers["location"] == "/sign-in"


def test_lock_never_leads_out_of_the_book(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")

    assert shop.fitter.get("/unlock?then=//elsewhere.example", 303).headers["location"] == "/"
