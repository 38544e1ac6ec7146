"""Tests of sign-ins seen and ended from afar, of passwords changed, and of guessing made slow."""

from datetime import timedelta

import pytest

from app.actions.passwords import digest_password, is_easily_guessed, is_password
from app.actions.people import person_named, sign_in, token_digest
from app.domain.errors import InputRefused
from app.domain.people import Role
from app.store.book import Book
from tests.builders import NOW, PASSWORD, a_person, an_app
from tests.web.forms import form_of
from tests.web.visitor import Visitor, a_chief, a_visitor, words_of

ANOTHER = "slow-kettle-under-snow"


def test_person_sees_where_they_are_signed_in_and_ends_one_of_them(book: Book) -> None:
    here, there = a_visitor(book), Visitor(an_app(book)).sign_in("M. Tarrow")
    page = here.get("/people/1")
    form = form_of(page.text, "/people/1/sign-ins")

    here.post("/people/1/sign-ins", {"handle": form["handle"]})

    assert "this one" in page.text
    assert there.get("/", 303).headers["location"] == "/sign-in"
    here.get("/")


def test_all_other_sign_ins_end_at_once_and_this_one_stays(book: Book) -> None:
    here = a_visitor(book)
    others = [Visitor(an_app(book)).sign_in("M. Tarrow") for _ in range(2)]
    here.get("/people/1")

    here.post("/people/1/sign-ins", {"handle": ""})

    assert [visitor.get("/", 303).status_code for visitor in others] == [303, 303]
    here.get("/")


def test_chief_engineer_ends_anybodys_sign_in_and_a_fitter_only_their_own(book: Book) -> None:
    fitter, chief = a_visitor(book), a_chief(book)
    chief.get("/people/1")
    fitter.get("/people/1")

    refused = fitter.post("/people/2/sign-ins", {"handle": ""}, 403)
    chief.get("/")
    chief.get("/people/1")
    chief.post("/people/1/sign-ins", {"handle": ""})

    assert "sees and ends only their own sign-ins" in words_of(refused.text)
    fitter.get("/", 303)


def test_handle_of_another_persons_sign_in_ends_nothing(book: Book) -> None:
    fitter, chief = a_visitor(book), a_chief(book)
    handle = token_digest(chief.client.cookies["wearbook"])[:16]
    fitter.get("/people/1")

    fitter.post("/people/1/sign-ins", {"handle": handle})

    chief.get("/")


def test_person_kept_out_and_let_in_again_signs_in_anew(book: Book) -> None:
    fitter, chief = a_visitor(book), a_chief(book)
    chief.get("/people")

    chief.post("/people/1/keep-out")
    chief.get("/people")
    chief.post("/people/1/let-in")

    fitter.get("/", 303)


def test_signing_in_on_the_same_device_ends_the_sign_in_before(book: Book) -> None:
    visitor = a_visitor(book)
    before = visitor.client.cookies["wearbook"]

    visitor.sign_in("M. Tarrow")
    after = visitor.client.cookies["wearbook"]
    with_the_old = Visitor(an_app(book))
    with_the_old.client.cookies.set("wearbook", before)

    assert before != after
    visitor.get("/")
    with_the_old.get("/", 303)


def test_changing_ones_password_asks_for_the_old_one_and_ends_every_other_sign_in(book: Book) -> None:
    here, there = a_visitor(book), Visitor(an_app(book)).sign_in("M. Tarrow")
    new = {"password": ANOTHER, "again": ANOTHER}
    here.get("/people/1")

    wrong = here.post("/people/1/password", {"proof": "not this one", **new}, 422)
    here.post("/people/1/password", {"proof": PASSWORD, **new})

    assert 'id="f-proof-error"' in wrong.text
    there.get("/", 303)
    here.get("/")
    Visitor(an_app(book)).sign_in("M. Tarrow", ANOTHER).get("/")


def test_chief_engineer_gives_another_password_by_their_own(book: Book) -> None:
    a_person(book)
    chief = a_chief(book)
    chief.get("/people/1")

    chief.post("/people/1/password", {"proof": PASSWORD, "password": ANOTHER, "again": ANOTHER})

    Visitor(an_app(book)).sign_in("M. Tarrow", ANOTHER).get("/")


def test_two_new_passwords_that_differ_change_nothing(book: Book) -> None:
    visitor = a_visitor(book)
    visitor.get("/people/1")

    answer = visitor.post("/people/1/password", {"proof": PASSWORD, "password": ANOTHER, "again": PASSWORD}, 422)

    assert 'id="f-again-error"' in answer.text
    Visitor(an_app(book)).sign_in("M. Tarrow").get("/")


@pytest.mark.parametrize(
    "common", ["passwordpassword", "password1234", "qwertyuiop12", "aaaaaaaaaaaa", "compressor2026", "M. Tarrow 1999"]
)
def test_password_that_is_tried_first_is_refused(common: str) -> None:
    with pytest.raises(InputRefused) as refused:
        digest_password(common, name="M. Tarrow")

    assert "among the first passwords" in refused.value.fields["password"]


@pytest.mark.parametrize("length", [12, 64, 200])
def test_long_password_is_taken_whole_with_any_characters(length: int) -> None:
    password = "ölkanne 滑油 & kettle, nine hoops of brass; " * 6
    digest = digest_password(password[:length])

    assert not is_easily_guessed(password[:length])
    assert is_password(password[:length], digest)
    assert not is_password(password[: length - 1], digest)
    assert not is_password(password[:length] + "x", digest)


def test_guessing_grows_slow_for_the_guesser_and_for_nobody_else(book: Book) -> None:
    a_person(book)
    a_person(book, "S. Venn", Role.AUDITOR)
    for _ in range(4):
        with pytest.raises(InputRefused):
            sign_in(book, "M. Tarrow", "not this one", NOW, address="10.0.0.66")

    with pytest.raises(InputRefused) as too_soon:
        sign_in(book, "m. tarrow ", PASSWORD, NOW + timedelta(seconds=4), address="10.0.0.66")

    assert "Try again in 2 s" in too_soon.value.fields["password"]
    sign_in(book, "S. Venn", PASSWORD, NOW, address="10.0.0.66")
    sign_in(book, "M. Tarrow", PASSWORD, NOW, address="10.0.0.5")
    sign_in(book, "M. Tarrow", PASSWORD, NOW + timedelta(seconds=5), address="10.0.0.66")


def test_wait_doubles_with_each_further_guess_and_is_forgotten_after_an_hour(book: Book) -> None:
    a_person(book)
    now = NOW
    for wait_s in (0, 0, 0, 0, 5, 10, 20):
        now += timedelta(seconds=wait_s)
        with pytest.raises(InputRefused) as wrong:
            sign_in(book, "M. Tarrow", "not this one", now)
        assert "do not go together" in wrong.value.fields["password"]

    with pytest.raises(InputRefused) as too_soon:
        sign_in(book, "M. Tarrow", PASSWORD, now + timedelta(seconds=39))

    assert "Too many" in too_soon.value.fields["password"]
    with pytest.raises(InputRefused):
        sign_in(book, "M. Tarrow", "not this one", now + timedelta(minutes=61))
    sign_in(book, "M. Tarrow", PASSWORD, now + timedelta(minutes=61))


def test_attempts_kept_have_an_end_however_many_names_are_tried(book: Book) -> None:
    for number in range(10_050):
        book.attempts.begin(f"name {number}", "10.0.0.66", NOW, "password")

    assert len(book.attempts) == 10_000


def test_guesses_at_a_signature_grow_slow_too(book: Book) -> None:
    visitor = a_visitor(book)
    visitor.get("/people/1")
    new = {"password": ANOTHER, "again": ANOTHER}

    answers = [visitor.post("/people/1/password", {"proof": "not this one", **new}, 422) for _ in range(5)]

    assert "This is not M. Tarrow" in words_of(answers[3].text)
    assert "Too many wrong passwords" in words_of(answers[4].text)


def test_sign_in_counts_the_name_and_never_the_password(book: Book) -> None:
    a_person(book)

    signed_in = sign_in(book, "M. Tarrow", PASSWORD, NOW)

    assert signed_in.person == person_named(book, "M. Tarrow")
    assert len(book.attempts) == 0
