"""Pages of a book of a hundred thousand and of ten million readings, against the raw query for the rows they show."""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from functools import partial
from itertools import count

import uvicorn

from app.actions import due_plan
from app.actions.people import sign_in
from app.application import create_app
from app.serving.runtime import settle
from app.settings import Settings
from app.store.book import Book
from tests.benchmarks.big_book import a_big_book
from tests.benchmarks.figures import Figure, in_turn, timed_ms
from tests.benchmarks.processes import Client
from tests.builders import PASSWORD
from tests.house.readme import free_port

SMALL, LARGE = 10, 1000
ROUNDS = 7
PART, KEY = "2.ring-1", "closed-gap"
SHOWN = (
    "SELECT o.number, o.hours, r.* FROM overhaul o JOIN reading r ON r.overhaul_id = o.id "
    "WHERE o.machine_id = ? AND r.part = ? AND r.characteristic = ? ORDER BY o.number, r.seq"
)
OF_MACHINE = "SELECT r.* FROM overhaul o JOIN reading r ON r.overhaul_id = o.id WHERE o.machine_id = ?"
DUE = (
    "SELECT m.*, h.hours, h.read_at FROM machine m JOIN meter_reading h ON h.machine_id = m.id "
    "ORDER BY m.tag, h.read_at",
    "SELECT o.id, o.machine_id, o.number, o.hours, o.stages, o.has_rings, max(s.at) FROM overhaul o "
    "JOIN signature s ON s.overhaul_id = o.id GROUP BY o.id",
)


def pages() -> list[Figure]:
    """Measure in both books, and how much more the large one takes."""
    small, large = _measured(SMALL), _measured(LARGE)
    figures = [
        Figure(f"history page, {10_000 * machines:,} readings, {how}", page, raw, "ms", 3)
        for machines, found in ((SMALL, small), (LARGE, large))
        for how, page, raw in (
            ("first time, against all readings of its machine", found["new"], found["raw machine"]),
            ("again, against all readings of its machine", found["again"], found["raw machine"]),
            ("again, against the rows it shows", found["again"], found["raw shown"]),
        )
    ]
    for how, name in (("first time", "new"), ("again", "again")):
        title = f"growth of the history page, {how}, to 10 million readings"
        figures.append(Figure(title, large[name], small[name], "ms", 1.2))
    for how, name in (("first time", "new due"), ("again", "due")):
        title = f"due page, 1,000 machines, without looking ahead at wear, {how}"
        figures.append(Figure(title, large[name], large["raw due"], "ms", 3))
    return figures


def _measured(machines: int) -> dict[str, float]:
    """Ask for the pages and the raw rows in turn; each first time is of another machine."""
    settings = a_big_book(machines)
    tags = (1 + number * 7 % machines for number in count())
    with _serving(settings) as (client, book), closing(sqlite3.connect(settings.book_path)) as connection:
        history, due = partial(_history_ms, client), partial(_due_ms, client, book)
        raw = partial(_raw_ms, connection)
        history(1), client.get("/due")
        asked: dict[str, Callable[[], float]] = {
            "new": lambda: history(next(tags)),
            "again": lambda: history(1, times=2),
            "raw machine": lambda: raw(OF_MACHINE, next(tags)),
            "raw shown": lambda: raw(SHOWN, next(tags), PART, KEY),
            "new due": lambda: due(is_new=True),
            "due": due,
            "raw due": lambda: sum(raw(one) for one in DUE),
        }
        return dict(zip(asked, in_turn(ROUNDS, *asked.values()), strict=True))


def _history_ms(client: Client, machine: int, times: int = 1) -> float:
    """Ask for a history page so many times; how long the last took [ms]."""
    path = f"/machines/M-{machine:04}/history?part={PART}&characteristic={KEY}"
    return [timed_ms(lambda: _must_be_there(client.get(path))) for _ in range(times)][-1]


def _due_ms(client: Client, book: Book, *, is_new: bool = False) -> float:
    """Ask for the page of what is due, as for the first time or with what the program holds of it [ms]."""
    if is_new:
        del book.memory[due_plan.HELD]
    return timed_ms(lambda: _must_be_there(client.get("/due")))


def _must_be_there(answer: tuple[int, bytes]) -> None:
    """A page that was not shown was not measured."""
    assert answer[0] == 200, answer


def _raw_ms(connection: sqlite3.Connection, query: str, *values: object) -> float:
    """How long the rows alone take [ms]."""
    return timed_ms(lambda: connection.execute(query, values).fetchall())


@contextmanager
def _serving(settings: Settings) -> Iterator[tuple[Client, Book]]:
    """Serve a book from a thread, so that its file need not be read through once more; somebody is signed in."""
    due_plan.LONGEST_LOOK_S = 0.0  # a look ahead is worked out once for each machine, and measured as a history page is
    app = create_app(settings, Book(settings.book_path))
    settle()  # as the program does once it has started
    token = sign_in(app.state.book, "M. Tarrow", PASSWORD, datetime.now(UTC)).token
    port = free_port()
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="error"))
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        thread.join(0.01)
    try:
        yield Client(port, token), app.state.book
    finally:
        server.should_exit = True
        thread.join()
