"""Chapter 16: what failed is logged with who, where and when, without a secret; numbers from memory of ASVS 5.0.0."""

import json
import logging
import re

import pytest

from app.serving.log import OneLine
from app.store.book import Book
from tests.builders import PASSWORD, a_person, an_app
from tests.web.visitor import Visitor, a_visitor
from tests.web.workshop import Workshop


def lines(caplog: pytest.LogCaptureFixture) -> list[str]:
    """What the server would have written."""
    return [OneLine().format(record) for record in caplog.records if record.name == "wearbook"]


def test_16_3_1_and_16_2_5_wrong_sign_in_is_logged_with_its_place_and_without_what_was_typed(
    book: Book, caplog: pytest.LogCaptureFixture
) -> None:
    a_person(book)
    visitor = Visitor(an_app(book))
    visitor.get("/sign-in")

    for name in ("M. Tarrow", "a password typed as a name"):
        visitor.post("/sign-in", {"name": name, "password": "a wrong password"}, 422)
    visitor.post("/sign-in", {"name": "M. Tarrow", "password": PASSWORD})

    written = lines(caplog)
    assert [line.split("wearbook: ")[1] for line in written] == [
        "sign-in refused: M. Tarrow from testclient",
        "sign-in refused: somebody unknown from testclient",
    ]
    assert not [line for line in written if "password" in line]


def test_16_3_1_sign_in_is_kept_with_its_moment_device_and_address(book: Book) -> None:
    visitor = a_visitor(book)

    with book.reading() as session:
        (row,) = session.connection().exec_driver_sql("SELECT created_at, device, address FROM sign_in").all()

    assert row[0]
    assert row[1:] == (visitor.client.headers["user-agent"], "testclient")


def test_16_3_1_wrong_password_for_a_signature_is_logged(book: Book, caplog: pytest.LogCaptureFixture) -> None:
    shop = Workshop(book).all_gauged()

    shop.sign(shop.fitter, "/gauged", 422, password="not this one")

    assert lines(caplog)[0].endswith("wrong password of M. Tarrow, signed in as M. Tarrow")


def test_16_3_2_what_a_role_may_not_do_is_logged_with_who_tried(book: Book, caplog: pytest.LogCaptureFixture) -> None:
    visitor = a_visitor(book)

    visitor.get("/sheets/import", 403)

    assert lines(caplog)[0].endswith("refused: GET /sheets/import, M. Tarrow from testclient: NotAllowed")


def test_16_2_1_and_16_2_2_every_line_begins_with_its_moment_in_utc() -> None:
    record = logging.LogRecord("wearbook", logging.WARNING, "", 0, "said %s", ("so",), None)

    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z WARNING wearbook: said so", OneLine().format(record))


def test_16_4_1_nothing_that_is_sent_begins_a_line_of_a_log(book: Book, caplog: pytest.LogCaptureFixture) -> None:
    shop = Workshop(book)
    shop.keep_out("R. Osk")

    shop.fitter.client.get("/people/2?x=%0a2031-01-01T00:00:00Z%20ERROR%20forged")
    shop.fitter.client.get("/drafts/new%0d%0aforged")
    shop.auditor.client.get("/search?q=%0a{}%0a")

    assert lines(caplog)
    assert not [line for line in lines(caplog) if re.search(r"[\r\n\x85\u2028]", line)]
    assert all(json.loads(line) for line in shop.app.state.reads.path.read_text(encoding="utf-8").splitlines())


def test_16_2_5_no_address_that_lets_somebody_in_stands_in_the_log(
    book: Book, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    visitor = a_visitor(book)
    visitor.client._transport.raise_server_exceptions = False  # type: ignore[attr-defined] # as a server answers
    monkeypatch.setattr("app.web.due.calendar_plan", None)

    visitor.client.get("/due/calendar/the-secret.ics")

    assert "unforeseen at GET /due/calendar/...\n" in lines(caplog)[0]


def test_16_5_4_and_3_4_3_answer_to_what_nobody_foresaw_is_guarded_as_any_other(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    visitor = a_visitor(book)
    visitor.client._transport.raise_server_exceptions = False  # type: ignore[attr-defined] # as a server answers
    monkeypatch.setattr("app.web.people.everybody", None)

    broken, whole = visitor.client.get("/people"), visitor.client.get("/")

    guarding = ("content-security-policy", "x-content-type-options", "referrer-policy", "cache-control")
    assert broken.status_code == 500
    assert {name: broken.headers.get(name) for name in guarding} == {name: whole.headers[name] for name in guarding}
