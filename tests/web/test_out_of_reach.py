"""Tests of a book whose database does not answer: a clear page, and no error that nobody foresaw."""

from contextlib import closing
from pathlib import Path

from starlette.testclient import TestClient

from app.store.book import Book
from app.store.postgres import read_address
from tests.builders import an_app
from tests.web.visitor import audit, words_of

NOBODY_LISTENS = "postgresql://wearbook@127.0.0.1:1/wearbook"


def test_page_says_that_the_book_is_out_of_reach_and_what_that_means(tmp_path: Path) -> None:
    with closing(Book(tmp_path / "wearbook.db", read_address(NOBODY_LISTENS))) as book:
        client = TestClient(an_app(book), cookies={"wearbook": "a-sign-in"})

        answers = [client.get("/"), client.get("/overhauls/1/record"), client.get("/sign-in")]

    assert [answer.status_code for answer in answers] == [503] * 3
    assert [answer.headers["retry-after"] for answer in answers] == ["5"] * 3
    assert [audit(answer.text) for answer in answers] == [[]] * 3
    assert "What was acknowledged before is kept" in words_of(answers[0].text)
    assert "The book cannot be read just now" in words_of(answers[0].text)


def test_file_that_went_away_is_said_so_too(tmp_path: Path) -> None:
    with closing(Book(tmp_path / "none" / "wearbook.db")) as book:
        (tmp_path / "none").rmdir()

        answer = TestClient(an_app(book)).get("/sign-in")

    assert answer.status_code == 503
    assert "The book is out of reach" in words_of(answer.text)
