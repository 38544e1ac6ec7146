"""README as the tests read it, and a copy of the project in which its commands run."""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.house.source import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
FENCED = re.compile(r"^```(?P<language>\w*)\n(?P<text>.*?)^```$", re.MULTILINE | re.DOTALL)
LEFT_BEHIND = shutil.ignore_patterns(".git", ".venv", "data", ".*cache", "__pycache__", ".coverage*", "*.egg-info")
# What a test run sets for itself would make a second run inside it believe that it is the first.
OF_THIS_RUN = ("PYTEST_", "COV_", "COVERAGE_", "WEARBOOK_")


def blocks() -> list[tuple[str, str]]:
    """List the fenced blocks: language and text."""
    return [(found["language"], found["text"].strip()) for found in FENCED.finditer(README)]


def clean_environment(**more: str) -> dict[str, str]:
    """Give this environment without what belongs to this run of the tests."""
    return {name: text for name, text in os.environ.items() if not name.startswith(OF_THIS_RUN)} | more


def copy_with_environment(folder: Path) -> Path:
    """Copy the project, with this very Python environment as its finished .venv, so that nothing is installed twice."""
    copy = folder / "wearbook"
    shutil.copytree(ROOT, copy, ignore=LEFT_BEHIND)
    (copy / ".venv").mkdir()
    for entry in Path(sys.prefix).iterdir():
        if not entry.name.startswith("ready"):
            (copy / ".venv" / entry.name).symlink_to(entry)
    for stamp in ("ready", "ready-tests"):
        (copy / ".venv" / stamp).touch()
    return copy


def free_port() -> int:
    """Find a port on which nobody listens."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextmanager
def started(command: str, folder: Path, environment: dict[str, str]) -> Iterator[subprocess.Popen[str]]:
    """Run a command line in the shell until the block ends; then stop it and all that it started."""
    with subprocess.Popen(
        ["/bin/sh", "-c", command],
        cwd=folder,
        env=environment,
        text=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        start_new_session=True,
    ) as process:
        try:
            yield process
        finally:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGINT)
            stop_at_last(process)


def stop_at_last(process: subprocess.Popen[str]) -> None:
    """Wait for the end after Ctrl-C, and not for ever."""
    try:
        process.wait(timeout=20)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        raise


def answer(url: str, process: subprocess.Popen[str], patience_s: float = 240) -> int:
    """Wait until a server answers and give the status; a process that ends before is reported with what it said."""
    end = time.monotonic() + patience_s
    while time.monotonic() < end:
        if process.poll() is not None:
            raise AssertionError(process.stdout.read() if process.stdout else "ended")
        try:
            with urllib.request.urlopen(url, timeout=5) as response:
                status: int = response.status
                return status
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
    raise AssertionError(f"{url} did not answer within {patience_s} s")
