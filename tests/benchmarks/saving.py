"""Saving a reading over HTTP, against a bare handler that inserts one row; and how long it takes beside other work."""

import tempfile
import threading
import time
import uuid
from collections.abc import Callable
from functools import partial
from itertools import cycle
from pathlib import Path

from app.store.book import Book
from app.store.migration import migrate
from app.store.postgres import read_address
from tests.benchmarks.figures import Figure, in_turn, percentile
from tests.benchmarks.processes import Client, a_bare, the_program
from tests.benchmarks.workplace import Workplace, a_workplace, entry
from tests.builders import a_book

CLIENTS, ROUND_S, ROUNDS = 8, 3.0, 5
TABLETS, BUSY_S, THINKING_S = 20, 20.0, 0.5
SAVED_BYTES = 60  # what the answer to a tablet weighs
Save = Callable[[], None]


def saving(postgres: str = "") -> list[Figure]:
    """Eight clients save as fast as they are answered; the program and the bare handler in turn."""
    with tempfile.TemporaryDirectory() as folder:
        place, database = _begun(Path(folder), CLIENTS, postgres)
        bare = a_bare("saver", Path(folder), str(SAVED_BYTES))
        with the_program(Path(folder), **database) as program, bare as floor:
            savers = [_saver(program.port, place, number) for number in range(CLIENTS)]
            bare_savers = [partial(_bare_save, Client(floor.port)) for _ in range(CLIENTS)]
            ours, its = in_turn(ROUNDS, partial(_per_second, savers), partial(_per_second, bare_savers))
    where = "PostgreSQL" if postgres else "SQLite"
    return [Figure(f"save one reading, {CLIENTS} clients, {where}", ours, its, "a second", 0.5, is_at_least=True)]


def saving_beside_work(postgres: str = "") -> list[Figure]:
    """Twenty tablets save now and then, while a history page and a PDF are made again and again."""
    with tempfile.TemporaryDirectory() as folder:
        place, database = _begun(Path(folder), TABLETS, postgres)
        with the_program(Path(folder), **database) as program:
            alone = _latencies(program.port, place, is_beside=False)
            beside = _latencies(program.port, place, is_beside=True)
    where = "PostgreSQL" if postgres else "SQLite"
    names = [f"99th percentile of a save, {TABLETS} tablets, {how}, {where}" for how in ("alone", "beside other work")]
    return [
        Figure(name, percentile(took, 0.99), None, "ms", 25) for name, took in zip(names, (alone, beside), strict=True)
    ]


def _begun(folder: Path, desks: int, postgres: str) -> tuple[Workplace, dict[str, str]]:
    """Fill a book in a file or in an empty database; give the setting that names the database too."""
    book = Book(folder / "wearbook.db", read_address(postgres)) if postgres else a_book(folder)
    migrate(book)
    place = a_workplace(book, desks)
    book.close()
    return place, {"database_url": postgres} if postgres else {}


def _saver(port: int, place: Workplace, number: int) -> Save:
    """Save the next reading of one tablet at each call."""
    desk = place.desks[number]
    client, readings = Client(port, desk.token), cycle(place.readings)

    def save() -> None:
        form = entry(next(readings), str(uuid.uuid4()), desk)
        answer = client.post(f"/tablet/overhauls/{desk.overhaul_id}/readings", form)
        assert b'"kept"' in answer[1], answer

    return save


def _bare_save(client: Client) -> None:
    """Save one row at the bare handler."""
    assert client.post("/save", {"value": "0.62"})[0] == 200


def _per_second(savers: list[Save]) -> float:
    """Let all save for a while, each as fast as it is answered; give how many were kept in a second."""
    counts = [0] * len(savers)
    end = time.monotonic() + ROUND_S

    def work(number: int) -> None:
        while time.monotonic() < end:
            savers[number]()
            counts[number] += 1

    _all_at_once([partial(work, number) for number in range(len(savers))])
    return sum(counts) / ROUND_S


def _latencies(port: int, place: Workplace, *, is_beside: bool) -> list[float]:
    """Let tablets save with a while between two; give how long each save took [ms]."""
    took: list[float] = []
    end = time.monotonic() + BUSY_S

    def work(number: int) -> None:
        save = _saver(port, place, number)
        save()  # the first reads the overhaul
        time.sleep(THINKING_S * number / TABLETS)
        while time.monotonic() < end:
            begun = time.perf_counter()
            save()
            took.append((time.perf_counter() - begun) * 1000)
            time.sleep(THINKING_S)

    def read(path: str) -> None:
        client = Client(port, place.token)
        while time.monotonic() < end:
            assert client.get(path)[0] == 200, path

    others = (
        "/machines/GA-0/history?part=2.ring-1&characteristic=closed-gap",
        f"/overhauls/{place.closed_id}/record.pdf",
    )
    reading = [partial(read, path) for path in others] if is_beside else []
    _all_at_once([*(partial(work, number) for number in range(TABLETS)), *reading])
    return took


def _all_at_once(works: list[Save]) -> None:
    """Run each in a thread of its own; what fails in one fails here."""
    failed: list[BaseException] = []

    def guarded(work: Save) -> None:
        try:
            work()
        except BaseException as reason:
            failed.append(reason)

    threads = [threading.Thread(target=guarded, args=(work,)) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if failed:
        raise failed[0]
