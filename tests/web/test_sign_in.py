"""Tests of signing in and out, and of beginning an empty book."""

from app.actions.people import everybody, set_active
from app.demonstration.people import PEOPLE
from app.domain.people import Role
from app.store.book import Book
from tests.builders import NOW, PASSWORD, a_machine, a_person, an_app
from tests.web.forms import form_of
from tests.web.visitor import Visitor, a_chief, a_visitor, words_of
from tests.web.workshop import Workshop


def test_an_empty_book_asks_for_its_first_chief_engineer_and_leads_to_the_sheet(book: Book) -> None:
    visitor = Visitor(an_app(book))
    sent_on = visitor.get("/sign-in", 303)
    page = visitor.follow(sent_on)

    answer = visitor.post("/first-use", {"name": "I. Brandreth", "password": PASSWORD, "again": PASSWORD})
    next_page = visitor.follow(answer)

    assert sent_on.headers["location"] == "/first-use"
    assert "step 1 of 3" in page.text
    assert [(person.name, person.role) for person in everybody(book)] == [("I. Brandreth", Role.CHIEF)]
    assert answer.headers["location"] == "/sheets/import"
    assert "step 2 of 3" in next_page.text


def test_passwords_that_differ_are_said_beside_their_field_and_the_name_is_still_typed(book: Book) -> None:
    visitor = Visitor(an_app(book))
    visitor.get("/first-use")

    answer = visitor.post("/first-use", {"name": "I. Brandreth", "password": PASSWORD, "again": "other"}, 422)

    assert 'value="I. Brandreth"' in answer.text
    assert 'id="f-again-error"' in answer.text
    assert everybody(book) == []


def test_a_short_password_and_no_name_are_both_refused_at_once(book: Book) -> None:
    visitor = Visitor(an_app(book))
    visitor.get("/first-use")

    answer = visitor.post("/first-use", {"name": " ", "password": "short", "again": "short"}, 422)

    assert 'id="f-name-error"' in answer.text
    assert 'id="f-password-error"' in answer.text


def test_beginning_a_book_sent_twice_adds_one_person(book: Book) -> None:
    visitor = Visitor(an_app(book))
    visitor.get("/first-use")
    typed = {"name": "I. Brandreth", "password": PASSWORD, "again": PASSWORD}

    visitor.post("/first-use", typed)
    again = visitor.post("/first-use", typed)

    assert again.headers["location"] == "/sheets/import"
    assert len(everybody(book)) == 1


def test_a_book_with_people_cannot_be_begun_again(book: Book) -> None:
    a_person(book)
    visitor = Visitor(an_app(book))
    visitor.get("/sign-in")

    shown = visitor.get("/first-use", 303)
    answer = visitor.post("/first-use", {"name": "X. Other", "password": PASSWORD, "again": PASSWORD}, 422)

    assert shown.headers["location"] == "/sign-in"
    assert "Name and password do not go together." in answer.text
    assert [person.name for person in everybody(book)] == ["M. Tarrow"]


def test_signing_in_leads_to_the_page_asked_for(book: Book) -> None:
    a_machine(book)
    a_person(book)
    visitor = Visitor(an_app(book))
    asked = visitor.get("/machines/GA-1", 303)
    visitor.follow(asked)

    answer = visitor.post("/sign-in", {"name": "M. Tarrow", "password": PASSWORD, "then": "/machines/GA-1"})

    assert asked.headers["location"] == "/sign-in?then=/machines/GA-1"
    assert visitor.follow(answer).url.path == "/machines/GA-1"


def test_page_asked_for_keeps_its_question_mark_through_signing_in(book: Book) -> None:
    shop = Workshop(book).safe()
    place = shop.url("/gauge/2.cylinder/bore?level=1&axis=1")
    visitor = Visitor(shop.app)

    at_sign_in = visitor.follow(visitor.get(place, 303))
    answer = visitor.post(
        "/sign-in", form_of(at_sign_in.text, "/sign-in") | {"name": "M. Tarrow", "password": PASSWORD}
    )

    assert answer.headers["location"] == place


def test_signing_in_never_leads_out_of_the_book(book: Book) -> None:
    a_person(book)

    for then in ("//elsewhere.example", "/\\elsewhere.example", "https://elsewhere.example", ""):
        visitor = Visitor(an_app(book))
        visitor.get("/sign-in")
        answer = visitor.post("/sign-in", {"name": "M. Tarrow", "password": PASSWORD, "then": then})

        assert answer.headers["location"] == "/"


def test_a_wrong_password_and_an_unknown_name_are_answered_with_the_same_words(book: Book) -> None:
    a_person(book)
    visitor = Visitor(an_app(book))
    visitor.get("/sign-in")

    wrong = visitor.post("/sign-in", {"name": "M. Tarrow", "password": "not this one", "then": "/people"}, 422)
    unknown = visitor.post("/sign-in", {"name": "N. Obody", "password": "not this one"}, 422)

    words = "Name and password do not go together."
    assert words in words_of(wrong.text)
    assert words in words_of(unknown.text)
    assert 'value="M. Tarrow"' in wrong.text
    assert 'name="then" value="/people"' in wrong.text


def test_hand_over_signs_out_and_the_next_person_signs_in(book: Book) -> None:
    visitor = a_visitor(book)
    visitor.get("/")

    answer = visitor.post("/sign-out")

    assert answer.headers["location"] == "/sign-in"
    assert visitor.get("/", 303).headers["location"] == "/sign-in"


def test_signing_out_without_being_signed_in_does_no_harm(book: Book) -> None:
    a_person(book)
    visitor = Visitor(an_app(book))
    visitor.get("/sign-in")

    assert visitor.post("/sign-out").headers["location"] == "/sign-in"


def test_a_person_kept_out_is_out_at_once_and_cannot_sign_in(book: Book) -> None:
    chief = a_person(book, "I. Brandreth", Role.CHIEF)
    fitter = a_person(book)
    visitor = Visitor(an_app(book)).sign_in("M. Tarrow")
    visitor.get("/")

    set_active(book, chief, fitter.id, False, NOW)

    visitor.get("/", 303)
    visitor.get("/sign-in")
    visitor.post("/sign-in", {"name": "M. Tarrow", "password": PASSWORD}, 422)


def test_the_demonstration_signs_its_people_in_with_one_tap_and_a_real_book_names_nobody(book: Book) -> None:
    a_person(book)
    shown = Visitor(an_app(book, is_demonstration=True)).get("/sign-in").text
    real = Visitor(an_app(book)).get("/sign-in").text

    for person in PEOPLE:
        assert f"Sign in as {person.name}, {person.role}" in shown
        assert f'name="password" value="{person.password}"' in shown
        assert person.password not in real
    assert "M. Tarrow" not in real


def test_every_office_page_asks_for_signing_in(book: Book) -> None:
    a_machine(book)
    a_chief(book)
    visitor = Visitor(an_app(book))
    pages = ["/", "/people", "/sheets", "/sheets/import", "/sheets/QM-GA/C", "/sheets/QM-GA/C/file"]
    pages += ["/machines/new", "/machines/GA-1", "/machines/GA-1/history"]

    for url in pages:
        assert visitor.get(url, 303).headers["location"].startswith("/sign-in")


def test_a_form_without_its_token_is_refused(book: Book) -> None:
    visitor = a_chief(book)
    visitor.page = ""

    for url in (
        "/people",
        "/sheets/import",
        "/machines/new",
        "/machines/GA-1/hours",
        "/sign-out",
        "/people/1/keep-out",
    ):
        visitor.post(url, {}, 403)
        visitor.page = ""
