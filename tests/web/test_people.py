"""Tests of the people's page."""

from app.actions.people import everybody, person_named
from app.domain.people import Role
from app.store.book import Book
from tests.builders import PASSWORD, a_person, an_app
from tests.web.visitor import Visitor, a_chief, a_visitor, an_auditor, words_of

NEW = {"name": "R. Osk", "role": "fitter", "password": PASSWORD, "again": PASSWORD}


def test_a_chief_engineer_adds_a_person_who_then_signs_in(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/people")

    page = visitor.follow(visitor.post("/people", NEW))
    other = Visitor(an_app(book)).sign_in("R. Osk")

    assert "Person added." in page.text
    assert "R. Osk, fitter" in other.get("/").text


def test_a_person_added_twice_is_refused_with_everything_still_typed_but_the_passwords(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/people")
    visitor.post("/people", NEW)

    answer = visitor.post("/people", NEW | {"role": "auditor"}, 422)

    assert "Somebody of this name is in the book." in answer.text
    assert 'value="R. Osk"' in answer.text
    assert 'value="auditor" checked' in answer.text
    assert PASSWORD not in answer.text
    assert len(everybody(book)) == 2


def test_wrong_entries_are_said_beside_their_fields(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/people")

    role = visitor.post("/people", NEW | {"role": "owner"}, 422)
    name = visitor.post("/people", NEW | {"name": "x" * 61}, 422)
    again = visitor.post("/people", NEW | {"again": "another"}, 422)

    assert 'id="f-role-error"' in role.text
    assert 'id="f-name-error"' in name.text
    assert 'id="f-again-error"' in again.text


def test_a_person_is_kept_out_and_let_in_again_and_sending_it_twice_changes_nothing_more(book: Book) -> None:
    visitor, fitter = a_chief(book), a_person(book)
    visitor.get("/people")

    for _ in range(2):
        page = visitor.follow(visitor.post(f"/people/{fitter.id}/keep-out"))
    kept_out = person_named(book, "M. Tarrow").is_active
    visitor.follow(visitor.post(f"/people/{fitter.id}/let-in"))

    assert "Let M. Tarrow in" in page.text
    assert not kept_out
    assert person_named(book, "M. Tarrow").is_active


def test_nobody_shuts_themselves_out(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/people")
    me = person_named(book, "I. Brandreth")

    answer = visitor.post(f"/people/{me.id}/keep-out", {}, 403)

    assert "Nobody shuts themselves out." in answer.text
    assert person_named(book, "I. Brandreth").is_active


def test_a_person_who_is_not_there_is_not_found(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/people")

    visitor.post("/people/99/keep-out", {}, 404)
    visitor.post("/people/none/let-in", {}, 404)


def test_fitter_and_auditor_read_who_is_in_the_book_and_change_nothing(book: Book) -> None:
    chief = a_person(book, "R. Osk", Role.CHIEF)

    for visitor in (a_visitor(book), an_auditor(book)):
        page = visitor.get("/people")
        visitor.post("/people", NEW | {"name": "X. New"}, 403)
        visitor.post(f"/people/{chief.id}/keep-out", {}, 403)
        visitor.post(f"/people/{chief.id}/let-in", {}, 403)

        assert "R. Osk" in words_of(page.text)
        assert 'action="/people' not in page.text
    assert len(everybody(book)) == 3


def test_a_name_with_signs_of_markup_is_shown_as_it_is(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/people")

    page = visitor.follow(visitor.post("/people", NEW | {"name": "O’Neill <b>& Sons"}))

    assert "O’Neill &lt;b&gt;&amp; Sons" in page.text
