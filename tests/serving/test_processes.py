"""Tests of serving a book by several processes: behind one port in PostgreSQL, and refused where it is a file."""

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import httpx2
import pytest

from app.__main__ import main
from app.actions.paper_jobs import PaperJobs
from app.domain.errors import NotYet
from app.domain.people import Role
from app.store.reads import ReadLog
from tests.builders import a_book, a_person
from tests.house.readme import clean_environment, free_port
from tests.house.source import ROOT
from tests.on_postgres import ADDRESS, MISSING, a_database

LONGEST_START_S = 60
NOTE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from app.store.reads import Read, ReadLog

log = ReadLog(Path(sys.argv[1]), most_bytes=3000)
for number in range(60):
    log.note(Read(datetime.now(UTC), sys.argv[2], f"/{number}", 200))
"""


def test_several_processes_are_refused_where_the_book_is_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(tmp_path))
    monkeypatch.setenv("WEARBOOK_PORT", str(free_port()))

    status = main(["serve", "--processes", "2"])

    assert status == 1
    assert "Several processes need a book in PostgreSQL" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_old_paper_is_refused_in_words_where_another_process_may_be_asked_next(tmp_path: Path) -> None:
    book = a_book(tmp_path)
    chief = a_person(book, "I. Brandreth", Role.CHIEF)

    with pytest.raises(NotYet, match="several processes"):
        PaperJobs(book, is_alone=False).check(chief, "GA-1", ("QM-GA", "C"), "a file", b"x", None)  # type: ignore[arg-type]


def test_two_processes_note_what_is_read_and_turn_the_file_over_without_losing_a_line(tmp_path: Path) -> None:
    path = tmp_path / "wearbook.db"
    command = [sys.executable, "-c", NOTE, str(path)]

    writers = [subprocess.Popen([*command, name], cwd=ROOT) for name in ("one", "two")]
    assert [writer.wait(60) for writer in writers] == [0, 0]

    noted = ReadLog(path).newest(1000)
    assert {(read.person, read.address) for read in noted} == {
        (who, f"/{n}") for who in ("one", "two") for n in range(60)
    }


@pytest.mark.skipif(not ADDRESS, reason=MISSING)
def test_one_command_serves_a_book_in_postgresql_by_two_processes_and_ends_both(tmp_path: Path) -> None:
    port = free_port()
    with a_database() as address:
        own = {"WEARBOOK_DATABASE_URL": address, "WEARBOOK_DATA_FOLDER": str(tmp_path), "WEARBOOK_PORT": str(port)}
        command = [sys.executable, "-m", "app", "serve", "--processes", "2"]
        environment = clean_environment(**own, WEARBOOK_BACKUP_HOURS="0")
        with subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True) as served:
            health = _first_answer(f"http://127.0.0.1:{port}/healthz")
            children = _children(served.pid)
            served.send_signal(signal.SIGTERM)
            served.wait(30)

    assert health["writable"] is True
    assert len(children) >= 2
    assert _have_ended(children)


def _first_answer(address: str) -> dict[str, object]:
    """Wait for the first answer."""
    end = time.monotonic() + LONGEST_START_S
    while time.monotonic() < end:
        try:
            return json.loads(httpx2.get(address, timeout=5).text)  # type: ignore[no-any-return]
        except httpx2.TransportError:
            time.sleep(0.1)
    raise AssertionError("no answer")


def _children(pid: int) -> list[int]:
    """The processes that a process has started."""
    return [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def _have_ended(pids: list[int]) -> bool:
    """Whether all of some processes end within a while."""
    end = time.monotonic() + LONGEST_START_S
    while any(Path(f"/proc/{pid}").exists() for pid in pids):
        if time.monotonic() > end:
            return False
        time.sleep(0.1)
    return True
