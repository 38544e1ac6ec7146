"""Servers as processes of their own, and a client that costs little beside them."""

import http.client
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TextIO
from urllib.parse import urlencode

from tests.house.readme import free_port
from tests.house.source import ROOT

LONGEST_START_S = 600  # every page of a large book is read once before it is served
LOG = "server.log"
VISITOR = "a-visitor-of-the-benchmarks"
# A form's token under a mask of noughts.
CSRF = "00" * 32 + sha256(f"form:{VISITOR}".encode()).hexdigest()


@dataclass(frozen=True)
class Served:
    """A server that answers: its port, its process, and how long it took to its first answer [ms]."""

    port: int
    pid: int
    start_ms: float

    def memory_mb(self) -> float:
        """What it holds in memory now."""
        lines = Path(f"/proc/{self.pid}/status").read_text(encoding="utf-8").splitlines()
        return int(next(line for line in lines if line.startswith("VmRSS")).split()[1]) / 1024


@contextmanager
def the_program(folder: Path, *words: str, **settings: str) -> Iterator[Served]:
    """Serve the book of a folder by the program's own command."""
    port = free_port()
    given = {"data_folder": str(folder), "port": str(port), "backup_hours": "0", "safe_again_hours": "0"} | settings
    environment = {f"WEARBOOK_{name.upper()}": value for name, value in given.items()}
    command = [sys.executable, "-m", "app", "serve", *words]
    with (folder / LOG).open("w") as log, _running(command, port, environment, log) as served:
        yield served


@contextmanager
def a_bare(which: str, folder: Path, *words: str) -> Iterator[Served]:
    """Serve one of the bare programs."""
    port = free_port()
    with _running(
        [sys.executable, "-m", "tests.benchmarks.floors", which, str(port), str(folder), *words], port, {}
    ) as served:
        yield served


@contextmanager
def _running(command: list[str], port: int, environment: dict[str, str], log: TextIO | None = None) -> Iterator[Served]:
    """Start a process, wait for its first answer, and end it afterwards."""
    # What was compiled is kept, as where the program is installed, and lies outside of these sources.
    left_out = ("WEARBOOK_", "PYTHONDONTWRITEBYTECODE")
    own = {name: text for name, text in os.environ.items() if not name.startswith(left_out)}
    own["PYTHONPYCACHEPREFIX"] = str(Path(tempfile.gettempdir()) / "wearbook-benchmark-compiled")
    begun = time.perf_counter()
    process = subprocess.Popen(command, cwd=ROOT, env=own | environment, stdout=subprocess.DEVNULL, stderr=log)
    try:
        while not _answers(port):
            took_s = time.perf_counter() - begun
            assert process.poll() is None, f"{command} ended"
            assert took_s < LONGEST_START_S, f"{command} did not start"
            time.sleep(0.005)
        yield Served(port, process.pid, (time.perf_counter() - begun) * 1000)
    finally:
        process.terminate()
        process.wait()


def _answers(port: int) -> bool:
    """Whether something answers there that it is well."""
    try:
        return Client(port).get("/healthz")[0] == 200
    except OSError:
        return False


class Client:
    """One connection that stays open, with the cookies of a sign-in."""

    def __init__(self, port: int, token: str = "") -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
        self._headers = {"cookie": f"wearbook={token}; wearbook_visit={VISITOR}", "accept-encoding": "gzip"}

    def get(self, path: str) -> tuple[int, bytes]:
        """Ask for a page."""
        self._connection.request("GET", path, headers=self._headers)
        answer = self._connection.getresponse()
        return answer.status, answer.read()

    def post(self, path: str, form: dict[str, str]) -> tuple[int, bytes]:
        """Send a form."""
        sent = self._headers | {"content-type": "application/x-www-form-urlencoded"}
        self._connection.request("POST", path, urlencode({"csrf": CSRF, **form}), sent)
        answer = self._connection.getresponse()
        return answer.status, answer.read()

    def stream(self, path: str) -> Iterator[bytes]:
        """Ask for something large, and give it piece by piece."""
        self._connection.request("GET", path, headers=self._headers)
        answer = self._connection.getresponse()
        assert answer.status == 200, answer.status
        while piece := answer.read(1 << 20):
            yield piece
