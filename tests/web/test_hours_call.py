"""Tests of the call by which a plant system sends hours: who is let in, what is kept, what is asked, how often."""

import json
from datetime import UTC, datetime, timedelta

from httpx2 import Response

from app.actions.meter import meter_of
from app.store.book import Book
from app.store.chain import list_entries
from tests.builders import a_machine
from tests.web.forms import words_in
from tests.web.visitor import Visitor, a_chief, words_of

NOW = datetime.now(UTC).replace(microsecond=0)
CALL = "/api/machines/GA-1/hours"


class Plant:
    """A plant system with a token that a chief engineer made on the page."""

    def __init__(self, book: Book, machine: str = "") -> None:
        for tag, sheet in (("GA-1", "QM-GA"), ("BA-1", "QM-BA")):
            a_machine(book, tag, "2000", NOW - timedelta(days=40), sheet)
        self.chief = a_chief(book)
        self.chief.get("/hours")
        made = self.chief.post("/hours/tokens", {"name": "plant control", "machine": machine}, 200)
        self.secret = words_in(made.text, "secret")
        self.client = Visitor(self.chief.client.app).client  # type: ignore[arg-type]

    def call(self, body: object, path: str = CALL, secret: str | None = None) -> Response:
        """Send a reading."""
        content = body if isinstance(body, bytes) else json.dumps(body).encode()
        headers = {"authorization": f"Bearer {self.secret if secret is None else secret}"}
        return self.client.post(path, content=content, headers=headers)


def at(days: float) -> str:
    """A moment so many days ago, as a call writes it."""
    return (NOW - timedelta(days=days)).isoformat()


def hours(book: Book) -> list[tuple[str, str]]:
    """The hours that count, and where they came from."""
    return [(str(each.hours), each.source) for each in meter_of(book, "GA-1").readings]


def test_a_reading_is_kept_once_however_often_it_is_sent(book: Book) -> None:
    plant = Plant(book)

    answers = [plant.call({"hours": 2210.5, "read_at": at(1)}) for _ in range(3)]

    assert [answer.status_code for answer in answers] == [201, 200, 200]
    assert answers[0].json() == {"operating_hours": "2210.5", "is_new": True}
    assert answers[1].json() == {"operating_hours": "2210.5", "is_new": False}
    assert hours(book) == [("2000", ""), ("2210.5", "call")]
    with book.reading() as session:
        assert list_entries(session)[0].person == "plant control"


def test_a_call_without_a_moment_is_read_now(book: Book) -> None:
    plant = Plant(book)

    assert plant.call({"hours": "2300"}).status_code == 201

    last = meter_of(book, "GA-1").last
    assert last is not None
    assert abs(last.read_at - datetime.now(UTC)) < timedelta(minutes=5)


ASKED = [
    ({"hours": 1999, "read_at": at(1)}, "went down"),
    ({"hours": 9000, "read_at": at(1)}, "faster than the clock"),
    ({"hours": 2100, "read_at": at(-2)}, "in the future"),
    ({"hours": 2001, "read_at": at(40)}, "two on one day"),
]


def test_what_cannot_be_comes_back_as_a_question_and_nothing_is_stored(book: Book) -> None:
    plant = Plant(book)

    for body, doubt in ASKED:
        answer = plant.call(body)

        assert (answer.status_code, answer.json()["doubt"]) == (409, doubt)
        assert answer.json()["question"]
        assert hours(book) == [("2000", "")]


NOT_PLAIN = [
    (b"hours=2100", "body"),
    (b"[2100]", "body"),
    (b"\xff", "body"),
    (b"[" * 4000, "body"),
    ({}, "hours"),
    ({"hours": "2,100.5"}, "hours"),
    ({"hours": True}, "hours"),
    (b'{"hours": NaN}', "hours"),
    (b'{"hours": 1e400}', "hours"),
    ({"hours": 2100, "read_at": "2026-11-24"}, "read_at"),
    ({"hours": 2100, "read_at": "2026-11-24T06:00:00"}, "read_at"),
    ({"hours": 2100, "read_at": 7}, "read_at"),
    ({"hours": 2100, "read_at": "0001-01-01T00:00:00+23:00"}, "read_at"),
    ({"hours": 2100, "hour": 7}, "hour"),
]


def test_a_body_that_says_nothing_plain_is_refused_by_its_field(book: Book) -> None:
    plant = Plant(book)

    for body, field in NOT_PLAIN:
        answer = plant.call(body)

        assert answer.status_code == 422
        assert field in answer.json()["errors"]
        assert hours(book) == [("2000", "")]


def test_only_a_token_in_use_lets_a_call_in_and_only_at_its_machine(book: Book) -> None:
    plant = Plant(book, machine="GA-1")
    body = {"hours": 2100, "read_at": at(1)}

    other = plant.call(body, "/api/machines/BA-1/hours")
    nobody = [plant.call(body, secret=secret).status_code for secret in ("", "guessed", f"{plant.secret}x")]
    bare = plant.client.post(CALL, json=body).status_code
    mine = plant.call(body).status_code

    assert (other.status_code, other.json()) == (403, {"error": "This token is for GA-1 alone."})
    assert [*nobody, bare, mine] == [401, 401, 401, 401, 201]


def test_an_unknown_machine_is_not_there(book: Book) -> None:
    assert Plant(book).call({"hours": 2100}, "/api/machines/XX-9/hours").status_code == 404


def test_a_token_is_shown_once_kept_as_a_digest_and_ended_by_hand(book: Book) -> None:
    plant = Plant(book)
    twice = plant.chief.post("/hours/tokens", {"name": "plant control"}, 422)
    nameless = plant.chief.post("/hours/tokens", {"name": " "}, 422)

    page = plant.chief.get("/hours").text
    plant.chief.post("/hours/tokens/1/end")
    plant.chief.post("/hours/tokens/1/end")

    assert len(plant.secret) >= 40
    assert "A token of this name is in use." in words_of(twice.text)
    assert "Name the system that will use it" in words_of(nameless.text)
    assert plant.secret not in page
    assert plant.secret.encode() not in book.path.read_bytes() + book.path.with_name("wearbook.db-wal").read_bytes()
    assert plant.call({"hours": 2100}).status_code == 401
    assert "ended" in words_of(plant.chief.get("/hours").text)
    with book.reading() as session:
        assert [entry.what for entry in list_entries(session)[:2]] == ["token ended", "token made"]


def test_too_many_calls_a_minute_are_told_to_wait(book: Book) -> None:
    plant = Plant(book)

    statuses = [plant.call({"hours": 2100, "read_at": at(1)}).status_code for _ in range(61)]
    last = plant.call({"hours": 2100, "read_at": at(1)})
    guesses = [plant.call({}, secret="guessed").status_code for _ in range(61)]

    assert statuses == [201, *[200] * 59, 429]
    assert 0 < int(last.headers["retry-after"]) <= 61
    assert guesses == [*[401] * 60, 429]
