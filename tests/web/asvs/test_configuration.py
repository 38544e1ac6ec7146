"""Chapters 13 and 14: what the program tells of itself, and what browsers keep; numbers from memory of ASVS 5.0.0."""

import re

from app.store.book import Book
from tests.builders import PASSWORD
from tests.house.routes import routes
from tests.web.visitor import Visitor, a_visitor
from tests.web.workshop import Workshop


def test_13_4_2_and_13_4_5_nothing_tells_how_the_program_is_made(book: Book) -> None:
    client = a_visitor(book).client

    assert [path for path in ("/docs", "/redoc", "/openapi.json") if client.get(path).status_code != 404] == []
    assert "server" not in client.get("/").headers
    assert not [route for route in routes() if "debug" in route]


def test_14_2_1_no_secret_stands_in_an_address(book: Book) -> None:
    visitor = a_visitor(book)

    answer = visitor.client.get(f"/sign-in?name=M.+Tarrow&password={PASSWORD}")

    assert PASSWORD not in answer.text
    secrets = [route for route in routes() if re.search(r"\{\w*(?:secret|password|token)\}", route)]
    assert secrets == ["GET /due/calendar/{secret}.ics"]  # A calendar program can carry a secret nowhere else.


def test_14_3_2_pages_are_kept_by_no_browser(book: Book) -> None:
    visitor = a_visitor(book)

    assert {visitor.client.get(path).headers["cache-control"] for path in ("/", "/people/1", "/nowhere")} == {
        "no-store"
    }


def test_13_4_1_13_4_3_and_13_4_4_no_folder_is_listed_and_no_request_is_echoed(book: Book) -> None:
    client = a_visitor(book).client

    assert [client.get(path).status_code for path in ("/static/", "/static/js/", "/.git/config", "/data/")] == [404] * 4
    assert client.request("TRACE", "/", headers={"x-echoed": "no"}).status_code == 405


def test_14_2_3_no_page_loads_anything_from_another_site(book: Book) -> None:
    shop = Workshop(book).safe()
    pages = [shop.chief.get(url).text for url in ("/", "/people", "/sheets", shop.url("/gauge/2.pin/diameter"))]
    pages.append(Visitor(shop.app).get("/sign-in").text)

    assert [found for page in pages for found in re.findall(r'(?:src|href|action)="(?:https?:)?//[^"]*', page)] == []
