"""Tests of what a page weighs on the wire: packed, sent once, and kept under its digest."""

import re

from httpx2 import Response

from app.store.book import Book
from app.web.static_files import asset
from tests.web.visitor import a_visitor
from tests.web.workshop import Workshop

FIRST_PAGE_BYTES = 60_000
LATER_PAGE_BYTES = 15_000
LOADED = re.compile(r'(?:src|href)="(/static/[^"]+)"')


def on_the_wire(answer: Response) -> int:
    """Its bytes as they were sent, its head included."""
    head = sum(len(name) + len(value) + 4 for name, value in answer.headers.raw)
    return head + int(answer.headers["content-length"])


def test_first_gauging_page_and_all_it_loads_are_light(book: Book) -> None:
    shop = Workshop(book, stages=(1, 2)).safe()
    client = shop.fitter.client
    page = client.get(shop.url("/gauge/2.ring-1/closed-gap"))

    loaded = [client.get(address) for address in dict.fromkeys(LOADED.findall(page.text))]

    weights = {str(each.url): on_the_wire(each) for each in (page, *loaded)}
    assert len(loaded) <= 4
    assert on_the_wire(page) <= LATER_PAGE_BYTES, weights
    assert sum(weights.values()) <= FIRST_PAGE_BYTES, weights


def test_later_pages_of_an_overhaul_are_light(book: Book) -> None:
    shop = Workshop(book, stages=(1, 2)).safe()
    places = ("/gauge/1.cylinder/bore", "/gauge/2.ring-3/closed-gap", "/decide", "/record")

    weights = {place: on_the_wire(shop.fitter.get(shop.url(place))) for place in places}

    assert max(weights.values()) <= LATER_PAGE_BYTES, weights


def test_static_file_is_kept_for_a_year_under_its_own_digest_alone(book: Book) -> None:
    client = a_visitor(book).client
    address = asset("book.css")

    named, old = client.get(address), client.get(address[:-1] + "x")

    assert named.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert old.headers["cache-control"] == "no-cache"
    assert client.get("/static/book.css", headers={"if-none-match": old.headers["etag"]}).status_code == 304


def test_browser_that_cannot_unpack_gets_the_same_text(book: Book) -> None:
    client = a_visitor(book).client

    packed, plain = (client.get(asset("book.js"), headers={"accept-encoding": how}) for how in ("gzip", "identity"))

    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert packed.text == plain.text


def test_page_is_packed_and_its_token_masked_anew(book: Book) -> None:
    visitor = a_visitor(book)

    pages = [visitor.client.get("/") for _ in range(2)]
    plain = visitor.client.get("/", headers={"accept-encoding": "identity"})

    tokens = {re.search(r'name="csrf" value="(\w+)"', page.text)[1] for page in (*pages, plain)}  # type: ignore[index]
    assert [page.headers["content-encoding"] for page in pages] == ["gzip", "gzip"]
    assert "content-encoding" not in plain.headers
    assert int(plain.headers["content-length"]) == len(plain.content)
    assert len(tokens) == 3
    # However the parts of a token are looked at, nothing of it stands in two pages, so that no guess makes one shorter.
    assert not any(one[at : at + 16] in other for one in tokens for other in tokens - {one} for at in range(0, 113, 8))


def test_small_answer_and_picture_go_as_they_are(book: Book) -> None:
    client = a_visitor(book).client

    answers = [client.get(address) for address in ("/healthz", "/static/guide/answers.png")]

    assert [each.status_code for each in answers] == [200, 200]
    assert [each.headers.get("content-encoding") for each in answers] == [None, None]
