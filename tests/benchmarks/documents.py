"""A record as PDF, the export of a million readings, the verification of a million entries, years of old paper."""

import hashlib
import sqlite3
import time
from contextlib import closing
from datetime import UTC, datetime
from functools import partial

from app.actions.people import sign_in
from app.store.book import Book
from app.store.chain import verify_chain
from tests.benchmarks.big_book import OVERHAULS, a_big_book
from tests.benchmarks.figures import Figure, in_turn, say, timed_ms
from tests.benchmarks.processes import Client, Served, the_program
from tests.builders import PASSWORD
from tests.years import measured

MACHINES = 100  # a million readings
ROUNDS = 3
PART_OF_EXPORT = 0.1
SAID_EVERY = 100  # pieces, each of a megabyte


def documents() -> list[Figure]:
    """Ask a served book for a PDF and for everything."""
    settings = a_big_book(MACHINES, has_chain=True)
    say("starting; each page of the book is read once")
    with closing(Book(settings.book_path)) as book:
        token = sign_in(book, "M. Tarrow", PASSWORD, datetime.now(UTC)).token
    with the_program(settings.data_folder) as served:
        client = Client(served.port, token)
        newest = [machine * OVERHAULS for machine in range(2, 2 + ROUNDS)]
        first = sorted(timed_ms(partial(_must_be_pdf, client, number)) for number in newest)[ROUNDS // 2]
        say(f"three records as PDF for the first time: {first:.0f} ms in the middle; now again")
        again = sorted(timed_ms(partial(_must_be_pdf, client, newest[-1])) for _ in range(ROUNDS))[ROUNDS // 2]
        early, late = _memory_mb(served, client)
    return [
        Figure("record as PDF with plots, 40 openings, first time", first, None, "ms", 1000),
        Figure("record as PDF with plots, 40 openings, again", again, None, "ms", 1000),
        Figure("memory at the end of exporting 1 million readings, against a tenth of the way", late, early, "MB", 1.1),
    ]


def verifying() -> list[Figure]:
    """Verify the chain of a million entries, against a bare pass of SHA-256 over the same bytes."""
    settings = a_big_book(MACHINES, has_chain=True)
    with closing(Book(settings.book_path)) as book:
        ours, its = in_turn(ROUNDS, lambda: _verify_s(book), lambda: _digest_s(settings.book_path))
    return [Figure("verify the chain of 1 million entries", ours, its, "s", 3)]


def judging() -> list[Figure]:
    """Judge a hundred thousand readings of old paper, in the time of the processor."""
    return [Figure("judge 100,000 readings of old paper", measured("time", 100_000)["judging_s"], None, "s", 20)]


def _must_be_pdf(client: Client, overhaul_id: int) -> None:
    """A document that did not come was not measured."""
    status, content = client.get(f"/overhauls/{overhaul_id}/record.pdf")
    assert content.startswith(b"%PDF"), status


def _memory_mb(served: Served, client: Client) -> tuple[float, float]:
    """Export the whole book; what the server holds after a tenth of the pieces, and the most after that."""
    say("exporting the book, some minutes")
    found = []
    for number, _ in enumerate(client.stream("/exports/book.json"), 1):
        found.append(served.memory_mb())
        if number % SAID_EVERY == 0:
            say(f"{number} MB exported, the server holds {found[-1]:.0f} MB")
    begun = int(len(found) * PART_OF_EXPORT)
    return found[begun], max(found[begun:])


def _verify_s(book: Book) -> float:
    """How long the chain takes [s]."""
    begun = time.perf_counter()
    with book.reading() as session:
        assert verify_chain(session) is None
    return time.perf_counter() - begun


def _digest_s(path: object) -> float:
    """How long it takes to read the same rows and digest their bytes one row at a time [s]."""
    begun = time.perf_counter()
    with closing(sqlite3.connect(str(path))) as connection:
        for row in connection.execute("SELECT * FROM entry ORDER BY seq"):
            hashlib.sha256("".join(map(str, row)).encode()).hexdigest()
    return time.perf_counter() - begun
