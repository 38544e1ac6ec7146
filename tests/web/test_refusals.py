"""Tests of refusals: what is not there, what cannot be read, and what nobody foresaw, each with a page of its own."""

import logging

import pytest
from fastapi.testclient import TestClient

from app.store.book import Book
from tests.builders import a_machine, a_person, an_app
from tests.web.forms import typed_in
from tests.web.visitor import Visitor, a_visitor, words_of
from tests.web.workshop import BEFORE, Workshop

NOT_THERE = (
    "/overhauls/99", "/overhauls/99/safe", "/overhauls/0/gauge", "/overhauls/-1/record", "/overhauls/one/decide",
    "/overhauls/1.5", "/overhauls/99999999999999999999/gauged", "/overhauls/1/sandwich", "/nowhere",
    "/overhauls/1/gauge/9.ring-1", "/overhauls/1/gauge/1.ring-1/closed-gap", "/overhauls/1/gauge/2.pin/length",
    "/overhauls/1/gauge/2.cylinder/bore?level=99", "/overhauls/1/gauge/2.cylinder/bore?level=-1",
    "/overhauls/1/gauge/2.cylinder/bore?axis=2", "/overhauls/1/gauge/2.cylinder/bore?level=top",
    "/overhauls/1/fit/2.pin", "/overhauls/1/fit/2.pin/diameter", "/overhauls/1/fittings/2.pin",
    "/overhauls/1/working/9.pin", "/machines/GA-9", "/machines/GA-9/history", "/machines/GA-9/open",
    "/sheets/QM-GA/Z", "/sheets/QM-GA/Z/file", "/static/css/none.css", "/_fragments/overhauls/99/verdict",
    "/_fragments/overhauls/1/verdict?part=9.pin", "/_fragments/overhauls/1/verdict?part=2.pin&characteristic=seen",
)  # fmt: skip
NO_FORM = (
    "/overhauls/99/readings", "/overhauls/99/safe", "/overhauls/99/signatures",
    "/overhauls/99999999999999999999/prove", "/people/99/keep-out", "/people/99/let-in",
    "/people/99999999999999999999/let-in", "/machines/GA-9/hours", "/overhauls/99/decisions",
    "/overhauls/99/fittings/2.pin",
)  # fmt: skip


def test_address_of_nothing_gets_a_page_that_says_so(book: Book) -> None:
    fitter = Workshop(book).safe().fitter

    pages = {path: fitter.get(path, 404).text for path in NOT_THERE}

    assert [path for path, page in pages.items() if "Nothing that was kept before is lost." not in words_of(page)] == []
    assert [path for path, page in pages.items() if "Traceback" in page] == []


def test_form_sent_to_nothing_gets_a_page_that_says_so(book: Book) -> None:
    chief = Workshop(book).chief
    chief.get("/")

    form = {"meaning": "gauged", "password": "leaf-lamp-and-oil", "hours": "2400"}
    pages = {path: chief.post(path, form, 404).text for path in NO_FORM}

    assert [path for path, page in pages.items() if "Traceback" in page] == []


def test_way_of_asking_that_a_page_does_not_know_is_refused(book: Book) -> None:
    fitter = a_visitor(book)

    answer = fitter.client.delete("/")

    assert answer.status_code == 405
    assert "This page is not asked for in this way." in words_of(answer.text)


def test_reading_form_for_a_place_of_another_part_is_not_there(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.pin/diameter", 404, part="2.bush", characteristic="lift", value="21.995")
    shop.key_in(shop.fitter, "2.pin/diameter", 404, level="top", value="21.995")
    shop.key_in(shop.fitter, "2.pin/diameter", 404, id="short", value="21.995")
    shop.key_in(shop.fitter, "2.pin/diameter", 404, id="x" * 65, value="21.995")

    assert shop.readings == ()


def test_page_asked_for_without_signing_in_comes_after_signing_in(book: Book) -> None:
    a_machine(book, at=BEFORE)
    a_person(book)
    visitor = Visitor(an_app(book))

    sent_on = visitor.get("/machines/GA-1", 303)
    visitor.get("/sign-in")
    to_start = visitor.get("/", 303)

    assert sent_on.headers["location"] == "/sign-in?then=/machines/GA-1"
    assert to_start.headers["location"] == "/sign-in"


def test_form_that_cannot_be_read_is_refused(book: Book) -> None:
    fitter = a_visitor(book)
    fitter.get("/")

    broken = fitter.client.post(
        "/machines/new", content=b"broken", headers={"content-type": "multipart/form-data; boundary=x"}
    )
    crowded = fitter.post("/machines/new", {f"field-{number}": "x" for number in range(500)}, 400, files={"f": b"x"})

    assert broken.status_code == 400
    assert "This cannot be read." in words_of(crowded.text)


def test_what_nobody_foresaw_is_logged_in_full_and_shown_without_detail(
    book: Book, caplog: pytest.LogCaptureFixture
) -> None:
    app = an_app(book)
    client = TestClient(app, raise_server_exceptions=False)
    app.state.book = None  # as after a fault that nobody foresaw

    with caplog.at_level(logging.ERROR, "wearbook"):
        answer = client.get("/healthz")

    assert answer.status_code == 500
    assert "Traceback" not in answer.text
    assert "AttributeError" not in answer.text
    assert "unforeseen at GET /healthz" in caplog.text
    assert "AttributeError" in caplog.text


def test_identifier_of_one_place_does_not_stand_for_another(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.pin/diameter", value="21.995", id="the-same-form")

    answer = shop.key_in(shop.fitter, "2.bush/diameter", 422, value="22.020", id="the-same-form")

    assert "already stands for “21.995 mm” at 2.pin" in answer.text
    assert typed_in(answer.text, "value") == "22.020"
    assert len(shop.readings) == 1


def test_number_larger_than_the_book_can_hold_is_logged_beside_its_address(
    book: Book, caplog: pytest.LogCaptureFixture
) -> None:
    fitter = a_visitor(book)

    with caplog.at_level(logging.WARNING, "wearbook"):
        fitter.get("/overhauls/99999999999999999999/safe", 404)

    assert "too large a number at GET /overhauls/99999999999999999999/safe" in caplog.text
