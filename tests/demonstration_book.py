"""The demonstration as a file: loaded once for the same sources and day, copied for every test that wants one."""

import fcntl
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, time
from hashlib import sha256
from pathlib import Path

from app.demonstration.load import load_demonstration
from app.store.backup import back_up
from app.store.book import Book
from app.store.migration import migrate

ROOT = Path(__file__).parents[1]
SOURCES = ("app/actions", "app/demonstration", "app/domain", "app/store", "migrations", "sample_data")
KEPT_IN = Path(tempfile.gettempdir()) / "wearbook-demonstration"
NAME = "demonstration.db"
# Every entry is flushed to the disk, two thousand in all; a file system in memory makes that cost nothing.
IN_MEMORY = Path("/dev/shm")


def demonstration_now() -> datetime:
    """The moment the demonstration ends at: this morning, so that nothing in it lies ahead of the clock."""
    return datetime.combine(datetime.now(UTC).date(), time(0, 0, 1), UTC)


def copy_demonstration(folder: Path) -> Path:
    """Copy the demonstration's book into a folder and give its path; the first to ask waits while it is loaded."""
    folder.mkdir(parents=True, exist_ok=True)
    with _one_at_a_time():
        return Path(shutil.copyfile(_loaded(), folder / NAME))


def a_loaded_demonstration(target: Path) -> Path:
    """Load the demonstration afresh into a new file."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY if IN_MEMORY.is_dir() else None) as folder:
        with closing(Book(Path(folder) / NAME)) as book:
            migrate(book)
            load_demonstration(book, demonstration_now())
        return back_up(Path(folder) / NAME, target)


@contextmanager
def _one_at_a_time() -> Iterator[None]:
    """Keep the other processes of this run waiting."""
    KEPT_IN.mkdir(parents=True, exist_ok=True)
    with (KEPT_IN / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def _loaded() -> Path:
    """Give the file for these sources and this day, loading it where it is not there; older ones are cleared away."""
    kept = KEPT_IN / f"{_key()}.db"
    if not kept.exists():
        for old in KEPT_IN.glob("*.db"):
            old.unlink()
        a_loaded_demonstration(kept)
    return kept


def _key() -> str:
    """Digest everything the demonstration comes from, and the day it is told on."""
    whole = sha256(demonstration_now().date().isoformat().encode())
    for path in sorted(path for source in SOURCES for path in (ROOT / source).rglob("*.[pt]*") if path.is_file()):
        if path.suffix in (".py", ".toml"):
            whole.update(path.relative_to(ROOT).as_posix().encode() + path.read_bytes())
    return whole.hexdigest()[:24]
