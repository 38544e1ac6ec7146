"""What auditors have opened: a plain file beside the book, a line each, outside the chain and no evidence."""

import json
import logging
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from threading import Lock

MOST_BYTES = 2 * 1024 * 1024
MOST_FILES = 10
LONGEST_ADDRESS = 500
LOG = logging.getLogger("wearbook")


@dataclass(frozen=True)
class Read:
    """One address that a person opened, and how it was answered."""

    at: datetime
    person: str
    address: str
    status: int


class ReadLog:
    """The file and the older ones that it was turned over to; the oldest of them makes way."""

    def __init__(self, book_path: Path, most_bytes: int = MOST_BYTES) -> None:
        """Keep it beside the book, under the book's name."""
        self.path = book_path.with_name(f"{book_path.stem}-reads.log")
        self._most_bytes = most_bytes
        self._turn = Lock()

    def note(self, read: Read) -> None:
        """Write a line; where that fails the page is still shown, and the server's log says so."""
        line = {"at": read.at.isoformat(timespec="seconds"), "person": read.person, "status": read.status}
        line |= {"address": read.address[:LONGEST_ADDRESS]}
        try:
            with self._turn, _alone(self.path.with_suffix(".lock")):
                self._turn_over()
                with self.path.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(line) + "\n")
        except OSError as reason:
            LOG.error("what %s opened could not be noted: %s", read.person, reason)

    def newest(self, most: int, person: str = "") -> list[Read]:
        """List the newest, of one person where they are named."""
        found: list[Read] = []
        for read in self._backwards():
            if len(found) == most:
                break
            if not person or read.person == person:
                found.append(read)
        return found

    def _turn_over(self) -> None:
        """Begin a new file where this one is full, and let the oldest make way."""
        if not self.path.is_file() or self.path.stat().st_size < self._most_bytes:
            return
        for number in range(MOST_FILES - 1, -1, -1):
            if self._older(number).is_file():
                self._older(number).replace(self._older(number + 1))

    def _older(self, number: int) -> Path:
        """Name a file by how often it was turned over."""
        return self.path.with_name(f"{self.path.name}.{number}") if number else self.path

    def _backwards(self) -> Iterator[Read]:
        """Go from the newest line to the oldest; a line cut off by a failure is passed over."""
        for number in range(MOST_FILES + 1):
            path = self._older(number)
            lines = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
            for line in reversed(lines):
                if (read := _read(line)) is not None:
                    yield read


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Keep other processes of this machine waiting; where there are no such locks there is only one process."""
    if sys.platform == "win32":
        yield
        return
    import fcntl

    with path.open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def _read(line: str) -> Read | None:
    """Read a line; None where it is none."""
    try:
        content = json.loads(line)
        at = datetime.fromisoformat(content["at"]).astimezone(UTC)
        return Read(at, str(content["person"]), str(content["address"]), int(content["status"]))
    except (ValueError, KeyError, TypeError):
        return None
