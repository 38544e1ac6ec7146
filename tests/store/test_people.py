"""Tests of people, sign-ins and preferences in the book."""

from datetime import timedelta

import pytest

from app.domain.canonical import canonical, digest
from app.domain.errors import InputRefused, NotThere
from app.domain.people import Person, Role
from app.domain.sign_ins import SignIn
from app.store.book import Book
from app.store.chain import list_entries
from app.store.people import (
    change_person,
    find_person,
    find_person_by_name,
    get_password_digest,
    get_person,
    list_people,
    save_person,
)
from app.store.sign_ins import (
    end_sign_in,
    end_sign_ins_of,
    find_sign_in,
    get_preferences,
    handle_of,
    list_sign_ins,
    save_last_seen,
    save_preference,
    save_sign_in,
)
from tests.store.builders import CHIEF, NOW, a_writing

TOKEN = "digest of a token"


def test_person_comes_back_as_saved(book: Book) -> None:
    person = _a_person(book, "M. Tarrow", Role.FITTER)

    with book.reading() as session:
        assert person == Person(person.id, "M. Tarrow", Role.FITTER)
        assert find_person(session, person.id) == find_person_by_name(session, "M. Tarrow") == person
        assert get_person(session, person.id) == person
        assert get_password_digest(session, person.id) == "digest of M. Tarrow"


def test_people_are_listed_by_name(book: Book) -> None:
    for name in ("S. Venn", "M. Tarrow", "R. Osk"):
        _a_person(book, name)

    with book.reading() as session:
        assert [person.name for person in list_people(session)] == ["M. Tarrow", "R. Osk", "S. Venn"]


def test_name_in_the_book_already_is_refused_beside_its_field(book: Book) -> None:
    _a_person(book, "M. Tarrow")

    with pytest.raises(InputRefused) as refused:
        _a_person(book, "M. Tarrow")

    assert refused.value.fields == {"name": "M. Tarrow is in the book already."}


def test_person_nobody_has_saved_is_not_there(book: Book) -> None:
    with book.reading() as session:
        assert find_person(session, 7) is None
        assert find_person_by_name(session, "nobody") is None
        with pytest.raises(NotThere, match="7"):
            get_person(session, 7)
        with pytest.raises(NotThere, match="7"):
            get_password_digest(session, 7)


def test_person_is_shut_out_and_let_in_again_without_a_new_password(book: Book) -> None:
    person = _a_person(book)
    with a_writing(book, CHIEF) as writing:
        shut_out = change_person(writing, person.id, is_active=False)

    with a_writing(book, CHIEF) as writing:
        let_in = change_person(writing, person.id, is_active=True)

    with book.reading() as session:
        assert (shut_out.is_active, let_in.is_active) == (False, True)
        assert find_person(session, person.id) == let_in
        assert get_password_digest(session, person.id) == "digest of M. Tarrow"


def test_new_password_is_kept_and_never_written_into_the_chain(book: Book) -> None:
    person = _a_person(book)

    with a_writing(book, CHIEF) as writing:
        change_person(writing, person.id, password_digest="digest of another")

    with book.reading() as session:
        assert get_password_digest(session, person.id) == "digest of another"
        entries = list_entries(session)
        told = {"check": digest("digest of another"), "has_new_password": True, "is_active": True}
        assert entries[0].new == canonical(told)
        assert not any("digest of" in entry.old + entry.new for entry in entries)


def test_signed_in_person_is_found_by_the_token_digest(book: Book) -> None:
    person = _a_person(book)
    save_sign_in(book, TOKEN, person.id, NOW)

    with book.reading() as session:
        found = find_sign_in(session.connection(), TOKEN)
        assert found == SignIn(person, handle_of(TOKEN), NOW, NOW)
        assert find_sign_in(session.connection(), "another token") is None


def test_ended_sign_in_lets_nobody_in_however_often_it_is_ended(book: Book) -> None:
    save_sign_in(book, TOKEN, _a_person(book).id, NOW)

    for _ in range(2):
        end_sign_in(book, TOKEN, NOW)
    end_sign_in(book, "another token", NOW)

    with book.reading() as session:
        assert find_sign_in(session.connection(), TOKEN) is None


def test_sign_in_of_a_person_shut_out_lets_nobody_in(book: Book) -> None:
    person = _a_person(book)
    save_sign_in(book, TOKEN, person.id, NOW)

    with a_writing(book, CHIEF) as writing:
        change_person(writing, person.id, is_active=False)

    with book.reading() as session:
        assert find_sign_in(session.connection(), TOKEN) is None


def test_use_of_a_sign_in_is_noted(book: Book) -> None:
    save_sign_in(book, TOKEN, _a_person(book).id, NOW, "a tablet", "10.0.0.5")

    save_last_seen(book, TOKEN, NOW + timedelta(hours=1))
    save_last_seen(book, "another token", NOW)

    with book.reading() as session:
        found = find_sign_in(session.connection(), TOKEN)
        assert found is not None
        assert (found.began, found.last_seen) == (NOW, NOW + timedelta(hours=1))
        assert (found.device, found.address) == ("a tablet", "10.0.0.5")


def test_one_sign_in_of_a_person_ends_or_all_but_one_and_nobody_elses(book: Book) -> None:
    tarrow, venn = _a_person(book, "M. Tarrow"), _a_person(book, "S. Venn")
    first, second, third, other = (letter * 64 for letter in "abcd")
    for moment, (token, person) in enumerate([(first, tarrow), (second, tarrow), (third, tarrow), (other, venn)]):
        save_sign_in(book, token, person.id, NOW + timedelta(minutes=moment))

    with book.noting() as session:
        end_sign_ins_of(session, venn.id, NOW, handle=handle_of(first))
        before = [each.handle for each in list_sign_ins(session, tarrow)]
        end_sign_ins_of(session, tarrow.id, NOW, handle=handle_of(first))
        after_one = [each.handle for each in list_sign_ins(session, tarrow)]
        end_sign_ins_of(session, tarrow.id, NOW, but=handle_of(second))
        after_all = [each.handle for each in list_sign_ins(session, tarrow)]
        others = [each.handle for each in list_sign_ins(session, venn)]

    assert before == [handle_of(third), handle_of(second), handle_of(first)]
    assert after_one == [handle_of(third), handle_of(second)]
    assert after_all == [handle_of(second)]
    assert others == [handle_of(other)]


def test_preferences_are_each_persons_own_and_the_last_choice_counts(book: Book) -> None:
    tarrow, venn = _a_person(book, "M. Tarrow"), _a_person(book, "S. Venn")

    for person, key, value in [(tarrow, "hand", "left"), (tarrow, "hand", "right"), (venn, "theme", "dark")]:
        save_preference(book, person.id, key, value)

    with book.reading() as session:
        assert get_preferences(session, tarrow.id) == {"hand": "right"}
        assert get_preferences(session, venn.id) == {"theme": "dark"}


def test_sign_ins_and_preferences_are_not_in_the_chain(book: Book) -> None:
    person = _a_person(book)

    save_sign_in(book, TOKEN, person.id, NOW)
    save_preference(book, person.id, "theme", "dark")
    end_sign_in(book, TOKEN, NOW)

    with book.reading() as session:
        assert [entry.what for entry in list_entries(session)] == ["person added"]


def _a_person(book: Book, name: str = "M. Tarrow", role: Role = Role.FITTER) -> Person:
    with a_writing(book, CHIEF) as writing:
        return save_person(writing, name, role, f"digest of {name}")
