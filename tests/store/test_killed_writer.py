"""Tests that what was acknowledged is there after the program was killed in the middle of its work."""

import subprocess
import sys
from pathlib import Path

import pytest

from app.store.book import Book
from app.store.chain import verify_chain
from app.store.evidence import verify_evidence
from app.store.readings import list_readings
from tests.store.builders import an_open_book

ROOT = Path(__file__).parents[2]
WRITER = """
import sys
from itertools import count
from pathlib import Path
from app.store.book import Book
from app.store.readings import save_reading
from tests.store.builders import a_reading, a_writing

book = Book(Path(sys.argv[1]))
for number in count():
    with a_writing(book) as writing:
        save_reading(writing, int(sys.argv[2]), a_reading(f"{sys.argv[3]}-{number}"))
    print(f"{sys.argv[3]}-{number}", flush=True)
"""


@pytest.mark.parametrize("acknowledged", [1, 50])
def test_reading_acknowledged_before_a_kill_is_in_the_book(book: Book, acknowledged: int) -> None:
    _, overhaul_id = an_open_book(book)

    told = [line for run in range(2) for line in _write_until_killed(book, overhaul_id, f"run-{run}", acknowledged)]

    with book.reading() as session:
        kept = [reading.id for reading in list_readings(session, overhaul_id)]
        assert len(told) >= 2 * acknowledged
        assert set(told) <= set(kept)
        assert len(kept) <= len(told) + 2
        assert verify_chain(session) is None
        assert verify_evidence(session) == []


def _write_until_killed(book: Book, overhaul_id: int, run: str, acknowledged: int) -> list[str]:
    """Let another process write readings, kill it after some, and give all that it said were kept."""
    command = [sys.executable, "-c", WRITER, str(book.path), str(overhaul_id), run]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        told = [writer.stdout.readline().strip() for _ in range(acknowledged)]
        writer.kill()
        return told + writer.stdout.read().split()
