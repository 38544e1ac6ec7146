"""Tests of corrections on the pages: asked where it matters, shown struck through with reason, initials and time."""

from datetime import UTC, datetime, timedelta

from app.store.book import Book
from tests.builders import a_reading, enter
from tests.web.forms import form_of, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

PIN = "2.pin/diameter"


def a_pin_gauged_yesterday(book: Book) -> Workshop:
    shop = Workshop(book).all_gauged()
    enter(book, shop.id, a_reading("2.pin", "diameter", "22.000", OPENED_AT))
    return shop


def test_entry_of_another_person_asks_why_and_keeps_what_was_typed(book: Book) -> None:
    shop = a_pin_gauged_yesterday(book)
    before = len(shop.readings)

    answer = shop.key_in(shop.chief, PIN, 422, value="21,998", correction="")

    assert "M. Tarrow entered 22.000 mm here. Say why it is put right." in words_in(answer.text, "why")
    assert form_of(answer.text, shop.url("/readings"))["value"] == "21,998"
    assert len(shop.readings) == before


def test_reason_chosen_or_in_own_words_is_kept_and_shown_with_what_is_struck_through(book: Book) -> None:
    shop = a_pin_gauged_yesterday(book)
    answer = shop.key_in(shop.chief, PIN, 422, value="21.998", correction="")
    form = form_of(answer.text, shop.url("/readings"))

    shop.chief.post(shop.url("/readings"), form | {"correction_words": "dirt on the anvil"}, 303)

    assert shop.readings[-1].correction == "dirt on the anvil"
    for page in ("/overhauls/1/record", "/machines/GA-1/history?part=2.pin&characteristic=diameter"):
        words = words_of(shop.auditor.get(page).text)
        assert "dirt on the anvil" in words
        assert "IB" in words or "I. B." in words
    export = shop.auditor.get(shop.url("/export.csv")).content.decode()
    assert "dirt on the anvil" in export


def test_own_entry_of_a_moment_ago_is_put_right_without_a_word(book: Book) -> None:
    shop = Workshop(book).safe()
    for value in ("22.000", "21.998"):
        shop.key_in(shop.fitter, PIN, value=value, correction="")

    assert [reading.correction for reading in shop.readings] == ["", ""]
    assert "no reason asked for" in words_of(shop.fitter.get(shop.url("/record")).text)


def test_reason_stands_only_with_what_was_put_right(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, PIN, value="22.000", correction="misread")

    assert shop.readings[0].correction == ""


def test_own_entry_put_right_without_network_counts_by_the_moment_it_was_made(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    enter(book, shop.id, a_reading("2.pin", "diameter", "22.000", datetime.now(UTC) - timedelta(hours=2)))

    answer = shop.key_in(shop.fitter, PIN, 422, value="21.998", correction="", age="60")
    shop.key_in(shop.fitter, PIN, value="21.998", correction="", age=str(110 * 60))

    assert "You entered 22.000 mm here. Say why it is put right." in words_in(answer.text, "why")
    assert shop.readings[-1].written == "21.998 mm"
