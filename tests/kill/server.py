"""The server as a process of its own, which can be killed without warning and started again."""

import os
import subprocess
import sys
import time
from pathlib import Path

import httpx2

from tests.house.source import ROOT

LONGEST_START_S = 60


class Server:
    """One server on a loopback port, over a data folder of its own."""

    def __init__(self, folder: Path, port: int) -> None:
        self.folder = folder
        self.address = f"http://127.0.0.1:{port}"
        # Nothing of the test run's own settings reaches the server.
        own = {name: text for name, text in os.environ.items() if not name.startswith(("WEARBOOK_", "COV", "PYTEST_"))}
        self._environment = own | {"WEARBOOK_DATA_FOLDER": str(folder), "WEARBOOK_PORT": str(port)}
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start, and wait until it answers."""
        with (self.folder / "server.log").open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "app", "serve"], cwd=ROOT, env=self._environment, stdout=log, stderr=log
            )
        end = time.monotonic() + LONGEST_START_S
        while not self._answers():
            if self._process.poll() is not None or time.monotonic() > end:
                self.kill()
                raise AssertionError((self.folder / "server.log").read_text()[-2000:])
            time.sleep(0.02)

    def kill(self) -> None:
        """Kill at once, as a power switch does to a process: SIGKILL cannot be caught."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None

    def _answers(self) -> bool:
        """Whether it says that the book can be written."""
        try:
            return httpx2.get(f"{self.address}/healthz", timeout=5).status_code == 200
        except httpx2.TransportError:
            return False
