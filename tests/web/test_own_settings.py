"""Tests of a person's own settings: theirs on every tablet, and the unit that their pages show and take first."""

import pytest

from app.store.book import Book
from tests.builders import an_app
from tests.web.forms import said_beside
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

PIN = "2.pin/diameter"


def test_settings_are_a_persons_own_on_every_tablet_they_sign_in_on(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get("/settings")
    shop.fitter.post("/settings", {"text": "large", "keys": "glove", "hand": "left"})

    elsewhere = Visitor(an_app(book)).sign_in("M. Tarrow")
    elsewhere.get("/")
    shop.chief.get("/")

    assert 'data-hand="left" data-text="large" data-keys="glove"' in elsewhere.page
    assert 'data-hand="right" data-text="usual" data-keys="usual"' in shop.chief.page


def test_settings_lead_back_to_the_page_they_were_reached_from(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.client.headers["referer"] = "http://testserver/machines/GA-1"
    shop.fitter.get("/settings")

    answer = shop.fitter.post("/settings", {"then": "/machines/GA-1", "text": "large"})

    assert 'name="then" value="/machines/GA-1"' in shop.fitter.page
    assert answer.headers["location"] == "/machines/GA-1?done=settings"
    assert "Your settings are kept." in words_of(shop.fitter.follow(answer).text)


@pytest.mark.parametrize("strange", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example"])
def test_settings_never_lead_out_of_the_book(book: Book, strange: str) -> None:
    shop = Workshop(book)
    shop.fitter.client.headers["referer"] = strange
    shop.fitter.get("/settings")

    answer = shop.fitter.post("/settings", {"then": strange, "text": "large"})

    assert 'name="then" value="/"' in shop.fitter.page
    assert answer.headers["location"] == "/?done=settings"


def test_choice_that_is_not_offered_is_refused_and_nothing_is_kept(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get("/settings")

    shop.fitter.post("/settings", {"text": "huge", "keys": "glove"}, 422)

    assert said_beside(shop.fitter.page, "text") == "Choose one of those offered."
    assert 'data-keys="usual"' in shop.fitter.get("/").text


def test_light_comes_with_the_person_to_another_tablet(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get("/settings")
    shop.fitter.post("/settings", {"light": "engine"})

    elsewhere = Visitor(an_app(book)).sign_in("M. Tarrow")

    assert 'data-room="engine"' in shop.fitter.get("/").text
    assert 'data-room="engine"' in elsewhere.get("/").text


def test_light_left_to_the_device_forgets_the_one_chosen_before(book: Book) -> None:
    shop = Workshop(book)
    shop.fitter.get("/settings")
    shop.fitter.post("/settings", {"light": "engine"})
    shop.fitter.post("/settings", {"light": "device"})

    assert 'data-room="day"' in shop.fitter.get("/").text
    assert "room" not in shop.fitter.client.cookies


def test_number_alone_is_taken_in_the_unit_that_the_field_shows(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.fitter.get("/settings")
    shop.fitter.post("/settings", {"unit": "in"})

    shop.fitter.get(shop.url(f"/gauge/{PIN}"))
    shown = shop.fitter.page
    shop.key_in(shop.fitter, PIN, value="0.8662")

    assert "<i>in</i>" in shown
    assert shop.readings[0].written == "0.8662 in"
    assert str(shop.readings[0].size_mm) == "22.00148"


def test_what_is_kept_in_millimetres_is_shown_in_inches_beside_them(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, PIN, value="21.90")
    shop.fitter.get("/settings")
    shop.fitter.post("/settings", {"unit": "in"})

    said = words_of(shop.fitter.get(shop.url(f"/gauge/{PIN}")).text)

    assert "21.90 mm (0.862205 in)" in said
    assert shop.readings[0].written == "21.90 mm"


def test_size_a_dial_is_set_to_is_given_in_the_unit_of_its_field(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.fitter.get("/settings")
    shop.fitter.post("/settings", {"unit": "in"})

    shop.fitter.get(shop.url("/gauge/2.cylinder/bore?how=dial"))

    assert "Dial, from 3.070866" in words_of(shop.fitter.page)
