"""Tests of entries that many tablets send in the same moment: each is answered as if it had come alone."""

import asyncio
from typing import Any

import httpx2
import pytest

from app.actions import keeping
from app.store.book import Book, Writing
from app.store.chain import verify_chain
from app.web import gauging, sent_entries
from tests.web.forms import form_of
from tests.web.test_tablet import an_entry
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

LEVELS = 3


@pytest.fixture
def shop(book: Book) -> Workshop:
    """Stage 2 made safe."""
    return Workshop(book).safe()


def of_place(shop: Workshop, place: str, **typed: str) -> dict[str, object]:
    """The form of a place, filled in by the fitter."""
    maker = an_entry(shop, shop.fitter)["maker"]
    return form_of(shop.fitter.get(shop.url(f"/gauge/{place}")).text, shop.url("/readings")) | {"maker": maker} | typed


def bores(shop: Workshop) -> list[dict[str, object]]:
    """An entry for each place of the bore."""
    places = [f"2.cylinder/bore?level={level}&axis={axis}" for level in range(LEVELS) for axis in range(2)]
    return [of_place(shop, place, value="78.01") for place in places]


def send_at_once(shop: Workshop, visitor: Visitor, entries: list[dict[str, object]]) -> list[httpx2.Response]:
    """Send entries as tablets do, none waiting for another."""

    async def send() -> list[httpx2.Response]:
        transport = httpx2.ASGITransport(app=visitor.client.app, raise_app_exceptions=False)  # type: ignore[arg-type]
        cookies = dict(visitor.client.cookies)
        async with httpx2.AsyncClient(transport=transport, base_url="http://testserver", cookies=cookies) as client:
            path = "/tablet" + shop.url("/readings")
            return await asyncio.gather(*(client.post(path, data=entry) for entry in entries))

    return asyncio.run(send())


def test_every_entry_is_kept_once_and_leads_on(shop: Workshop) -> None:
    entries = bores(shop)

    answers = send_at_once(shop, shop.fitter, [*entries, *entries])

    assert {answer.status_code for answer in answers} == {200}
    assert [answer.json()["state"] for answer in answers] == ["kept"] * len(entries) * 2
    assert {answer.json()["next"].split("kept=")[1] for answer in answers} == {entry["id"] for entry in entries}
    assert sorted(reading.id for reading in shop.readings) == sorted(str(entry["id"]) for entry in entries)


def test_entries_that_are_held_share_what_they_have_in_common(shop: Workshop) -> None:
    entries = bores(shop)
    for name, sent in (("first", entries[0]), ("again", entries[0]), ("beside", entries[1])):
        send_at_once(shop, shop.fitter, [sent | {"id": f"{name}-of-a-tablet", "instrument": "BG-03"}])

    first, again, beside = shop.readings

    assert again.place is first.place
    for name in ("entered_by", "measured_by", "instrument", "value", "set_size"):
        assert getattr(first, name) is getattr(again, name) is getattr(beside, name), name


def test_what_is_refused_among_others_comes_back_with_its_page_and_the_others_are_kept(shop: Workshop) -> None:
    entries = bores(shop)
    entries[2]["value"], entries[4]["maker"] = "780.1", "4711"

    answers = send_at_once(shop, shop.fitter, entries)

    assert [answer.status_code for answer in answers] == [200, 200, 422, 200, 409, 200]
    assert 'value="780.1"' in answers[2].json()["page"]
    assert "cannot be" in words_of(answers[2].json()["page"])
    assert len(shop.readings) == len(entries) - 2


def test_without_the_token_of_a_form_nothing_is_kept(shop: Workshop) -> None:
    entries = [entry | {"csrf": "00"} for entry in bores(shop)]

    assert {answer.status_code for answer in send_at_once(shop, shop.fitter, entries)} == {403}
    assert shop.readings == ()


def test_an_ended_sign_in_keeps_nothing(shop: Workshop) -> None:
    entries = bores(shop)
    shop.fitter.post("/sign-out")

    assert {answer.status_code for answer in send_at_once(shop, shop.fitter, entries)} == {401}
    assert shop.readings == ()


def test_what_goes_wrong_after_one_was_kept_is_told_to_its_own_tablet_alone(
    shop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    entries = bores(shop)
    lead_on = gauging.next_href

    def fail_at_one(kept: keeping.Kept, paper: str) -> str:
        if kept.reading.id == entries[3]["id"]:
            raise RuntimeError("nobody foresaw this")
        return lead_on(kept, paper)

    monkeypatch.setattr(gauging, "next_href", fail_at_one)
    monkeypatch.setattr(sent_entries, "next_href", fail_at_one)

    answers = send_at_once(shop, shop.fitter, entries)

    assert [answer.status_code for answer in answers] == [200, 200, 200, 500, 200, 200]
    assert sorted(reading.id for reading in shop.readings) == sorted(str(entry["id"]) for entry in entries)


def test_one_that_nobody_foresaw_fails_alone(shop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    entries = bores(shop)
    add = keeping.add_reading

    def fail_at_one(writing: Writing, overhaul_id: int, reading: Any) -> None:
        add(writing, overhaul_id, reading)
        if reading.id == entries[3]["id"]:
            raise RuntimeError("nobody foresaw this")

    monkeypatch.setattr(keeping, "add_reading", fail_at_one)

    answers = send_at_once(shop, shop.fitter, entries)

    assert [answer.status_code for answer in answers] == [200, 200, 200, 500, 200, 200]
    assert str(entries[3]["id"]) not in {reading.id for reading in shop.readings}
    assert len(shop.readings) == len(entries) - 1
    with shop.book.reading() as session:
        assert verify_chain(session) is None
