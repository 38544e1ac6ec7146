"""Tests of what stands around every answer: headers, tokens, sizes, caching, and whether the server lives."""

import asyncio

import pytest
from fastapi.testclient import TestClient

from app.store.book import Book
from app.web.guards import HEADERS, MOST_BYTES
from app.web.page import asset
from tests.builders import an_app
from tests.web.forms import form_of
from tests.web.visitor import Visitor, a_visitor, words_of
from tests.web.workshop import Workshop


@pytest.mark.parametrize("path", ["/", "/sign-in", "/nowhere", "/healthz", "/static/icon.svg", "/static/none.css"])
def test_every_answer_carries_the_guarding_headers(book: Book, path: str) -> None:
    answer = a_visitor(book).client.get(path)

    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS


def test_policy_lets_nothing_in_from_elsewhere(book: Book) -> None:
    policy = a_visitor(book).client.get("/").headers["content-security-policy"]

    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_pages_are_never_kept_by_the_browser_and_static_files_for_a_year(book: Book) -> None:
    client = a_visitor(book).client

    page, named, bare = (client.get(path) for path in ("/", asset("css/tokens.css"), "/static/css/tokens.css"))

    assert page.headers["cache-control"] == "no-store"
    assert named.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert bare.headers["cache-control"] == "no-cache"


def test_form_without_its_token_or_with_another_stores_nothing(book: Book) -> None:
    shop = Workshop(book).safe()
    form = form_of(shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text, shop.url("/readings")) | {"value": "21.995"}
    foreign = form_of(shop.chief.get(shop.url("/gauge/2.pin/diameter")).text, shop.url("/readings"))["csrf"]

    for token in ("", "wrong", "é", foreign):
        answer = shop.fitter.post(shop.url("/readings"), form | {"csrf": token}, 403)
    without = shop.fitter.client.post(shop.url("/readings"), data={k: v for k, v in form.items() if k != "csrf"})

    assert without.status_code == 403
    assert "This page is old" in words_of(answer.text)
    assert "This form does not come from a page of this book" in words_of(answer.text)
    assert shop.readings == ()


def test_browser_without_a_visit_of_its_own_sends_no_form(book: Book) -> None:
    shop = Workshop(book).safe()
    form = form_of(shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text, shop.url("/readings"))
    shop.fitter.client.cookies.delete("wearbook_visit")

    answer = shop.fitter.client.post(shop.url("/readings"), data=form | {"value": "21.995"})

    assert answer.status_code == 403
    assert shop.readings == ()


@pytest.mark.parametrize("as_file", [True, False])
def test_more_than_any_page_sends_is_refused_and_stores_nothing(book: Book, as_file: bool) -> None:
    shop = Workshop(book).safe()
    form = form_of(shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text, shop.url("/readings")) | {"value": "21.995"}
    much = "x" * (MOST_BYTES + 1)

    more = {"files": {"file": much.encode()}} if as_file else {}
    answer = shop.fitter.post(shop.url("/readings"), form | ({} if as_file else {"reason": much}), 413, **more)

    assert "More was sent than any page of this book sends. Nothing was stored." in words_of(answer.text)
    assert shop.readings == ()


def test_request_that_is_cut_off_on_its_way_stores_nothing_and_is_no_error(
    book: Book, caplog: pytest.LogCaptureFixture
) -> None:
    shop = Workshop(book).safe()
    shop.fitter.get(shop.url("/gauge/2.pin/diameter"))
    cookies = "; ".join(f"{name}={value}" for name, value in shop.fitter.client.cookies.items())
    headers = [(b"cookie", cookies.encode()), (b"content-type", b"application/x-www-form-urlencoded")]
    scope = {"type": "http", "method": "POST", "path": shop.url("/readings"), "query_string": b"", "headers": headers}
    messages = iter(({"type": "http.request", "body": b"csrf=00", "more_body": True}, {"type": "http.disconnect"}))
    sent: list[dict[str, object]] = []

    async def receive() -> dict[str, object]:
        return next(messages)

    async def send(message: dict[str, object]) -> None:
        sent.append(message)

    asyncio.run(shop.app(scope, receive, send))

    assert sent[0]["status"] == 400
    assert shop.readings == ()
    assert [record for record in caplog.records if record.levelname == "ERROR"] == []


def test_signing_out_ends_the_sign_in_for_good(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get("/")
    token = shop.fitter.client.cookies["wearbook"]

    shop.fitter.post("/sign-out")
    shop.fitter.client.cookies.set("wearbook", token)
    answer = shop.fitter.get(shop.url("/safe"), 303)

    assert answer.headers["location"] == f"/sign-in?then={shop.url('/safe')}"


def test_sign_in_that_has_run_out_asks_again(book: Book) -> None:
    shop = Workshop(book, session_hours=0)

    answer = shop.fitter.get("/", 303)

    assert answer.headers["location"] == "/sign-in"


def test_forged_sign_in_lets_nobody_in(book: Book) -> None:
    visitor = Visitor(an_app(book))
    visitor.client.cookies.set("wearbook", "a-token-that-nobody-was-given")

    answer = visitor.get("/", 303)

    assert answer.headers["location"] == "/sign-in"


def test_book_is_left_as_one_file_when_the_server_stops(book: Book) -> None:
    beside = book.path.with_name(f"{book.path.name}-wal")  # what is written stands here until the last one closes

    with TestClient(an_app(book)) as client:
        client.get("/healthz")
        was_beside = beside.exists()

    assert was_beside
    assert not beside.exists()


def test_health_is_told_as_json_to_whoever_asks(book: Book) -> None:
    answer = Visitor(an_app(book)).client.get("/healthz")

    said = answer.json()
    assert answer.status_code == 200
    assert set(said) == {"version", "database_revision", "writable"}
    assert said["writable"] is True
    assert said["database_revision"] == book.revision()
