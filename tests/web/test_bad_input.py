"""Tests of what is no number: on every number field it is refused beside the field and still typed there."""

from collections.abc import Callable, Iterable

import pytest

from app.actions.machines import machine_state
from app.domain.readings import SEEN
from app.store.book import Book
from tests.builders import PASSWORD, a_machine, a_reading
from tests.web.forms import form_of, said_beside, typed_in
from tests.web.visitor import a_visitor
from tests.web.workshop import BEFORE, OPENED_AT, Workshop

NO_NUMBER = (
    "abc", "1,234.5", "1.2.3", "nan", "inf", "1e400", "1e3", "9**9**9", "7" * 10_000, "0.7 kg", "--1", "0x10", "½", "٣",
    "1 2", "<b>1</b>", "1\0",
)  # fmt: skip
SIGNED = ("-0.5", "+0.5", "−0.5")
Send = Callable[[str], tuple[int, str]]


def kept_wrongly(send: Send, field: str, values: Iterable[str]) -> list[str]:
    """Send each value; give those that are not refused beside their field with what was typed still in it."""
    wrong = []
    for typed in values:
        status, page = send(typed)
        shown = typed_in(page, field) if status == 422 else ""
        if status != 422 or not said_beside(page, field) or shown != typed.replace("\0", "\ufffd"):
            wrong.append(typed[:20])
    return wrong


def at_a_place(shop: Workshop, place: str, how: str, field: str, **others: str) -> Send:
    """Send one entry of a gauging page with this field filled."""
    shop.fitter.get(shop.url(f"/gauge/{place}?how={how}"))
    form = form_of(shop.fitter.page, shop.url("/readings")) | others

    def send(typed: str) -> tuple[int, str]:
        answer = shop.fitter.client.post(shop.url("/readings"), data=form | {field: typed})
        return answer.status_code, answer.text

    return send


@pytest.mark.parametrize(
    ("place", "how", "field", "others", "values"),
    [
        ("2.ring-1/closed-gap", "size", "value", {}, (*NO_NUMBER, *SIGNED, "", "78.01", "79")),
        ("2.cylinder/bore", "size", "value", {}, (*NO_NUMBER, *SIGNED, "", "39.00", "780")),
        ("2.ring-1/closed-gap", "pair", "goes", {}, (*NO_NUMBER, *SIGNED, "", "79")),
        ("2.ring-1/closed-gap", "pair", "does_not_go", {"goes": "0.60"}, (*NO_NUMBER, *SIGNED, "79", "0.60", "0.55")),
        ("2.cylinder/bore", "dial", "value", {}, (*NO_NUMBER, "", "-39.00", "+40", "78.00")),
        ("2.cylinder/bore", "dial", "set_size", {"value": "+0.02"}, (*NO_NUMBER, *SIGNED, "", "39.00", "780")),
        ("2.pin/diameter", "size", "temperature", {"value": "21.995"}, (*NO_NUMBER, "24 °C", "-60", "200")),
    ],
)
def test_entry_of_no_number_or_of_an_impossible_size_is_refused(
    book: Book, place: str, how: str, field: str, others: dict[str, str], values: tuple[str, ...]
) -> None:
    shop = Workshop(book).safe()

    wrong = kept_wrongly(at_a_place(shop, place, how, field, **others), field, values)

    assert wrong == []
    assert shop.readings == ()


def test_every_refused_field_of_an_entry_is_named_at_once(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, "2.cylinder/bore", 422, how="dial", value="x", set_size="y", temperature="z",
                         instrument="i" * 61)  # fmt: skip

    assert all(said_beside(answer.text, name) for name in ("value", "set_size", "temperature", "instrument"))


def test_opening_hours_of_no_number_are_refused(book: Book) -> None:
    a_machine(book, at=BEFORE)
    fitter = a_visitor(book)
    fitter.get("/machines/GA-1/open")
    form = form_of(fitter.page, "/machines/GA-1/open")

    def send(typed: str) -> tuple[int, str]:
        answer = fitter.client.post("/machines/GA-1/open", data=form | {"hours": typed})
        return answer.status_code, answer.text

    wrong = kept_wrongly(send, "hours", (*NO_NUMBER, *SIGNED, "", "1999.9", "9999999", "2300 h"))

    assert wrong == []
    assert machine_state(book, "GA-1").overhauls == ()


def test_end_of_a_concession_of_no_number_is_refused(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "diameter", "21.960", OPENED_AT))
    shop.chief.get(shop.url("/decide?item=2.pin"))
    form = form_of(shop.chief.page, shop.url("/decisions")) | {"verdict": "reuse", "reason": "Good enough for now."}
    form |= {"second_person": "R. Osk", "second_password": PASSWORD}

    def send(typed: str) -> tuple[int, str]:
        answer = shop.chief.client.post(shop.url("/decisions"), data=form | {"until_hours": typed})
        return answer.status_code, answer.text

    wrong = kept_wrongly(send, "until_hours", (*NO_NUMBER, *SIGNED, "", "2300", "1", "9999999", "3000 h"))

    assert wrong == []
    assert shop.overhaul.decisions == ()


def test_size_made_to_of_no_number_or_impossible_for_the_bore_is_refused(book: Book) -> None:
    shop = Workshop(book).decided(a_reading("2.cylinder", SEEN, "scuffed", OPENED_AT))
    url = shop.url("/fittings/2.cylinder")
    form = form_of(shop.fitter.get(url).text, url)

    def send(typed: str) -> tuple[int, str]:
        answer = shop.fitter.client.post(url, data=form | {"made_to": typed})
        return answer.status_code, answer.text

    wrong = kept_wrongly(send, "made_to", (*NO_NUMBER, *SIGNED, "", "0", "39.00", "780"))

    assert wrong == []
    assert shop.overhaul.fittings == ()


def test_what_no_page_can_show_is_marked_in_what_is_kept(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.pin/seen", findings="scored", reason="dry\x01bush\0")

    assert shop.readings[0].reason == "dry\ufffdbush\ufffd"


def test_markup_typed_into_a_note_stays_text(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.pin/seen", findings="scored", reason="<script>alert(1)</script>")

    page = shop.fitter.get(shop.url("/gauge/2.pin/seen")).text
    assert "&lt;script&gt;alert(1)" in page
    assert "<script>alert" not in page
