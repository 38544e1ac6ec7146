"""Chapters 7 and 8: sign-ins, and who reaches what; numbers from memory of ASVS 5.0.0."""

from app.actions.people import token_digest
from app.store.book import Book
from tests.builders import PASSWORD, a_person, an_app
from tests.web.forms import form_of
from tests.web.visitor import Visitor, a_chief, a_visitor
from tests.web.workshop import Workshop


def test_7_2_2_and_7_2_3_tokens_are_long_random_and_kept_only_as_digests(book: Book) -> None:
    tokens = {a_token(book, number) for number in range(3)}

    assert len(tokens) == 3
    assert all(len(token) >= 43 for token in tokens)  # 32 random bytes
    assert kept_digests(book) == {token_digest(token) for token in tokens}


def a_token(book: Book, number: int) -> str:
    """The token of somebody who signs in."""
    return str(a_visitor(book, f"fitter {number}").client.cookies["wearbook"])


def test_7_2_4_a_new_token_is_given_at_each_sign_in_and_none_is_taken_from_outside(book: Book) -> None:
    a_person(book)
    visitor = Visitor(an_app(book))
    page = visitor.get("/sign-in")
    form = form_of(page.text, "/sign-in") | {"name": "M. Tarrow", "password": PASSWORD}

    answer = visitor.client.post("/sign-in", data=form, headers={"cookie": cookie(visitor, "chosen-elsewhere" * 3)})

    assert answer.status_code == 303
    assert "chosen" not in answer.cookies["wearbook"]
    assert token_digest("chosen-elsewhere" * 3) not in kept_digests(book)


def test_7_4_4_every_page_of_a_person_offers_to_sign_out(book: Book) -> None:
    shop = Workshop(book).safe()
    pages = ["/", "/people", "/sheets", "/machines/GA-1", shop.url("/gauge/2.pin/diameter"), shop.url("/record")]

    assert [url for url in pages if 'action="/sign-out"' not in shop.fitter.get(url).text] == []


def test_8_2_2_person_reaches_no_other_persons_sign_ins_by_their_number(book: Book) -> None:
    fitter = a_visitor(book)
    a_chief(book)

    fitter.get("/people/2", 403)
    fitter.get("/people/99", 403)


def cookie(visitor: Visitor, token: str) -> str:
    """The cookies of a browser in which somebody else has set the sign-in."""
    return f"wearbook_visit={visitor.client.cookies['wearbook_visit']}; wearbook={token}"


def kept_digests(book: Book) -> set[str]:
    """The digests of every token in the book."""
    with book.reading() as session:
        return {row[0] for row in session.connection().exec_driver_sql("SELECT token_digest FROM sign_in")}
