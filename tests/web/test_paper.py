"""Tests of typing in a sheet that was filled in by pencil: who measured stays apart from who typed it in."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.store.book import Book
from tests.web.forms import form_of, said_beside, typed_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

PLACE = "2.pin/diameter?paper=J. Penn"
ZONE = ZoneInfo("America/Halifax")


def test_who_measured_and_when_stand_apart_from_who_typed_it_in(book: Book) -> None:
    shop = Workshop(book, site_zone=str(ZONE)).safe()
    local = OPENED_AT.astimezone(ZONE).replace(second=0, microsecond=0)

    shop.key_in(shop.fitter, PLACE, value="21.995", measured_at=local.strftime("%Y-%m-%dT%H:%M"))

    reading = shop.readings[0]
    assert (reading.measured_by, reading.entered_by) == ("J. Penn", "M. Tarrow")
    assert reading.measured_at == local
    assert reading.stored_at > reading.measured_at


def test_record_says_who_typed_the_paper_in(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, PLACE, value="21.995", measured_at=OPENED_AT.strftime("%Y-%m-%dT%H:%M"))

    record = words_of(shop.fitter.get(shop.url("/record")).text)
    assert "JP (typed in by MT)" in record
    assert "JP is J. Penn" in record


def test_paper_goes_on_to_the_next_place_with_the_name_still_there(book: Book) -> None:
    shop = Workshop(book).safe()
    first = shop.fitter.get(shop.url("/gauge?paper=J.+Penn"), 303)
    shop.fitter.follow(first)
    form = form_of(shop.fitter.page, shop.url("/readings"))

    answer = shop.fitter.post(shop.url("/readings"), form | {"findings": "sound", "measured_by": "J. Penn"})

    page = shop.fitter.follow(answer).text
    assert first.headers["location"].endswith("/2.suction-valve/seen?paper=J.+Penn")
    assert typed_in(page, "measured_by") == "J. Penn"


@pytest.mark.parametrize(
    ("measured_at", "said"),
    [
        ("yesterday", "Give date and time as 2026-11-24 14:11."),
        ("0001-01-01T00:00", "Give date and time as 2026-11-24 14:11."),
        ((datetime.now(UTC) + timedelta(days=3)).strftime("%Y-%m-%dT%H:%M"), "This lies in the future."),
    ],
)
def test_time_that_cannot_be_comes_back_beside_its_field_with_everything_else(
    book: Book, measured_at: str, said: str
) -> None:
    shop = Workshop(book, site_zone="Asia/Tokyo").safe()

    answer = shop.key_in(shop.fitter, PLACE, 422, value="21.995", measured_at=measured_at, temperature="24")

    assert said in said_beside(answer.text, "measured_at")
    assert [typed_in(answer.text, name) for name in ("value", "temperature", "measured_by")] == [
        "21.995",
        "24",
        "J. Penn",
    ]
    assert typed_in(answer.text, "measured_at") == measured_at
    assert shop.readings == ()


def test_name_longer_than_a_name_is_refused_beside_its_field(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, PLACE, 422, value="21.995", measured_by="J" * 61)

    assert said_beside(answer.text, "measured_by") == "At most 60 characters."
    assert typed_in(answer.text, "measured_by") == "J" * 61


def test_without_paper_the_person_signed_in_has_measured_now(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.pin/diameter", value="21.995")

    reading = shop.readings[0]
    assert reading.measured_by == "M. Tarrow"
    assert reading.measured_at == reading.stored_at


def test_a_place_chosen_by_hand_stays_with_whoever_measured(book: Book) -> None:
    workshop = Workshop(book).safe()

    page = workshop.fitter.get(workshop.url("/gauge/2.cylinder/bore?paper=R.+Osk")).text

    assert f'href="{workshop.url("/gauge/2.cylinder/seen")}?paper=R.%20Osk"' in page
    assert f'href="{workshop.url("/gauge/2.cylinder/bore")}?level=1&amp;axis=0&amp;paper=R.%20Osk"' in page
