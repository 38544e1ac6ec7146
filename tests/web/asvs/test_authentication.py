"""Chapters 6 and 11: passwords; numbers from memory of ASVS 5.0.0."""

import re

from app.store.book import Book
from tests.builders import a_person, an_app
from tests.web.visitor import Visitor, a_visitor


def test_6_2_2_6_2_3_and_7_5_1_password_is_changed_by_its_owner_who_proves_the_old_one(book: Book) -> None:
    visitor = a_visitor(book)
    page = visitor.get("/people/1").text

    answer = visitor.post("/people/1/password", {"password": "slow-kettle-under-snow"}, 422)

    assert 'name="proof"' in page
    assert answer.status_code == 422


def test_6_2_6_and_6_2_7_passwords_are_masked_and_may_be_pasted(book: Book) -> None:
    visitor = a_visitor(book)
    pages = visitor.get("/sign-in").text + visitor.get("/people/1").text
    fields = re.findall(r'<input[^>]*name="(?:password|again|proof|unlock_password)"[^>]*>', pages)

    assert len(fields) == 6  # the covering page's own field stands on each page of a person
    assert all('type="password"' in field for field in fields)
    assert all(re.search(r'autocomplete="(current|new)-password"', field) for field in fields)
    assert "onpaste" not in pages


def test_6_2_10_no_password_runs_out_by_its_age(book: Book) -> None:
    with book.reading() as session:
        columns = [row[1] for row in session.connection().exec_driver_sql("PRAGMA table_info(person)")]

    assert not [name for name in columns if "expire" in name or "changed_at" in name]


def test_6_3_2_no_account_is_there_before_somebody_makes_it(book: Book) -> None:
    assert Visitor(an_app(book)).get("/sign-in", 303).headers["location"] == "/first-use"


def test_11_4_2_passwords_are_kept_as_argon2id_alone(book: Book) -> None:
    a_person(book)

    with book.reading() as session:
        kept = [row[0] for row in session.connection().exec_driver_sql("SELECT password_digest FROM person")]

    assert len(kept) == 1
    assert all(digest.startswith("$argon2id$") for digest in kept)
