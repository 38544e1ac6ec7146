"""Tests of PINs: one opens an idle sign-in on the tablet it was set on, and is good for nothing else."""

from datetime import UTC, datetime, timedelta

import pytest

from app.actions.people import person_named, token_digest
from app.actions.verifying import verify_book
from app.settings import Settings
from app.store.book import Book
from app.store.sign_ins import save_last_seen
from tests.builders import PASSWORD
from tests.web.forms import form_of
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

PIN = "2749"
HERE = {"unlock_here": "yes", "unlock_who": "1"}


def enrol(visitor: Visitor, person: int = 1, status: int = 303, **typed: str) -> str:
    """Set a PIN on the tablet in a visitor's hands; the text of the answer."""
    visitor.get(f"/people/{person}")
    form = {"tablet": "Hall 1", "pin_secret": PIN, "pin_again": PIN, "pin_proof": PASSWORD} | typed
    return visitor.post(f"/people/{person}/tablets", form, status).text


def leave_idle(book: Book, visitor: Visitor) -> None:
    """Let a visitor do nothing for longer than a sign-in stays open."""
    digest = token_digest(visitor.client.cookies["wearbook"])
    save_last_seen(book, digest, datetime.now(UTC) - timedelta(minutes=21))


def told(book: Book) -> list[tuple[str, str, str]]:
    """What the chain tells of tablets: what, who and why."""
    asked = "SELECT what, person, why FROM entry WHERE what IN ('tablet enrolled', 'tablet ended') ORDER BY seq"
    with book.reading() as session:
        return [(what, who, why or "") for what, who, why in session.connection().exec_driver_sql(asked)]


@pytest.fixture
def shop(book: Book) -> Workshop:
    shop = Workshop(book).safe()
    enrol(shop.fitter)
    return shop


def test_pin_opens_the_idle_sign_in_and_the_reading_that_met_the_lock_is_kept(book: Book, shop: Workshop) -> None:
    page = shop.fitter.get(shop.url("/gauge/2.pin/diameter"))
    form = form_of(page.text, shop.url("/readings")) | {"value": "21.995"}
    leave_idle(book, shop.fitter)

    met = shop.fitter.post(shop.url("/readings"), form, 401)
    again = form_of(met.text, "/unlock") | {"unlock_pin": PIN}
    answer = shop.fitter.post("/unlock", again, 307)
    shop.fitter.post(answer.headers["location"], again)

    assert "PIN of M. Tarrow on this tablet" in met.text
    assert [reading.value.typed for reading in shop.readings if reading.value] == ["21.995"]


def test_page_that_covered_itself_takes_the_pin_and_says_how_many_tries_are_left(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")

    wrong = shop.fitter.post("/unlock", HERE | {"unlock_pin": "2794"}, 422)
    right = shop.fitter.post("/unlock", HERE | {"unlock_pin": PIN}, 204)
    counted_anew = shop.fitter.post("/unlock", HERE | {"unlock_pin": ""}, 422)

    assert wrong.text == "This is not M. Tarrow's PIN on this tablet. Tries left: 4."
    assert right.text == ""
    assert counted_anew.text.endswith("Tries left: 4.")


def test_fifth_wrong_pin_ends_the_quick_way_for_good_and_the_password_still_opens(book: Book, shop: Workshop) -> None:
    shop.fitter.get("/")
    leave_idle(book, shop.fitter)
    page = shop.fitter.follow(shop.fitter.get("/", 303))
    form = form_of(page.text, "/unlock")

    said = [shop.fitter.post("/unlock", form | {"unlock_pin": f"274{n}"}, 422).text for n in range(5)]
    right_too_late = shop.fitter.post("/unlock", HERE | {"unlock_pin": PIN}, 422)
    answer = shop.fitter.post("/unlock", {"unlock_password": PASSWORD, "unlock_then": "/due"})

    assert "Tries left: 1." in said[3]
    assert "5 wrong PINs: the PIN has ended on this tablet. Give the password." in words_of(said[4])
    assert 'name="unlock_pin"' not in said[4]
    assert right_too_late.text == "No PIN opens here. Give the password."
    assert answer.headers["location"] == "/due"
    assert told(book) == [("tablet enrolled", "M. Tarrow", ""), ("tablet ended", "M. Tarrow", "5 wrong PINs")]


def test_pin_signs_nobody_in_signs_nothing_and_opens_on_no_other_tablet(book: Book, shop: Workshop) -> None:
    elsewhere = Visitor(shop.app)
    elsewhere.get("/sign-in")
    signed_in = elsewhere.post("/sign-in", {"name": "M. Tarrow", "password": PIN}, 422)
    elsewhere.sign_in("M. Tarrow")
    other_tablet = elsewhere.post("/unlock", HERE | {"unlock_pin": PIN}, 422)
    as_password = shop.fitter.post("/unlock", HERE | {"unlock_password": PIN}, 422)
    enrol(shop.fitter, status=422, pin_proof=PIN)
    password = {"proof": PIN, "password": "slow-kettle-under-snow", "again": "slow-kettle-under-snow"}
    shop.fitter.post("/people/1/password", password, 422)

    assert "Name and password do not go together." in words_of(signed_in.text)
    assert other_tablet.text == "No PIN opens here. Give the password."
    assert as_password.text == "This is not M. Tarrow's password."


def test_signature_is_given_by_the_password_alone(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    enrol(shop.fitter)

    refused = shop.sign(shop.fitter, "/gauged", 422, password=PIN)

    assert "This is not M. Tarrow&#39;s password." in refused.text
    assert shop.overhaul.signatures == ()


def test_each_person_on_a_shared_tablet_has_a_pin_of_their_own(book: Book, shop: Workshop) -> None:
    tablet = shop.fitter
    tablet.post("/sign-out")
    tablet.sign_in("I. Brandreth")
    not_mine = tablet.post("/unlock", {"unlock_pin": PIN}, 422)
    enrol(tablet, 2, pin_secret="30518", pin_again="30518")

    others = tablet.post("/unlock", {"unlock_here": "yes", "unlock_pin": PIN}, 422)
    own = tablet.post("/unlock", {"unlock_here": "yes", "unlock_pin": "30518"}, 204)

    assert "No PIN opens here" in words_of(not_mine.text)
    assert "I. Brandreth" in others.text
    assert own.status_code == 204


def test_sign_in_that_has_ended_is_opened_by_no_pin(book: Book, shop: Workshop) -> None:
    shop.fitter.post("/sign-out")
    shop.fitter.get("/sign-in")

    answer = shop.fitter.post("/unlock", HERE | {"unlock_pin": PIN})

    assert answer.headers["location"] == "/sign-in"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"pin_secret": "1234", "pin_again": "1234"}, "first PINs that would be tried"),
        ({"pin_secret": "274", "pin_again": "274"}, "A PIN has 4 to 8 digits."),
        ({"pin_again": "2748"}, "The two PINs differ."),
        ({"tablet": " "}, "Name the tablet"),
        ({"pin_proof": "not mine"}, "This is not M. Tarrow"),
    ],
)
def test_what_is_wrong_with_an_enrolment_is_said_and_nothing_is_kept(
    book: Book, typed: dict[str, str], said: str
) -> None:
    shop = Workshop(book)

    page = enrol(shop.fitter, status=422, **typed)

    assert said in words_of(page)
    assert ("" if typed.get("tablet") else 'value="Hall 1"') in page
    assert PIN not in page
    assert told(book) == []


def test_owner_sees_and_ends_a_tablet_and_a_chief_engineer_ends_anybodys(book: Book, shop: Workshop) -> None:
    listed = words_of(shop.fitter.get("/people/1").text)
    shop.fitter.post("/people/1/tablets/1/end")
    enrol(shop.fitter)
    shop.chief.get("/people/1")
    nobody_elses = shop.chief.post("/people/1/tablets", {}, 403)
    shop.chief.post("/people/1/tablets/2/end")

    ended = shop.fitter.post("/unlock", HERE | {"unlock_pin": PIN}, 422)
    assert "Hall 1 this one" in listed
    assert "by its own person alone" in words_of(nobody_elses.text)
    assert ended.text == "No PIN opens here. Give the password."
    assert [(what, who) for what, who, _ in told(book)] == [
        ("tablet enrolled", "M. Tarrow"),
        ("tablet ended", "M. Tarrow"),
        ("tablet enrolled", "M. Tarrow"),
        ("tablet ended", "I. Brandreth"),
    ]


def test_tablet_of_somebody_else_is_not_reached_by_its_number(book: Book, shop: Workshop) -> None:
    enrol(shop.chief, 2)

    shop.fitter.get("/people/1")
    shop.fitter.post("/people/1/tablets/2/end", {}, 404)
    shop.fitter.post("/people/2/tablets/2/end", {}, 403)

    assert [what for what, _, _ in told(book)] == ["tablet enrolled"] * 2


def test_new_password_or_being_kept_out_ends_every_pin(book: Book, shop: Workshop) -> None:
    new = "slow-kettle-under-snow"
    shop.fitter.get("/people/1")
    shop.fitter.post("/people/1/password", {"proof": PASSWORD, "password": new, "again": new})
    enrol(shop.fitter, pin_proof=new)

    shop.keep_out("M. Tarrow")

    assert [why for what, _, why in told(book) if what == "tablet ended"] == ["password changed", "kept out"]


def test_pin_is_kept_as_argon2id_bound_to_its_tablet_and_the_book_verifies(book: Book, shop: Workshop) -> None:
    enrol(shop.fitter)
    with book.reading() as session:
        rows = session.connection().exec_driver_sql("SELECT device_digest, pin_digest FROM tablet").all()
    secret = shop.fitter.client.cookies["wearbook_tablet"]

    assert [device for device, _ in rows] == [token_digest(secret)] * 2
    assert all(pin.startswith("$argon2id$") for _, pin in rows)
    assert rows[0][1] != rows[1][1]
    assert verify_book(book, Settings(data_folder=book.path.parent)).faults == ()
    assert person_named(book, "M. Tarrow").is_active
    exported = shop.chief.get("/exports/book.json").text
    assert secret not in exported
    assert "argon2" not in exported
