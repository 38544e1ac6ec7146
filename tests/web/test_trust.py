"""Tests of the page that leads tablets to trust the server, and of what pages say without TLS."""

from app.store.book import Book
from tests.builders import an_app
from tests.web.visitor import Visitor, a_visitor, words_of


def test_page_says_what_is_missing_without_tls_and_how_to_have_it(book: Book) -> None:
    said = words_of(Visitor(an_app(book)).get("/trust").text)

    assert "served without TLS" in said
    assert "camera" in said
    assert "python -m app serve --tls" in said


def test_pages_say_quietly_that_they_are_not_encrypted_unless_they_never_leave_the_machine(book: Book) -> None:
    visitor = a_visitor(book)

    there = visitor.get("/people").text
    here = visitor.client.get("http://127.0.0.1/people", follow_redirects=True).text

    assert 'href="/trust"' in there
    assert 'href="/trust"' not in here


def test_cookies_carry_no_host_prefix_on_plain_http_where_a_browser_would_drop_them(book: Book) -> None:
    visitor = a_visitor(book)

    assert {"wearbook", "wearbook_visit"} == set(visitor.client.cookies)
