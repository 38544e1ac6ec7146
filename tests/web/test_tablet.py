"""What a tablet sends from its own queue: kept once, refused with the reason, and never under another's name."""

from datetime import UTC, datetime, timedelta

import pytest

from app.store.book import Book
from tests.store.builders import statements_of
from tests.web.forms import form_of
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

PLACE = "/gauge/2.pin/diameter"


@pytest.fixture
def shop(book: Book) -> Workshop:
    """Stage 2 made safe."""
    return Workshop(book).safe()


def an_entry(shop: Workshop, visitor: Visitor, **typed: str) -> dict[str, object]:
    """The form of a place as its page gives it, filled in, with who is signed in as its maker."""
    page = visitor.get(shop.url(PLACE)).text
    maker = page.split('data-person="')[1].split('"')[0]
    return form_of(page, shop.url("/readings")) | {"value": "21.99", "maker": maker} | typed


def send(shop: Workshop, visitor: Visitor, entry: dict[str, object]) -> tuple[int, dict[str, str]]:
    """Send an entry as the queue does."""
    answer = visitor.client.post("/tablet" + shop.url("/readings"), data=entry)
    return answer.status_code, answer.json()


def test_entry_is_kept_once_however_often_it_is_sent(shop: Workshop) -> None:
    entry = an_entry(shop, shop.fitter)

    answers = [send(shop, shop.fitter, entry) for _ in range(3)]

    assert {status for status, _ in answers} == {200}
    assert {answer["state"] for _, answer in answers} == {"kept"}
    assert answers[0][1]["next"].startswith(shop.url("/gauge/"))
    assert [reading.written for reading in shop.readings] == ["21.99 mm"]


def test_time_measured_is_when_it_was_kept_on_the_tablet(shop: Workshop) -> None:
    send(shop, shop.fitter, an_entry(shop, shop.fitter, age="5400"))

    (reading,) = shop.readings
    assert reading.stored_at - reading.measured_at == timedelta(seconds=5400)


@pytest.mark.parametrize("age", ["", "-5", "soon", "1e9", "999999999"])
def test_age_that_is_none_counts_as_just_now(shop: Workshop, age: str) -> None:
    send(shop, shop.fitter, an_entry(shop, shop.fitter, age=age))

    (reading,) = shop.readings
    assert datetime.now(UTC) - reading.measured_at < timedelta(minutes=5)


def test_nobody_takes_over_what_another_made(shop: Workshop) -> None:
    entry = an_entry(shop, shop.fitter)
    other = an_entry(shop, shop.chief)

    status, answer = send(shop, shop.chief, other | {"maker": entry["maker"]})

    assert (status, answer) == (409, {"state": "another"})
    assert shop.readings == ()


def test_without_a_sign_in_the_entry_has_to_wait(shop: Workshop) -> None:
    entry = an_entry(shop, shop.fitter)
    shop.fitter.client.cookies.delete("wearbook")

    status, answer = send(shop, shop.fitter, entry)

    assert (status, answer) == (401, {"state": "sign-in", "at": "/sign-in"})
    assert shop.readings == ()


def test_refused_figure_comes_back_with_the_page_that_says_why(shop: Workshop) -> None:
    status, answer = send(shop, shop.fitter, an_entry(shop, shop.fitter, value="2199"))

    assert (status, answer["state"]) == (422, "refused")
    assert "cannot be" in words_of(answer["page"])
    assert 'value="2199"' in answer["page"]


def test_entry_after_the_signature_is_refused_with_its_reason_and_one_stored_before_is_not(shop: Workshop) -> None:
    late, early = an_entry(shop, shop.fitter), an_entry(shop, shop.fitter)
    send(shop, shop.fitter, early)
    shop.decided()

    refused, again = send(shop, shop.fitter, late), send(shop, shop.fitter, early)

    assert (refused[0], refused[1]["state"]) == (409, "refused")
    assert "signed" in refused[1]["reason"].lower()
    assert again[1]["state"] == "kept"


def test_entry_for_a_part_that_is_not_there_is_refused_with_its_reason(shop: Workshop) -> None:
    status, answer = send(shop, shop.fitter, an_entry(shop, shop.fitter, part="9.ring-1"))

    assert (status, answer["state"]) == (409, "refused")
    assert "9.ring-1" in answer["reason"]


def test_auditor_sends_nothing(shop: Workshop) -> None:
    entry = an_entry(shop, shop.fitter)
    shop.auditor.get("/")
    maker = shop.auditor.page.split('data-person="')[1].split('"')[0]

    status, answer = send(shop, shop.auditor, entry | {"csrf": shop.auditor.csrf, "maker": maker})

    assert (status, answer["state"]) == (409, "refused")
    assert answer["reason"]
    assert shop.readings == ()


def test_page_says_where_the_hand_may_go_without_the_server(shop: Workshop) -> None:
    page = shop.fitter.get(shop.url("/gauge/2.ring-1/closed-gap")).text

    here = page.split('data-here="')[1].split('"')[0]
    left = page.split('data-left="')[1].split('"')[0].split(" ")

    assert here == shop.url("/gauge/2.ring-1/closed-gap")
    assert here not in left
    assert left[0] == shop.url("/gauge/2.ring-1/seen")
    assert len(left) == len(set(left)) > 20


def test_page_of_the_tablet_opens_for_anybody(shop: Workshop) -> None:
    visitor = Visitor(shop.app)

    visitor.get("/on-this-tablet")

    assert "without one nothing is kept here" in words_of(visitor.page)


def test_worker_is_a_script_that_is_asked_for_anew_each_time(shop: Workshop) -> None:
    answer = shop.fitter.client.get("/worker.js")

    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"


def test_keeping_an_entry_takes_one_transaction(shop: Workshop) -> None:
    entries = [an_entry(shop, shop.fitter, id=f"entry-of-{number}", correction="gauged again") for number in "12"]
    send(shop, shop.fitter, entries[0])  # the first reads the overhaul

    said = [statement for statement, _ in statements_of(lambda: send(shop, shop.fitter, entries[1]), "BEGIN", "SELECT")]

    assert [reading.id for reading in shop.readings][-1] == "entry-of-2"
    assert [each for each in said if each.startswith("BEGIN")] == ["BEGIN IMMEDIATE"]
    assert len(said) <= 10, said
